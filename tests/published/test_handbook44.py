"""Units against NIST Handbook 44 (exact) and a textbook's rounded exercises."""

import pytest

from assistant.calculators.units import convert

# nist_hb44, appendix C; exact by definition.
EXACT = [
    ("us_gal", "l", 3.785411784), ("us_fl_oz", "ml", 29.5735295625), ("us_qt", "l", 0.946352946),
    ("us_cup", "ml", 236.5882365), ("us_tbsp", "ml", 14.78676478125), ("us_tsp", "ml", 4.92892159375),
    ("imp_gal", "l", 4.54609), ("imp_fl_oz", "ml", 28.4130625), ("imp_pt", "l", 0.56826125), ("in", "mm", 25.4),
    ("lb", "kg", 0.45359237),
]  # fmt: skip


@pytest.mark.parametrize(("frm", "to", "value"), EXACT)
def test_definitions(frm, to, value):
    assert convert(1, frm, to) == pytest.approx(value, rel=1e-14)


def test_textbook_exercises():
    # openstax_prealg; its 16.7 fl oz for 500 ml uses a coarse 30 ml and is not reproduced.
    assert convert(1, "us_gal", "us_fl_oz") == pytest.approx(128)
    assert convert(8, "us_gal", "l") == pytest.approx(30.2, abs=0.1)
    assert convert(77, "degF", "degC") == pytest.approx(25)
    assert convert(64, "degF", "degC") == pytest.approx(17.8, abs=0.03)
