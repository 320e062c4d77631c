"""The order list as CSV, and the plan as JSON."""

from __future__ import annotations

import csv
import dataclasses
import io
import json

from assistant.sheets.jsonform import as_json
from assistant.sheets.listing import COLUMNS, as_csv
from assistant.sheets.parts import Plan


def rows(plan: Plan) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(as_csv(plan))))


def test_every_line_of_every_delivery_is_a_row(made: Plan) -> None:
    found = rows(made)
    assert tuple(found[0]) == COLUMNS
    lines = [(delivery, line) for delivery in made.deliveries for line in delivery.lines]
    assert len(found) == len(lines)
    for row, (delivery, line) in zip(found, lines, strict=True):
        assert row["material"] == line.material
        assert row["needed_on"] == delivery.on.isoformat()
        assert int(row["bunches"]) == line.to_order
        assert int(row["stems_needed"]) == line.needed
        assert row["probability"] == ("" if line.probability is None else f"{line.probability:.4f}")
        assert line.cost is not None
        assert float(row["cost"]) == round(line.cost.value, 2)
    assert made.money is not None
    assert abs(sum(float(row["cost"]) for row in found) - made.money.cost.value) < 0.005 * len(found)


def test_a_name_never_runs_as_a_formula(made: Plan) -> None:
    evil = dataclasses.replace(made, names={**made.names, "lisianthus": "=1+1"})
    assert {row["name"] for row in rows(evil) if row["material"] == "lisianthus"} == {"'=1+1"}


def test_json_is_plain_and_says_what_the_plan_says(made: Plan) -> None:
    data = json.loads(json.dumps(as_json(made), allow_nan=False))
    assert data["install"] == "2026-12-07"
    assert [order["delivery"] for order in data["orders"]] == [delivery.number for delivery in made.deliveries]
    assert len(data["visits"]) == len(made.visits)
    assert data["cost"]["currency"] == "EUR"
    assert data["water"]["top_ups"][0]["on"] == made.water.days[0].on.isoformat() if made.water else False
    assert {figure["kind"] for figure in data["figures"]} >= {"bunches", "days_remaining", "filled_weight"}
    assert {flag["severity"] for flag in data["flags"]} <= {"stop", "watch", "note"}
