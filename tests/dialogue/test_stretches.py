"""Times of a follow-up: of the past, of the cooler, or of the show. The conversations are our own, no source."""

from __future__ import annotations

from assistant.dialogue.answer import Answer
from assistant.dialogue.conversation import Conversation


def inputs(answer: Answer) -> dict[str, float | str]:
    return {i.name: i.value for i in answer.figures[0].inputs}


def test_days_more_add_to_those_said_before(talk: Conversation) -> None:
    talk.turn("carnations at 22 degrees, how long")
    first = talk.turn("and suppose they were five more days old")
    assert (inputs(first)["elapsed_days"], inputs(first)["display_temperature"]) == (5, 22)
    assert not first.reply.startswith("Yes")
    assert inputs(talk.turn("and another three days on top"))["elapsed_days"] == 8


def test_days_put_right_are_those_of_the_past(talk: Conversation) -> None:
    talk.turn("mini gerberas have been standing five days at 21")
    answer = talk.turn("three days, i can't count")
    assert inputs(answer)["elapsed_days"] == 3
    assert "display_days" not in inputs(answer)


def test_days_they_must_last_stay_a_goal(talk: Conversation) -> None:
    talk.turn("mini gerberas have been standing two days at 21, how long")
    answer = talk.turn("will they last four days")
    assert (inputs(answer)["elapsed_days"], inputs(answer)["display_days"]) == (2, 4)


def test_days_in_the_cold_of_the_turn_before(talk: Conversation) -> None:
    talk.turn("banksia bagged in the walk-in at 3, how many weeks have i got")
    answer = talk.turn("it's had 14 days of that and now goes in a room at 21. what's left in it")
    told = inputs(answer)
    assert (told["stored_days"], told["storage_temperature"], told["display_temperature"]) == (14, 3, 21)


def test_a_colder_number_is_the_coolers(talk: Conversation) -> None:
    talk.turn("roses in the cooler 4 days at 2 then 22 in the hall, how long left")
    answer = talk.turn("and if they were at 5")
    assert (inputs(answer)["storage_temperature"], inputs(answer)["display_temperature"]) == (5, 22)


def test_foam_after_an_order_asks_the_life_again(talk: Conversation) -> None:
    talk.turn("23 degrees, roses, how long")
    talk.turn("need ninety, what's the order")
    answer = talk.turn("and in floral foam?")
    assert answer.tasks == ("longevity",)
    assert (inputs(answer)["support"], inputs(answer)["display_temperature"]) == ("foam-kept-wet", 23)


def test_foam_after_an_order_alone_has_no_life_to_ask_again(talk: Conversation) -> None:
    talk.turn("need ninety roses, what's the order")
    assert "longevity" not in talk.turn("and in floral foam?").tasks


def test_bricks_after_an_order_are_no_life(talk: Conversation) -> None:
    talk.turn("23 degrees, roses, how long")
    talk.turn("need ninety, what's the order")
    assert "longevity" not in talk.turn("how many bricks of foam is that").tasks


def test_days_in_the_cooler_by_a_date(talk: Conversation) -> None:
    answer = talk.turn(
        "Our stock landed Thursday of last week and it's been in the cooler at 2 C ever since. Today it moves to a 21 C room. "
        "How many days are left in it?"
    )
    assert answer.materials == ("stock",)
    assert (inputs(answer)["stored_days"], inputs(answer)["storage_temperature"]) == (6, 2)


def test_a_life_in_the_cold_alone_is_storage(talk: Conversation) -> None:
    assert talk.turn("how many days do peonies keep at 1 degree").figures[0].kind == "storage_days"


def test_days_in_the_cold_since_a_day_stay_so(talk: Conversation) -> None:
    """The tests' clock stands on 25 November 2026, a Wednesday."""
    talk.turn("eryngium came friday, been in the cold at 2 since. goes to a 22 degree flat tonight")
    warmer = inputs(talk.turn("26 there I mean"))
    assert (warmer["stored_days"], warmer["storage_temperature"], warmer["display_temperature"]) == (5, 2, 26)
    assert "elapsed_days" not in warmer
    assert inputs(talk.turn("no, it came on monday"))["stored_days"] == 2
    assert inputs(talk.turn("sorry, it'd been in there 10 days"))["stored_days"] == 10


def test_the_cold_changed_is_the_same_life(talk: Conversation) -> None:
    talk.turn("how long do tulips last after 3 days in the cooler at 2, room at 20")
    answer = talk.turn("change the cold storage to a week")
    assert answer.tasks == ("longevity",)
    assert (inputs(answer)["stored_days"], inputs(answer)["display_temperature"]) == (7, 20)


def test_a_room_after_the_cooler_asks_for_a_life(talk: Conversation) -> None:
    talk.turn("can i keep roses in the cooler for 5 days at 3")
    answer = talk.turn("and after that at 20, how long")
    assert answer.tasks == ("longevity",)
    assert (inputs(answer)["stored_days"], inputs(answer)["storage_temperature"]) == (5, 3)


def test_days_and_degrees_of_a_store_hold_for_the_next(talk: Conversation) -> None:
    talk.turn("can boxwood sit boxed for 17 days at 2")
    answer = talk.turn("what about the holly")
    assert (inputs(answer)["stored_days"], inputs(answer)["storage_temperature"]) == (17, 2)


def test_a_lone_number_goes_on_being_the_rooms(talk: Conversation) -> None:
    talk.turn("zinnia 25, how long")
    assert inputs(talk.turn("and carnations?"))["display_temperature"] == 25


def test_double_the_run_is_of_its_days(talk: Conversation) -> None:
    talk.turn("oncidium in a lobby at 22 for twenty days, when do i replace them")
    assert inputs(talk.turn("double the run"))["display_days"] == 40


def test_what_replaces_an_aged_lot_is_fresh(talk: Conversation) -> None:
    fresh = talk.turn("how often do i replace roses over three weeks at 20")
    aged = talk.turn("they are four days old")
    assert int(fresh.figures[0].dates[0].removeprefix("day ")) > int(aged.figures[0].dates[0].removeprefix("day "))
    first, second = (int(day.removeprefix("day ")) for day in aged.figures[0].dates[:2])
    assert second - first > first
    assert "what replaces it comes in fresh" in aged.reply


def test_rounds_of_a_display_are_a_refresh(talk: Conversation) -> None:
    assert talk.turn("how many sets of gerberas are used over 16 days").tasks == ("refresh",)
    assert talk.turn("tulips on for a fortnight, will one swap do").tasks == ("refresh",)


def test_dry_work_for_years_is_held_against_its_shelf_life(talk: Conversation) -> None:
    answer = talk.turn("the preserved moss wall is left alone for two years, when do we replace it")
    assert answer.reply.startswith("Yes")
    assert answer.figures[0].kind == "shelf_life"


def test_dried_material_side_by_side_assumes_no_vase(talk: Conversation) -> None:
    answer = talk.turn("preserved beech or preserved oak, which lasts longer")
    assert answer.figures
    assert "flower food" not in answer.reply
    assert "flower food" in talk.turn("roses or tulips, which last longer").reply


def test_a_person_in_the_cold_store_is_told_of_its_door(talk: Conversation) -> None:
    answer = talk.turn("i'll be in the walk in cooler for an hour sorting boxes, anything to watch")
    assert "door" in answer.reply


def test_an_end_before_the_start_is_said(talk: Conversation) -> None:
    answer = talk.turn("display from 5 December until 1 December, roses at 20, when do I replace them")
    assert answer.outcome == "asked_back"
    assert "before" in answer.reply


def test_damp_air_is_said_of_a_dry_store(talk: Conversation) -> None:
    talk.turn("where do I store dried statice")
    answer = talk.turn("it gets to 75% humidity up there")
    assert "damper" in answer.reply
    assert inputs(answer)["humidity"] == 75
