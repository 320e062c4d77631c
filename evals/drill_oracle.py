"""A second opinion on quiz items: reads the handbook's YAML by itself and judges what an item shows.

It shares no code with the generators. Options and questions are read back from their words, truths are looked up in
the plain YAML, and figure problems are worked out again with school arithmetic. `faults` names everything that would
make an item ambiguous or wrong; an item of a sort it does not know is a fault too.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator, Mapping
from itertools import pairwise
from pathlib import Path
from typing import Any

import yaml

from assistant.drill.item import Item, Name, Number, OneOf, Order, Points

Entry = dict[str, Any]
Span = tuple[float, float]
_HARMFUL = {"mild", "moderate", "severe", "listed"}
_MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
           "December")  # fmt: skip
_NUMBER = r"-?\d+(?:\.\d+)?"
_SPAN = re.compile(rf"({_NUMBER})(?:(?: to |–)({_NUMBER}))?")
_MEASURES = {
    "life": "vase_life", "chilling": "chilling_threshold", "freezing": "freezing_point", "hydration": "hydration",
    "opening": "opening", "out-of-water": "out_of_water", "stem-length": "stem_length", "bloom": "bloom_diameter",
}  # fmt: skip
_STATEMENTS: tuple[tuple[str, str], ...] = (
    (r"It lasts (.+) in a vase with flower food at 20 °C\.", "life"),
    (r"It is stored at (.+)\.", "storage-temperature"),
    (r"Chilling hurts it below (.+)\.", "chilling"),
    (r"It should drink for (.+) before use\.", "hydration"),
    (r"Its stems are (.+) long\.", "stem-length"),
    (r"It keeps for (.+) on the shelf\.", "shelf-life"),
    (r"It keeps best at (.+) humidity\.", "shelf-humidity"),
    (r"A bunch holds (.+) in Europe\.", "pack-eu"),
    (r"A bunch holds (.+) in the United States\.", "pack-us"),
    (r"A bunch holds (.+)\.", "pack-any"),
)


def span_in(text: str) -> Span:
    """The first number or range in a text."""
    match = _SPAN.search(text)
    if match is None:
        raise ValueError(f"no number in {text!r}")
    low = float(match[1])
    return low, float(match[2]) if match[2] else low


def _list(value: Any) -> list[Any]:
    return [] if value is None else value if isinstance(value, list) else [value]


class Oracle:
    """The handbook of one folder as plain YAML."""

    def __init__(self, folder: Path) -> None:
        loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

        def read(path: Path) -> Any:
            return yaml.load(path.read_text(encoding="utf-8"), loader)

        self.materials: dict[str, Entry] = {p.stem: read(p) for p in sorted((folder / "materials").glob("*.yaml"))}
        topics = [read(p) for p in sorted((folder / "rules").glob("*.yaml"))]
        self.rules: dict[str, Entry] = {rule["id"]: rule for topic in topics for rule in topic["rules"]}
        self.tables = {p.stem: read(p) for p in sorted((folder / "tables").glob("*.yaml"))}
        self.sources = {source["id"] for source in read(folder / "sources.yaml")["sources"]}
        self._names: dict[str, set[str]] = {}
        for key, entry in self.materials.items():
            others = [o if isinstance(o, str) else o["name"] for o in entry.get("other_names", [])]
            for name in (entry["name"], entry.get("plural"), *others):
                if name:
                    self._names.setdefault(self._key(name), set()).add(key)
        for row in self.tables["names"]["shared_names"]:
            ids = {meaning if isinstance(meaning, str) else meaning["id"] for meaning in row["meanings"]}
            self._names.setdefault(self._key(row["name"]), set()).update(ids)

    @staticmethod
    def _key(name: str) -> str:
        return re.sub(r"[^a-z0-9]+", " ", name.lower().replace("'", "").replace("’", "")).strip()

    # --- truths -----------------------------------------------------------------------------------------------------

    def number(self, template: str, entry: Entry) -> Span | None:
        """The range the YAML gives for a number."""
        if template in _MEASURES:
            row = entry.get(_MEASURES[template])
            return (row["low"], row["high"]) if row and "low" in row and "high" in row else None
        if template == "storage-temperature":
            return self._over(row["degC"] for row in entry.get("storage", []) if row.get("degC"))
        if template == "storage-days":
            return self._over(row["days"] for row in entry.get("storage", []) if row.get("days"))
        if template in ("shelf-life", "shelf-humidity"):
            row = entry.get("keeping", {}).get("shelf_life" if template == "shelf-life" else "humidity")
            return (row["low"], row["high"]) if row else None
        market = template.removeprefix("pack-")
        return self._over(
            p["stems"] for p in entry.get("packs", []) if p["market"].lower() == market and p.get("stems")
        )

    @staticmethod
    def _over(spans: Iterator[list[float | None]]) -> Span | None:
        ends = [end for span in spans for end in span if end is not None]
        return (min(ends), max(ends)) if ends else None

    def months(self, entry: Entry) -> set[int]:
        months: set[int] = set()
        for season in entry.get("season", []):
            months |= set(range(1, 13)) if season["months"] == "all" else set(season["months"])
        return months

    def level(self, entry: Entry, who: str) -> str | None:
        row = entry.get("hazards", {}).get(who)
        return row["level"] if row else None

    def life(self, entry: Entry) -> Span | None:
        row = entry.get("vase_life")
        if not row or row.get("degC", 20) != 20 or row.get("support", "vase-food") != "vase-food":
            return None
        return self.number("life", entry)

    # --- judging ----------------------------------------------------------------------------------------------------

    def faults(self, item: Item) -> list[str]:
        """Everything wrong with an item; empty if it is sound."""
        found = list(self._form(item))
        check = self._check(item.template)
        if check is None:
            return [*found, f"the oracle knows no items of the sort {item.template}"]
        return [*found, *check(item)]

    def _form(self, item: Item) -> Iterator[str]:
        if not item.question.strip() or not item.answer.strip() or not item.ask.strip():
            yield "a text is empty"
        texts = [choice.text.casefold() for choice in item.choices]
        if len(set(texts)) != len(texts):
            yield "two options read the same"
        if isinstance(item.key, OneOf) and not 0 <= item.key.index < len(item.choices):
            yield "the key names no option"
        if isinstance(item.key, OneOf) and len(item.choices) < 2:
            yield "there is nothing to choose from"
        yield from (f"unknown source {source}" for source in item.sources if source not in self.sources)

    def _check(self, template: str) -> Callable[[Item], Iterator[str]] | None:
        numbers = (*_MEASURES, "storage-temperature", "storage-days", "shelf-life", "shelf-humidity")
        if template in numbers or template.startswith("pack-"):
            return self._number
        groups = ("role", "harmful", "harmless", "hazard", "figure")
        name = next((g for g in groups if template.startswith(f"{g}-")), template.replace("-", "_"))
        check: Callable[[Item], Iterator[str]] | None = getattr(self, f"_{name}", None)
        return check

    def _entry(self, item: Item) -> Entry:
        return self.materials[item.entry]

    def _split(self, item: Item) -> tuple[Entry, list[Entry]]:
        """The right option's material and the wrong ones'."""
        assert isinstance(item.key, OneOf)
        entries = [self.materials[choice.material] for choice in item.choices]
        right = entries.pop(item.key.index)
        return right, entries

    def _all_and_none(self, item: Item, fits: Callable[[Entry], bool], fails: Callable[[Entry], bool]) -> Iterator[str]:
        right, wrong = self._split(item)
        if not fits(right):
            yield f"the key {right['id']} does not fit"
        yield from (f"the option {w['id']} is not provably wrong" for w in wrong if not fails(w))
        yield from (f"{choice.text} is not the name" for choice in item.choices
                    if choice.text != self.materials[choice.material]["name"])  # fmt: skip

    def _number(self, item: Item) -> Iterator[str]:
        entry = self._entry(item)
        truth = self.number(item.template, entry)
        if truth is None:
            yield "the handbook gives no such number"
            return
        if isinstance(item.key, Number):
            if (item.key.low, item.key.high) != truth:
                yield f"the key {item.key.low}-{item.key.high} is not {truth}"
            return
        assert isinstance(item.key, OneOf)
        spans = [span_in(choice.text) for choice in item.choices]
        if spans[item.key.index] != truth:
            yield f"the key {spans[item.key.index]} is not {truth}"
        for index, span in enumerate(spans):
            if index != item.key.index and not self._apart(span, truth):
                yield f"the option {span} touches {truth}"
            yield from (
                f"the options {span} and {other} touch" for other in spans[index + 1 :] if not self._apart(span, other)
            )

    @staticmethod
    def _apart(a: Span, b: Span) -> bool:
        return a[1] < b[0] or b[1] < a[0]

    def _other_name(self, item: Item) -> Iterator[str]:
        names = [
            n for n in self._entry(item).get("other_names", []) if isinstance(n, str) or n.get("kind") != "botanical"
        ]
        if not names:
            yield "there is no other name"

    def _quoted(self, item: Item) -> str:
        match = re.search("“(.+?)”", item.question)
        return match[1] if match else ""

    def _known_as(self, item: Item) -> Iterator[str]:
        owners = self._names.get(self._key(self._quoted(item)), set())
        if owners != {item.entry}:
            yield f"“{self._quoted(item)}” is a name of {owners}"
        if isinstance(item.key, OneOf):
            yield from self._all_and_none(item, lambda e: e["id"] in owners, lambda e: e["id"] not in owners)

    def _botanical(self, item: Item) -> Iterator[str]:
        botanical = self._entry(item)["botanical"]
        if isinstance(item.key, OneOf):
            genus = [choice.text.split()[0].lower() for choice in item.choices]
            if item.choices[item.key.index].text != botanical:
                yield "the key is not the botanical name"
            if len(set(genus)) != len(genus):
                yield "two options share a genus"
        elif botanical not in getattr(item.key, "names", ()):
            yield "the key lacks the botanical name"

    def _plant(self, item: Item) -> Iterator[str]:
        assert isinstance(item.key, Name)
        owners = [key for key, entry in self.materials.items() if entry["botanical"] == item.key.asked]
        if owners != [item.key.material]:
            yield f"{item.key.asked} is {owners}"

    def _role(self, item: Item) -> Iterator[str]:
        role = item.template.removeprefix("role-")
        return self._all_and_none(item, lambda e: role in _list(e["roles"]), lambda e: role not in _list(e["roles"]))

    def _harmful(self, item: Item) -> Iterator[str]:
        who = item.template.removeprefix("harmful-")
        return self._all_and_none(
            item, lambda e: self.level(e, who) in _HARMFUL, lambda e: self.level(e, who) == "none"
        )

    def _harmless(self, item: Item) -> Iterator[str]:
        who = item.template.removeprefix("harmless-")
        return self._all_and_none(
            item, lambda e: self.level(e, who) == "none", lambda e: self.level(e, who) in _HARMFUL
        )

    def _hazard(self, item: Item) -> Iterator[str]:
        assert isinstance(item.key, OneOf)
        level = self.level(self._entry(item), item.template.removeprefix("hazard-"))
        says_yes = item.choices[item.key.index].text.startswith("yes")
        if level not in _HARMFUL | {"none"} or says_yes != (level in _HARMFUL):
            yield f"the key does not fit the level {level}"

    def _ethylene(self, item: Item) -> Iterator[str]:
        assert isinstance(item.key, OneOf)
        level = self._entry(item)["ethylene"]["sensitivity"]
        shown = item.choices[item.key.index].text
        if shown != {"none": "not known to react"}.get(level, level):
            yield f"the key {shown} is not {level}"

    def _sensitivity(self, entry: Entry) -> str:
        return str(entry.get("ethylene", {}).get("sensitivity", "unknown"))

    def _ethylene_high(self, item: Item) -> Iterator[str]:
        return self._all_and_none(
            item, lambda e: self._sensitivity(e) == "high", lambda e: self._sensitivity(e) in ("none", "low")
        )

    def _ethylene_safe(self, item: Item) -> Iterator[str]:
        return self._all_and_none(
            item, lambda e: self._sensitivity(e) == "none", lambda e: self._sensitivity(e) in ("medium", "high")
        )

    def _foam_avoid(self, item: Item) -> Iterator[str]:
        return self._all_and_none(
            item, lambda e: e["foam"]["use"] in ("poor", "avoid"), lambda e: e["foam"]["use"] == "good"
        )

    def _foam_good(self, item: Item) -> Iterator[str]:
        return self._all_and_none(
            item, lambda e: e["foam"]["use"] == "good", lambda e: e["foam"]["use"] in ("poor", "avoid")
        )

    def _hangs_well(self, item: Item) -> Iterator[str]:
        def results(entry: Entry) -> set[str]:
            return {row["result"] for row in entry["drying"] if row["method"] == "air-hung"}

        return self._all_and_none(item, lambda e: results(e) == {"well"}, lambda e: results(e) == {"poorly"})

    def _all_year(self, item: Item) -> Iterator[str]:
        return self._all_and_none(item, lambda e: len(self.months(e)) == 12, lambda e: 0 < len(self.months(e)) < 12)

    def _store(self, item: Item, warm: bool) -> Iterator[str]:
        def is_warm(entry: Entry) -> bool:
            span = self.number("storage-temperature", entry)
            return span is not None and span[0] > 5

        def is_cold(entry: Entry) -> bool:
            span = self.number("storage-temperature", entry)
            return span is not None and span[1] <= 5

        return self._all_and_none(item, is_warm if warm else is_cold, is_cold if warm else is_warm)

    def _warm_store(self, item: Item) -> Iterator[str]:
        return self._store(item, warm=True)

    def _cold_store(self, item: Item) -> Iterator[str]:
        return self._store(item, warm=False)

    def _season_which(self, item: Item) -> Iterator[str]:
        month = 1 + next(i for i, name in enumerate(_MONTHS) if item.question.endswith(f"in {name}?"))
        return self._all_and_none(
            item, lambda e: month in self.months(e), lambda e: bool(self.months(e)) and month not in self.months(e)
        )

    def _season_month(self, item: Item) -> Iterator[str]:
        assert isinstance(item.key, OneOf)
        months = self.months(self._entry(item))
        for index, choice in enumerate(item.choices):
            if (_MONTHS.index(choice.text) + 1 in months) != (index == item.key.index):
                yield f"{choice.text} is on the wrong side"

    def _lives(self, item: Item) -> tuple[Span, list[Span]]:
        right, wrong = self._split(item)
        spans = [self.life(e) for e in (right, *wrong)]
        assert all(span is not None for span in spans)
        known = [span for span in spans if span is not None]
        return known[0], known[1:]

    def _lasts_longest(self, item: Item) -> Iterator[str]:
        right, wrong = self._lives(item)
        yield from (f"{w} may last as long as {right}" for w in wrong if w[1] >= right[0])

    def _lasts_shortest(self, item: Item) -> Iterator[str]:
        right, wrong = self._lives(item)
        yield from (f"{w} may last as short as {right}" for w in wrong if w[0] <= right[1])

    def _order_by_life(self, item: Item) -> Iterator[str]:
        assert isinstance(item.key, Order)
        spans = [self.life(self.materials[item.choices[i].material]) for i in item.key.order]
        for first, second in pairwise(spans):
            if first is None or second is None or first[1] >= second[0]:
                yield f"{first} does not come clearly before {second}"

    def _mistake(self, item: Item) -> Iterator[str]:
        assert isinstance(item.key, OneOf)
        for index, choice in enumerate(item.choices):
            truth = self._is_true(choice.text, self._entry(item))
            if truth is None:
                yield f"can't be judged: {choice.text}"
            elif truth == (index == item.key.index):
                yield f"on the wrong side: {choice.text}"

    def _is_true(self, text: str, entry: Entry) -> bool | None:
        """True, false, or None where the YAML settles neither."""
        for pattern, template in _STATEMENTS:
            match = re.fullmatch(pattern, text)
            if match:
                truth = self.number(template, entry)
                if truth is None:
                    return None
                span = span_in(match[1])
                return True if span == truth else False if self._apart(span, truth) else None
        hazard = re.fullmatch(r"It is (not )?listed as harmful to (\w+)\.", text)
        if hazard:
            level = self.level(entry, hazard[2])
            return None if level not in _HARMFUL | {"none"} else (level == "none") == bool(hazard[1])
        ethylene = {
            "It is not known to react to ethylene.": "none", "Its ethylene sensitivity is low.": "low",
            "Its ethylene sensitivity is medium.": "medium", "It is highly sensitive to ethylene.": "high",
        }.get(text)  # fmt: skip
        if ethylene:
            return self._sensitivity(entry) == ethylene
        if text.startswith("It drinks"):
            use, is_good = entry["foam"]["use"], text == "It drinks well in floral foam."
            return None if use == "fair" else (use == "good") == is_good
        if text.startswith("Its botanical name is "):
            return text == f"Its botanical name is {entry['botanical']}."
        if text.startswith("It is used as "):
            return text.removeprefix("It is used as ").rstrip(".") in _list(entry["roles"])
        return None

    def _substitute(self, item: Item) -> Iterator[str]:
        wanted = self._entry(item)
        role = re.search(r"to be used as (\w+)\?", item.question)
        assert role is not None
        place = re.search(r"safe (?:where (cats|dogs) live|in a children's (room))", item.question)
        month = re.search(r"in season in (\w+)", item.question)
        right, wrong = self._split(item)
        if right["id"] not in {row["id"] for row in wanted["substitutes"]}:
            yield "the handbook does not name the key as a substitute"
        if self._failing(right, wanted, role[1], place, month):
            yield f"the key fails: {self._failing(right, wanted, role[1], place, month)}"
        if place and self.level(right, place[1] or "people") != "none":
            yield "the key is not listed as harmless"
        named = {row["id"] for row in wanted["substitutes"]}
        for w in wrong:
            if w["id"] in named or not self._failing(w, wanted, role[1], place, month):
                yield f"the option {w['id']} might stand in"

    def _failing(
        self, entry: Entry, wanted: Entry, role: str, place: re.Match[str] | None, month: re.Match[str] | None
    ) -> str:
        dry = ("dried", "preserved")
        if (entry["kind"] in dry) != (wanted["kind"] in dry):
            return "fresh against dry"
        if role not in _list(entry["roles"]):
            return f"no {role}"
        if month and self.months(entry) and _MONTHS.index(month[1]) + 1 not in self.months(entry):
            return "out of season"
        if place:
            harmful = _HARMFUL if place[1] else _HARMFUL - {"mild"}
            if self.level(entry, place[1] or "people") in harmful:
                return "harmful"
        return ""

    # --- rules ------------------------------------------------------------------------------------------------------

    def _why(self, item: Item) -> Iterator[str]:
        assert isinstance(item.key, Points)
        reason = set(re.findall(r"[a-z0-9]+", self.rules[item.entry]["why"].lower())) | {"and"}
        for point in item.key.points:
            if not set(re.findall(r"[a-z0-9]+", point.lower())) <= reason:
                yield f"the point “{point}” is not in the reason"
        if not item.key.points:
            yield "there is no point to make"

    def _steps(self, item: Item) -> Iterator[str]:
        assert isinstance(item.key, Order)
        shown = [item.choices[i].text for i in item.key.order]
        if shown != [" ".join(step.split()) for step in self.rules[item.entry]["steps"]]:
            yield "the order is not the rule's"

    def _symptom(self, item: Item) -> Iterator[str]:
        assert isinstance(item.key, OneOf)
        causes = {" ".join(rule["why"].split()): key for key, rule in self.rules.items() if rule.get("symptom")}
        for index, choice in enumerate(item.choices):
            if (causes[choice.text] == item.entry) != (index == item.key.index):
                yield f"on the wrong side: {choice.text}"
        if f"“{self.rules[item.entry]['symptom']}.”" not in item.question:
            yield "the symptom is not the rule's"

    def _rule_number(self, item: Item) -> Iterator[str]:
        assert isinstance(item.key, Number)
        rows = [row for row in self.rules[item.entry]["numbers"] if row["name"] in item.question]
        if (item.key.low, item.key.high) not in [(row["low"], row["high"]) for row in rows]:
            yield "the key is not the rule's number"

    # --- figures ----------------------------------------------------------------------------------------------------

    def _figure(self, item: Item) -> Iterator[str]:
        if item.template == "figure-cooler":
            yield from self._cooler(item)
            return
        assert isinstance(item.key, Number)
        numbers = [float(n) for n in re.findall(r"\d+(?:\.\d+)?", item.question)]
        wanted = _ARITHMETIC[item.template](numbers, item)
        if not all(
            math.isclose(got, want, rel_tol=1e-6, abs_tol=1e-6)
            for got, want in zip((item.key.low, item.key.high), wanted, strict=True)
        ):
            yield f"the key {item.key.low}-{item.key.high} is not {wanted}"

    def _cooler(self, item: Item) -> Iterator[str]:
        assert isinstance(item.key, OneOf)
        reading = re.search(r"reads (\d+) °F", item.question)
        assert reading is not None
        celsius = (float(reading[1]) - 32) / 1.8
        span = self.number("storage-temperature", self._entry(item))
        assert span is not None
        verdict = "too cold" if celsius < span[0] else "too warm" if celsius > span[1] else "right for them"
        if item.choices[item.key.index].text != verdict:
            yield f"{celsius:.1f} °C is {verdict}"


def _same(value: float) -> Span:
    return value, value


def _pack(item: Item) -> int:
    words = {"fives": 5, "eights": 8, "tens": 10, "dozens": 12, "twenties": 20, "twenty-fives": 25, "fifties": 50}
    word = re.search(r"come in ([a-z-]+)", item.question)
    number = re.search(r"come (\d+) stems to the bunch", item.question)
    return words[word[1]] if word else int(number[1]) if number else 0


def _bunches(numbers: list[float], item: Item) -> Span:
    stems, loss = numbers[0], float(re.search(r"(\d+) % are lost", item.question)[1])  # type: ignore[index]
    reserve, added = math.ceil(stems / (1 - loss / 100) - 1e-9), math.ceil(stems * (1 + loss / 100) - 1e-9)
    pack = _pack(item)
    # Both ways in which people reckon a loss must come to the same bunches, or there would be two right answers.
    return math.ceil(reserve / pack), math.ceil(added / pack)


def _dose(numbers: list[float], item: Item) -> Span:
    question = item.question
    if "flower food" in question:
        return _same(numbers[0] * numbers[1])
    if "sugar" in question:
        return _same(numbers[0] * numbers[1] * 10)
    if "Citric acid" in question:
        return _same(numbers[0] * numbers[1] / 1000)
    if "glycerin" in question:
        return _same(numbers[1] / (1 + numbers[0]))
    strength, litres, ppm = numbers
    return _same(ppm * litres / (10 * strength))


def _volume(numbers: list[float], item: Item) -> Span:
    if "round" in item.question:
        return _same(math.pi * numbers[0] ** 2 / 4 * numbers[1] / 1000)
    return _same(numbers[0] * numbers[1] * numbers[2] / 1000)


_ARITHMETIC: Mapping[str, Callable[[list[float], Item], Span]] = {
    "figure-bunches": _bunches,
    "figure-recipe": lambda n, item: _same(math.ceil(n[0] * n[1] / _pack(item))),
    "figure-retail": lambda n, _: _same(n[0] * n[1] * n[2]),
    "figure-stem-price": lambda n, _: _same(n[1] / n[0]),
    "figure-days-left": lambda n, _: (n[0] - n[3], n[1] - n[3]),
    "figure-water-days": lambda n, _: _same(n[0] / n[1]),
    "figure-weight": lambda n, _: _same(n[0] + n[1]),
    "figure-volume": _volume,
    "figure-dose": _dose,
}
