"""Where a calculator's inputs come from: the message, the conversation, the handbook, or a stated assumption."""

from __future__ import annotations

from dataclasses import dataclass, field

from assistant.calculators.ranges import Estimate, OutOfRange
from assistant.dialogue.answer import Input, Origin
from assistant.dialogue.context import Context
from assistant.dialogue.memory import Wish
from assistant.dialogue.wording import Speech, date_words
from assistant.language.question import Reading


@dataclass
class Inputs:
    """Collects the inputs of one figure as they are taken, and the assumptions that must be said."""

    context: Context
    wish: Wish
    speech: Speech
    used: list[Input] = field(default_factory=list)
    assumptions: list[str] = field(default_factory=list)

    def fresh(self) -> Inputs:
        """A new collection for the next figure; what was assumed stays said once."""
        return Inputs(self.context, self.wish, self.speech, [], self.assumptions)

    def origin(self, name: str) -> Origin:
        return "asked" if name in self.wish.asked else "earlier"

    def note(
        self,
        name: str,
        value: float | str,
        unit: str,
        origin: Origin,
        low: float | None = None,
        high: float | None = None,
    ) -> None:
        """Record an input without looking it up."""
        self.used.append(Input(name, value, unit, origin, low, high))

    def assume(self, sentence: str) -> None:
        if sentence not in self.assumptions:
            self.assumptions.append(sentence)

    def said(
        self, name: str, shown_as: str | None = None, scale: float = 1.0, unit: str | None = None
    ) -> Estimate | None:
        """A number slot that was said now or before, recorded; None when nobody said it."""
        reading = self.wish.slot(name)
        if reading is None or not isinstance(reading.value, int | float):
            return None
        low, high = reading.span
        estimate = Estimate(low * scale, reading.number * scale, high * scale)
        self.note(
            shown_as or name, estimate.value, unit or reading.unit, self.origin(name), estimate.low, estimate.high
        )
        if reading.assumed and name in self.wish.asked:
            self.assume(reading.assumed)
        return estimate

    def number(
        self, name: str, default: Estimate, unit: str, *, origin: Origin = "assumed", say: str = "", shown_as: str | None = None,
        scale: float = 1.0,
    ) -> Estimate:  # fmt: skip
        """A number slot, or its default, which is then said."""
        found = self.said(name, shown_as, scale, unit)
        if found is not None:
            return found
        self.note(shown_as or name, default.value, unit, origin, default.low, default.high)
        if say:
            self.assume(say)
        return default

    # --- what most figures share --------------------------------------------------------------------------------------

    def support(self) -> str:
        """How the material stands at the display; flower food in a vase unless said otherwise."""
        reading = self.wish.slot("support")
        if reading is not None:
            self.note("support", reading.text, "", self.origin("support"))
            return reading.text
        self.note("support", "vase-food", "", "assumed")
        self.assume("in a vase with flower food")
        return "vase-food"

    def display_temperature(self) -> Estimate:
        """Temperature where it stands: said, or that of the place, or the standard test room's 20 °C."""
        found = self.said("display_temperature", unit="degC")
        if found is not None:
            return found
        place_reading = self.wish.slot("place")
        place = self.context.places.get(place_reading.text) if place_reading else None
        if place and place.id not in ("cooler", "cold-room"):
            low, high = (x if x is not None else 20.0 for x in place.degC)
            self.note("display_temperature", (low + high) / 2, "degC", "handbook", low, high)
            where = place.title.lower()
            if not where.startswith(("near ", "outdoors ")):
                where = f"for the {where}"
            self.assume(f"{self.speech.temperatures(low, high)} {where}")
            return Estimate(low, (low + high) / 2, high)
        self.note("display_temperature", 20.0, "degC", "assumed")
        self.assume(f"a room at {self.speech.temperature(20.0)}")
        return Estimate(20.0, 20.0, 20.0)

    def humidity(self) -> Estimate:
        """Relative humidity in per cent: said, the place's, or the test room's 60 %."""
        found = self.said("humidity", unit="%")
        if found is not None:
            return found
        place_reading = self.wish.slot("place")
        place = self.context.places.get(place_reading.text) if place_reading else None
        if place:
            low, high = (x if x is not None else 60.0 for x in place.humidity)
            self.note("humidity", (low + high) / 2, "%", "handbook", low, high)
            return Estimate(low, (low + high) / 2, high)
        self.note("humidity", 50.0, "%", "assumed", 40.0, 60.0)
        self.assume("40–60 % humidity")
        return Estimate(40.0, 50.0, 60.0)

    def days_since(self, shown_as: str = "elapsed_days") -> float | None:
        """Days since the material came, from "4 days ago" or "came in Tuesday", recorded under the name given.

        Raises:
            OutOfRange: for a day that is still to come.
        """
        found = self.said("elapsed_days", shown_as, unit="d")
        if found is not None:
            return found.value
        reading = self.wish.slot("since_date")
        if reading is None:
            return None
        days = float((self.context.today - reading.day).days)
        if days < 0:
            raise OutOfRange(f"{date_words(reading.day)} is still to come; give the day it came, or how many days ago.")
        self.note(shown_as, days, "d", self.origin("since_date"))
        return days

    def days_until(self) -> tuple[float, str] | None:
        """Days the work must last, and the last day as it was said; empty where a duration was said.

        Raises:
            OutOfRange: where the last day comes before the first.
        """
        for name in ("until_date", "display_days"):
            if name not in self.wish.asked and any(n in self.wish.asked for n in ("until_date", "display_days")):
                continue
            reading = self.wish.slot(name)
            if reading is None:
                continue
            if name == "display_days":
                found = self.said("display_days", unit="d")
                assert found is not None
                return found.high, ""
            start = self.wish.slot("start_date")
            begin = start.day if start else self.context.today
            days = float((reading.day - begin).days)
            if days < 0:
                raise OutOfRange(
                    f"It would end on {date_words(reading.day)}, before {date_words(begin)}; give the first day and the last."
                )
            self.note("display_days", days, "d", self.origin(name))
            return days, reading.said
        return None


def reading_of(value: float, unit: str, said: str = "") -> Reading:
    """A Reading for a value set on a screen rather than typed."""
    return Reading(value, unit, value, value, said or f"{value:g} {unit}")
