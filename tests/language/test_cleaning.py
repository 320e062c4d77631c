import pytest

from assistant.language.cleaning import MAX_CHARACTERS, TooLong, normalise, safe_text


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("\x1b[31mroses\x1b[0m", "roses"),
        ("\x1b]0;title\x07roses", "roses"),
        ("\x9b2Jroses", "roses"),
        ("ro\u200bses", "roses"),
        ("\u202eroses", "roses"),
        ("a\tb\nc", "a b c"),
        ("[bold]roses[/bold]", "[bold]roses[/bold]"),
    ],
)
def test_nothing_that_drives_a_terminal_survives(typed: str, kept: str) -> None:
    assert safe_text(typed) == kept


def test_quotes_dashes_and_fractions_are_made_even() -> None:
    assert (
        normalise("Baby’s Breath – 2½ litres, ½ gallon, 20 × 30") == "baby's breath - 2.5 litres, 0.5 gallon, 20 x 30"
    )


def test_a_message_longer_than_any_question_is_refused_and_not_cut() -> None:
    with pytest.raises(TooLong, match="10,000 characters"):
        normalise("x" * 10_000)
    assert normalise("x" * MAX_CHARACTERS)


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("50 ppm in gallon of water", "50 ppm in a gallon of water"),
        ("10 ml per gallon", "10 ml per gallon"),
        ("in a gallon", "in a gallon"),
        ("flower food goes in at 5 ml litre", "flower food goes in at 5 ml a litre"),
        ("a 5 ml spoon", "a 5 ml spoon"),
        ("25 come in bunch", "25 come in a bunch"),
        ("nine inches wide, foot of water in it", "nine inches wide, a foot of water in it"),
        ("at the foot of the stairs", "at the foot of the stairs"),
    ],
)
def test_articles_left_out_before_measures_are_put_back(typed: str, meant: str) -> None:
    assert normalise(typed) == meant
