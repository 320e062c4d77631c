"""Stock to and from CSV: one row an event, so that a lot's whole history travels."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date

from assistant.calculators.longevity import METHODS
from assistant.handbook.documents import Problem
from assistant.handbook.loading import Handbook
from assistant.stock.entries import new_lot, stand_for
from assistant.stock.ledger import Ledger
from assistant.stock.lots import USE_KINDS, Lot, NewLot, Stand, StockError, Use

COLUMNS = (
    "lot",
    "key",
    "event",
    "day",
    "material",
    "stems",
    "bunches",
    "stands",
    "degC_low",
    "degC_high",
    "paid",
    "note",
)
_EVENTS = ("received", "moved", *USE_KINDS)
# A spreadsheet runs a cell that starts like this as a formula.
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def to_csv(lots: Iterable[Lot]) -> str:
    """All events of the lots as CSV text; `from_csv` reads it back."""
    out = io.StringIO()
    writer = csv.DictWriter(out, COLUMNS, lineterminator="\n")
    writer.writeheader()
    for lot in lots:
        for index, stand in enumerate(lot.stands):
            row = {
                "lot": lot.id, "key": lot.key, "event": "moved" if index else "received", "day": stand.day.isoformat(),
                "stands": stand.method, "degC_low": f"{stand.low_degC:g}", "degC_high": f"{stand.high_degC:g}",
            }  # fmt: skip
            if not index:
                paid = f"{lot.paid:.2f}" if lot.paid is not None else ""
                row |= {"material": lot.material, "stems": lot.stems, "paid": paid, "note": _shielded(lot.note)}
            writer.writerow(row)
        for use in lot.uses:
            writer.writerow(
                {
                    "lot": lot.id, "key": lot.key, "event": use.kind, "day": use.day.isoformat(), "stems": use.stems,
                    "note": _shielded(use.note),
                }
            )  # fmt: skip
    return out.getvalue()


def _shielded(text: str) -> str:
    return "'" + text if text.startswith((*_FORMULA, "'")) else text


def _bare(text: str) -> str:
    return text[1:] if text.startswith("'") and text[1:].startswith((*_FORMULA, "'")) else text


@dataclass
class _Building:
    lot: NewLot
    line: int
    stands: list[Stand] = field(default_factory=list)
    uses: list[Use] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Read:
    """What a CSV held: lots with their moves and uses, and every problem with its line."""

    lots: tuple[tuple[NewLot, tuple[Stand, ...], tuple[Use, ...]], ...]
    problems: tuple[Problem, ...]


def from_csv(text: str, handbook: Handbook, *, file: str, today: date, market: str = "EU") -> Read:
    """Read lots from CSV text. Needs `material`, `day` and `stems` or `bunches`; everything else has a default.

    A row without an event is a delivery. Moves and uses follow their delivery and carry its number in `lot`.
    """
    problems: list[Problem] = []
    building: dict[str, _Building] = {}
    reader = csv.DictReader(io.StringIO(text.removeprefix("\ufeff")))
    unknown = [name for name in reader.fieldnames or () if name not in COLUMNS]
    if not reader.fieldnames or unknown:
        said = f"'{unknown[0]}' is not a column" if unknown else "the file is empty"
        return Read((), (Problem(file, 1, 1, "", f"{said}; the columns are {', '.join(COLUMNS)}"),))
    for row in _rows(reader, file, problems):
        line = reader.line_num
        try:
            _take_row(row, line, building, handbook, today, market)
        except (StockError, ValueError) as error:
            problems.append(Problem(file, line, 1, "", str(error)))
    lots = tuple((b.lot, tuple(b.stands), tuple(b.uses)) for b in building.values())
    return Read(lots, tuple(problems))


def _rows(reader: csv.DictReader[str], file: str, problems: list[Problem]) -> Iterator[dict[str, str]]:
    try:
        for row in reader:
            if None in row:
                problems.append(
                    Problem(file, reader.line_num, 1, "", "has more cells than the heading; quote a text with commas")
                )
                continue
            yield {name: (value or "").strip() for name, value in row.items()}
    except csv.Error as error:
        problems.append(Problem(file, reader.line_num, 1, "", f"not CSV: {error}"))


def _take_row(
    row: dict[str, str], line: int, building: dict[str, _Building], handbook: Handbook, today: date, market: str
) -> None:
    event = row.get("event") or "received"
    if event not in _EVENTS:
        raise StockError(f"event is one of {', '.join(_EVENTS)}; not '{event}'")
    try:
        day = date.fromisoformat(row.get("day", ""))
    except ValueError:
        raise StockError(f"day must look like 2026-12-07, not '{row.get('day', '')}'") from None
    if day > today:
        raise StockError(f"{day} has not come yet")
    number = row.get("lot") or f"line {line}"
    if event == "received":
        if number in building:
            raise StockError(f"lot {number} is received twice (first on line {building[number].line})")
        building[number] = _Building(_delivery(row, day, handbook, market), line)
        return
    if number not in building:
        raise StockError(f"lot {number} has no row 'received' above this one")
    if event == "moved":
        building[number].stands.append(_stand(row, day))
    else:
        stems = _number(row, "stems")
        if stems is None or stems != int(stems):
            raise StockError("stems must be a whole number")
        building[number].uses.append(Use(day, event, int(stems), _bare(row.get("note", ""))))  # type: ignore[arg-type]


def _delivery(row: dict[str, str], day: date, handbook: Handbook, market: str) -> NewLot:
    material = handbook.materials.get(row.get("material", ""))
    if material is None:
        raise StockError(f"there is no material '{row.get('material', '')}' in the handbook; give its id")
    stand = (
        _stand(row, day)
        if row.get("stands")
        else stand_for(material, handbook, day, "bench" if material.is_dry else "cooler")
    )
    lot = new_lot(
        material, stand, stems=_number(row, "stems"), bunches=_number(row, "bunches"), market=market,
        price=_number(row, "paid"), price_per="lot", note=_bare(row.get("note", "")),
    )  # fmt: skip
    return NewLot(lot.material, lot.stems, lot.stand, lot.paid, lot.note, row.get("key") or None)


def _stand(row: dict[str, str], day: date) -> Stand:
    method = row.get("stands", "")
    if method not in METHODS:
        raise StockError(f"stands is one of {', '.join(METHODS)}; not '{method}'")
    low = _number(row, "degC_low")
    high = _number(row, "degC_high")
    if low is None:
        raise StockError("degC_low must say how warm it stands")
    return Stand(day, method, low, low if high is None else high)  # type: ignore[arg-type]


def _number(row: dict[str, str], name: str) -> float | None:
    text = row.get(name, "")
    if not text:
        return None
    try:
        value = float(text)
    except ValueError:
        raise StockError(f"{name} must be a number, not '{text}'") from None
    if not abs(value) < 1e9:
        raise StockError(f"{name} must be a plain number")
    return value


def import_lots(ledger: Ledger, read: Read) -> tuple[int, int]:
    """Write what was read, all or none; returns (written, already there)."""
    if read.problems:
        raise StockError(f"{len(read.problems)} rows can't be read; nothing was written.")
    return ledger.take_in(read.lots)
