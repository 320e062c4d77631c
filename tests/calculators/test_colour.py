import pytest

from assistant.calculators.colour import delta_e_2000, nearest
from assistant.calculators.ranges import OutOfRange


def test_same_is_nothing_and_order_does_not_matter():
    assert delta_e_2000("#bf1e3a", "#bf1e3a") == 0
    assert delta_e_2000("#bf1e3a", "#f3c300") == pytest.approx(delta_e_2000("#f3c300", "#bf1e3a"))


def test_a_florist_would_agree():
    blush, pink, red, green = "#f3d3d0", "#f48fa0", "#bf1e3a", "#3b7a3b"
    assert delta_e_2000(blush, pink) < delta_e_2000(blush, red)
    assert delta_e_2000(red, pink) < delta_e_2000(red, green)


def test_nearest_pair():
    assert nearest(["#ffffff", "#bf1e3a"], ["#3b7a3b", "#c01f3b"])[1:] == ("#bf1e3a", "#c01f3b")
    assert nearest([], ["#ffffff"]) is None
    assert nearest(["#ffffff"], []) is None


@pytest.mark.parametrize("bad", ["red", "#FFF", "#ggg000", "", "#BF1E3A"])
def test_other_spellings_are_refused(bad):
    with pytest.raises(OutOfRange):
        delta_e_2000(bad, "#ffffff")
