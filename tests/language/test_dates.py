from datetime import date

import pytest

from assistant.language.dates import find_date_range, find_dates, find_month, impossible_date

TODAY = date(2026, 11, 25)  # a Wednesday


@pytest.mark.parametrize(
    ("text", "day", "direction"),
    [
        ("stock came in tuesday", date(2026, 11, 24), "past"),
        ("got them on monday", date(2026, 11, 23), "past"),
        ("came in on the 20th", date(2026, 11, 20), "past"),
        ("arrived on the 20th of november", date(2026, 11, 20), "past"),
        ("they arrived yesterday", date(2026, 11, 24), "past"),
        ("since last friday", date(2026, 11, 20), "past"),
        ("will they last to saturday", date(2026, 11, 28), "until"),
        ("for the 12th", date(2026, 12, 12), "until"),
        ("wedding next friday", date(2026, 12, 4), "until"),
        ("until 5 december", date(2026, 12, 5), "until"),
        ("wedding 3 march", date(2027, 3, 3), "until"),
        ("install monday 7 december", date(2026, 12, 7), "start"),
        ("monday i put the skimmia out", date(2026, 11, 23), "past"),
        ("kangaroo paw went up on sunday", date(2026, 11, 22), "past"),
        ("unboxed saturday", date(2026, 11, 21), "past"),
        ("it will be hung on friday", date(2026, 11, 27), "until"),
        ("roses from the 1st and it's for 14 days", date(2026, 12, 1), "start"),
        ("we decorate on the 29th", date(2026, 11, 29), "start"),
        ("it stays up till twelfth night", date(2027, 1, 5), "until"),
        ("put in the day before yesterday", date(2026, 11, 23), "past"),
        ("galax comes in and is used on the 30th", date(2026, 11, 30), "until"),
        ("put skimmia out on display monday, how many more days is it good for", date(2026, 11, 23), "past"),
        ("i put tulips out on saturday, will they last", date(2026, 11, 21), "past"),
        ("if i put the roses out on friday how long have they got", date(2026, 11, 27), "start"),
        ("want to put tulips out on display saturday", date(2026, 11, 28), "plain"),
        ("came in the day before today", date(2026, 11, 24), "past"),
    ],
)
def test_a_day_and_its_direction(text: str, day: date, direction: str) -> None:
    (found,) = find_dates(text, TODAY)
    assert (found.day, found.direction) == (day, direction)


def test_months() -> None:
    assert find_month("peonies in october")[0] == 10
    assert find_month("winterberry and pussy willow, december?")[0] == 12
    assert find_month("it may be warm") is None


def test_a_day_no_calendar_has_is_named() -> None:
    assert impossible_date("roses for the 31st of february", TODAY) == "the 31st of february"
    assert impossible_date("roses for the 28th of february", TODAY) is None


@pytest.mark.parametrize(
    ("text", "first", "last"),
    [
        ("from 1 to 15 december", date(2026, 12, 1), date(2026, 12, 15)),
        ("the 3rd till the 17th of january", date(2027, 1, 3), date(2027, 1, 17)),
    ],
)
def test_days_of_one_month(text: str, first: date, last: date) -> None:
    found = find_date_range(text, TODAY)
    assert found is not None
    assert (found.first, found.last) == (first, last)


@pytest.mark.parametrize(
    ("text", "first", "last"),
    [
        ("on the desk all of december", date(2026, 12, 1), date(2027, 1, 1)),
        ("throughout february", date(2027, 2, 1), date(2027, 3, 1)),
        ("the whole of november", date(2026, 11, 1), date(2026, 12, 1)),  # it runs
    ],
)
def test_a_whole_month(text: str, first: date, last: date) -> None:
    found = find_date_range(text, TODAY)
    assert found is not None
    assert (found.first, found.last) == (first, last)


@pytest.mark.parametrize("text", ["15 to 1 december", "10 to 12 stems", "30 to 31 february"])
def test_no_days_of_one_month(text: str) -> None:
    assert find_date_range(text, TODAY) is None
