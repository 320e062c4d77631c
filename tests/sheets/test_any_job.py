"""Any job that can be written down gets a plan and a sheet, or one plain sentence."""

from __future__ import annotations

from datetime import date, timedelta

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.calculators.ranges import OutOfRange
from assistant.handbook.loading import Handbook
from assistant.sheets.calendar import as_ical
from assistant.sheets.html import as_html
from assistant.sheets.jsonform import as_json
from assistant.sheets.listing import as_csv
from assistant.sheets.markdown import as_markdown
from assistant.sheets.plan import plan
from assistant.sheets.prices import PriceList
from assistant.sheets.sheet import sheet_of
from assistant.sheets.text import as_text
from assistant.stock.holdings import Holdings
from assistant.stock.lots import Lot, Stand

from .conftest import STAMP, small
from .test_calendar import strict

UP = date(2026, 12, 7)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=40)
@given(data=st.data())
def test_any_job(data: st.DataObject, handbook: Handbook, prices: PriceList) -> None:
    draw = data.draw
    names = draw(st.lists(st.sampled_from(sorted(handbook.materials)), min_size=1, max_size=6, unique=True))
    count = st.sampled_from(("stems", "bunches"))
    job = small(
        recipe=[{"material": name, draw(count): draw(st.integers(1, 200))} for name in names],
        display_days=draw(st.integers(1, 60)),
        degC=[float(draw(st.integers(-5, 20))), float(draw(st.integers(20, 40)))],
        humidity=float(draw(st.integers(0, 100))),
        pieces=draw(st.integers(1, 5)),
        support=draw(st.sampled_from(("vase-food", "plain-water", "foam-kept-wet", "foam-drying", "out-of-water"))),
        plan_on=draw(st.sampled_from(("short", "middle"))),
        open_days=draw(st.sampled_from(([], ["mon"], ["mon", "thu"], ["tue", "wed", "thu", "fri", "sat"]))),
        vessels=draw(st.sampled_from(([], [{"vessel": "bucket", "count": 3}], [{"vessel": "bud-vase"}]))),
        place=draw(st.sampled_from((None, "reading-room", "kitchen", "ward"))),
        near=draw(st.sampled_from(([], ["heater", "fruit"]))),
    )
    lots = tuple(
        Lot(n, f"k{n}", name, 9, None, "", (Stand(UP - timedelta(days=n), "cooler-wet", 1.0, 4.0),), ())
        for n, name in enumerate(names, 1)
    )
    said = ""
    try:
        made = plan(job, handbook, Holdings(lots), prices=prices)
    except OutOfRange as error:
        said = str(error)
    if said:
        assert said.endswith(".")
        return
    for visit in made.visits:
        assert UP < visit.on < made.ends
        assert all(change.stems for change in visit.changes if made.need(change.material).stems)
    for draw_ in made.draws:
        need = made.need(draw_.material)
        assert need.stems is not None
        assert sum(d.stems for d in made.draws if d.material == draw_.material) <= need.stems
    sheet = sheet_of(made)
    assert as_html(sheet) and as_markdown(sheet) and as_text(sheet) and as_csv(made)  # noqa: PT018
    assert as_json(made)["install"] == "2026-12-07"
    strict(as_ical(made, STAMP))
