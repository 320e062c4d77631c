"""The shop's own prices, days and cooler: `prices.yaml` in its overlay folder. No price comes from anywhere else."""

from __future__ import annotations

from functools import cached_property
from pathlib import Path
from typing import Annotated, Literal, Self

from pydantic import AfterValidator, Field, Strict, model_validator

from assistant.calculators.ranges import Estimate
from assistant.handbook.documents import Problem, read_document
from assistant.handbook.loading import Handbook, HandbookError, validated
from assistant.handbook.models import Id, Model, Text
from assistant.sheets.job import Range, Weekdays, middle

FILE_NAME = "prices.yaml"


def _currency(code: str) -> str:
    if not (len(code) == 3 and code.isascii() and code.isupper()):
        raise ValueError(f"must be three capital letters such as EUR (found '{code:.20}')")
    return code


class Price(Model):
    """What the shop pays for one bunch or one stem of a material. One number or [low, high], its own money."""

    material: Id
    per: Literal["bunch", "stem"] = "bunch"
    price: Range
    note: Text | None = None

    @model_validator(mode="after")
    def _can_be(self) -> Self:
        if not 0 <= self.price[0] <= self.price[1]:
            raise ValueError("a price is one number or [low, high], not below 0")
        return self

    def per_bunch(self, stems_per_bunch: Estimate | None) -> Estimate | None:
        """Price of a bunch [money]; None where it is by the stem and the pack is not known."""
        own = middle(self.price)
        if self.per == "bunch":
            return own
        if stems_per_bunch is None:
            return None
        pack = stems_per_bunch
        return Estimate(own.low * pack.low, own.value * pack.value, own.high * pack.high)


class PriceList(Model):
    """One shop's prices and working days.

    `order_lead_days` is how long before a delivery the order must be out; `delivery_days` and `work_days` are the
    weekdays on which a delivery comes and on which somebody works; `cooler_degC` is what the shop's cooler keeps.
    """

    prices: tuple[Price, ...]
    currency: Annotated[str, Strict(), AfterValidator(_currency)]
    title: Text | None = None
    mark_up: Annotated[float, Strict(), Field(ge=1, le=20)] | None = None
    order_lead_days: Annotated[int, Strict(), Field(ge=0, le=60)] | None = None
    delivery_days: Weekdays = ()
    work_days: Weekdays = ()
    cooler_degC: Range | None = None  # noqa: N815

    @cached_property
    def by_material(self) -> dict[str, Price]:
        return {row.material: row for row in self.prices}


def check_prices(folder: Path, handbook: Handbook) -> tuple[PriceList | None, list[Problem]]:
    """Read and validate the shop's prices, with file and line of everything wrong; (None, []) where it has none."""
    path = folder / FILE_NAME
    if not path.is_file():
        return None, []
    document, problems = read_document(path, str(Path(folder.name) / FILE_NAME))
    if document is None or problems:
        return None, problems
    listed, problems = validated(document, PriceList)
    if listed is None:
        return None, problems
    seen: set[str] = set()
    for index, row in enumerate(listed.prices):
        here = ("prices", index, "material")
        if row.material not in handbook.materials:
            problems.append(document.problem(here, f"there is no material '{row.material}'; give its id"))
        elif row.material in seen:
            problems.append(document.problem(here, f"'{row.material}' has two prices; keep one"))
        seen.add(row.material)
    return (None if problems else listed), problems


def load_prices(folder: Path, handbook: Handbook) -> PriceList | None:
    """The shop's prices, or None where its folder has no prices.yaml.

    Raises:
        HandbookError: with every problem found.
    """
    listed, problems = check_prices(folder, handbook)
    if problems:
        raise HandbookError(problems)
    return listed
