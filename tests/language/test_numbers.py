import pytest

from assistant.language.numbers import words_to_digits


@pytest.mark.parametrize(
    ("said", "read"),
    [
        ("a dozen and a half roses", "18 roses"),
        ("two dozen tulips", "24 tulips"),
        ("half a dozen", "6"),
        ("a couple dozen", "24"),
        ("a dozen dozen roses", "144 roses"),
        ("two and a half gallons", "2.5 gallons"),
        ("half a gallon", "0.5 gallon"),
        ("1/2 gallon", "0.5 gallon"),
        ("three quarters of a litre", "0.75 litre"),
        ("a week and a half", "1.5 week"),
        ("one hundred and forty stems", "140 stems"),
        ("a hundred and forty stems", "140 stems"),
        ("sixteen days at twenty-two", "16 days at 22"),
        ("two three days", "2 3 days"),
        ("one bunch", "1 bunch"),
        ("the first one", "the first one"),
        ("what about the second one", "what about the second one"),
        ("ten and twelve", "10 and 12"),
    ],
)
def test_number_words(said: str, read: str) -> None:
    assert words_to_digits(said) == read


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("zero point zero five percent bleach", "0.05 percent bleach"),
        ("twenty two point five degrees", "22.5 degrees"),
        ("at this point five of them wilt", "at this point 5 of them wilt"),
        ("a bigger one twenty two high", "a bigger one 22 high"),
        ("one gross of roses", "144 roses"),
        ("5 hundred stems", "500 stems"),
        ("2 thousand roses", "2000 roses"),
        ("half a thousand", "500"),
        ("half a gross of germini", "72 of germini"),
        ("two dozen and four gloriosa", "28 gloriosa"),
        ("scratch that, one fifty", "scratch that, 150"),
        ("i need one fifty roses", "i need 150 roses"),
        ("roses at one fifty a stem", "roses at 1.50 a stem"),
        ("one fifty centimetre vase", "1 50 centimetre vase"),
        ("one point two a stem", "1.2 a stem"),
        ("there's one point to make", "there's one point to make"),
        ("three and half in there", "3.5 in there"),
        ("three a and half in there", "3.5 in there"),
        ("five and quarter percent", "5.25 percent"),
        ("thirty roses and half the tulips", "30 roses and half the tulips"),
        ("ten and half as many tulips", "10 and half as many tulips"),
        ("thirty roses and half size vases", "30 roses and half size vases"),
        ("leucadendron, one twenty a stem", "leucadendron, 1.20 a stem"),
        ("twelve times twelve roses", "144 roses"),
        ("top up 2 times 3 days apart", "top up 2 times 3 days apart"),
    ],
)
def test_decimals_are_said_digit_by_digit(said: str, meant: str) -> None:
    assert words_to_digits(said) == meant
