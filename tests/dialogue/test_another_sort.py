"""Follow-ups that name a material by its sort, state or head alone; trade names, common practice, no source."""

from __future__ import annotations

import pytest

from assistant.dialogue.another_sort import as_spoken_of
from assistant.dialogue.conversation import Conversation


@pytest.mark.parametrize(
    ("turns", "materials"),
    [
        (("how long do globe thistles keep for", "no the dried ones sorry"), {"dried-globe-thistle"}),
        (("70 chinese lanterns, how many bunches", "i mean dried"), {"dried-physalis"}),
        (("how long does dried statice keep", "and the fresh one in a vase?"), {"statice"}),
        (("sheet moss has gone crispy, shall i mist it", "what about the reindeer sort"), {"reindeer-moss"}),
        (("are dried poppy pods safe for children", "and the dried lotus ones"), {"dried-lotus-pod"}),
        (("gomphrena about fresh?", "dried then. 14 buttonholes with 3 heads each"), {"dried-gomphrena"}),
        (("250 ears of dried wheat in bundles", "what about fresh green instead, same number"), {"wheat"}),
        (("how long does dried lavender keep", "same for statice, the dried sort"), {"dried-statice"}),
        (("la lilies with a cat, yes or no", "and the longis"), {"longiflorum-lily"}),
    ],
)
def test_the_sort_alone_picks_the_material(talk: Conversation, turns: tuple[str, ...], materials: set[str]) -> None:
    for text in turns:
        answer = talk.turn(text)
    assert set(answer.materials) == materials


def test_one_of_two_states_is_picked(talk: Conversation) -> None:
    talk.turn("how long do fresh quaking grass and dried quaking grass last")
    assert talk.turn("the dried one, how many months then").materials == ("dried-quaking-grass",)


def test_a_head_means_the_sort_spoken_of(talk: Conversation) -> None:
    talk.turn("14 tables, each 9 limonium and 6 mini gerberas, how many bunches")
    assert talk.turn("drop the gerberas").materials == ("limonium",)


def test_berries_of_what_was_spoken_of_are_no_material(talk: Conversation) -> None:
    parser, handbook = talk.context.parser, talk.context.handbook
    question = parser.parse("strip the berries off then?", today=talk.context.today)
    assert question.mentions
    assert as_spoken_of(question, ("nandina",), parser.names, handbook) == ()


def test_a_fresh_material_named_in_full_is_itself(talk: Conversation) -> None:
    talk.turn("how long does dried statice keep")
    assert talk.turn("how long does fresh statice last").materials == ("statice",)


def test_a_word_of_its_name_takes_one_out(talk: Conversation) -> None:
    talk.turn("bells of ireland with camellia leaf, three weeks at 19 degrees, how often do i replace them")
    assert talk.turn("cut it to a fortnight and lose the bells").materials == ("camellia-foliage",)


@pytest.mark.parametrize(
    ("turns", "materials"),
    [
        (("preserved roses, how many months", "ones just dried on the stem?"), {"dried-rose"}),
        (("glycerine for baby blue, how much to how much water", "once it's preserved, how many years"), {"preserved-eucalyptus"}),
        (("dried quaking grass, what is it", "do we sell it fresh and when"), {"quaking-grass"}),
        (("dried physalis, safe by a toddler?", "how do you dry your own anyway"), {"physalis-lantern"}),
        (("gunnii with no water, how long at 19", "and the one with the seeds on"), {"seeded-eucalyptus"}),
        (("globe thistle or sea holly, which lasts longest", "the globe then, in a 22 degree room"), {"globe-thistle"}),
        (("when is apple blossom in", "when's cherry around from"), {"cherry-blossom"}),
        (("will sheet moss keep in a bathroom", "and if it was the springy coral kind"), {"reindeer-moss"}),
        (("guelder rose, how long at 20", "and the blue-black berry one"), {"viburnum-berry"}),
        (("drumsticks??", "purple she said, so not the yellow ones"), {"allium"}),
    ],
)  # fmt: skip
def test_a_sort_without_its_noun_picks_the_material(
    talk: Conversation, turns: tuple[str, ...], materials: set[str]
) -> None:
    for text in turns:
        answer = talk.turn(text)
    assert set(answer.materials) == materials


def test_a_choice_asked_for_may_be_described_by_its_looks(talk: Conversation) -> None:
    assert talk.turn("celosia at 20 degrees, how long").outcome == "asked_back"
    answer = talk.turn("the feathery one")
    assert (answer.outcome, answer.materials) == ("answered", ("plume-celosia",))


def test_words_that_pick_no_sort_change_nothing(talk: Conversation) -> None:
    talk.turn("how long do roses last at 20 degrees")
    for text in ("will they keep fresh until Saturday", "and with either one", "once out of the box, do they dry out"):
        assert set(talk.turn(text).materials) <= {"rose"}


def test_a_whole_name_is_not_the_one_spoken_of(talk: Conversation) -> None:
    # "Winterberry holly" is another name of winterberry; "the holly" is the evergreen all the same.
    talk.turn("when can I get winterberry")
    assert talk.turn("is the holly around then also?").materials == ("holly",)


def test_the_other_of_two_is_the_one_not_asked_about(talk: Conversation) -> None:
    talk.turn("of thryptomene and waxflower, which lasts longest")
    talk.turn("at 21 degrees, the waxflower has how long?")
    assert talk.turn("in which months can the other be had?").materials == ("thryptomene",)


def test_company_in_the_cooler_is_not_what_is_asked_about(talk: Conversation) -> None:
    talk.turn("anthuriums look dull after the journey, may I put leaf shine on them")
    answer = talk.turn("one's got black patches, it was in with the roses overnight")
    assert answer.materials == ("anthurium",)
    assert talk.turn("what about roses").materials == ("rose",)


def test_one_material_of_a_list_is_changed_to_its_dried_form(talk: Conversation) -> None:
    talk.turn("lobby at 19 for 30 days, craspedia in reindeer moss, what do I replace")
    assert set(talk.turn("the dried ones, silly me").materials) == {"dried-craspedia", "reindeer-moss"}


def test_a_word_of_one_name_picks_it_from_a_list(talk: Conversation) -> None:
    talk.turn("ten tables, 4 scented geranium, 3 rosemary and one dusty miller on each, what do I order")
    assert talk.turn("how many days does the geranium hold out of water").materials == ("scented-geranium",)


def test_the_rest_is_meant_with_one_gone(talk: Conversation) -> None:
    talk.turn("a puppy, and croton, aspidistra and fatsia: is any of it unsafe")
    answer = talk.turn("and with the croton gone, how long have I at 22 degrees")
    assert set(answer.materials) == {"aspidistra", "fatsia-leaf"}


@pytest.mark.parametrize(
    ("turns", "task", "materials"),
    [
        (
            ("the wholesaler let us down over the michaelmas daisies, suggest a replacement", "if i did find the daisies after all, how long at 18"),
            "longevity", {"september-aster"},
        ),
        (("how long do chrysanths last", "the ones with the one big head I mean"), "longevity", {"standard-chrysanthemum"}),
        (("how do i store anthuriums, and why at that", "does that hold for roses as well?"), "storage", {"rose"}),
        (("are lilies poisonous to cats", "is that true of tulips too"), "hazard", {"tulip"}),
        (("how do i store maidenhair", "would you set leatherleaf and that one against the other"), "compare", {"maidenhair-fern", "leatherleaf-fern"}),
        (("compare roses and tulips", "would you put carnations in with them as well"), "compare", {"rose", "tulip", "carnation"}),
        (("are roses and tulips safe for cats", "put carnations in there as well"), "hazard", {"rose", "tulip", "carnation"}),
        (("can she take alstro home to her dog", "and when is it finished"), "longevity", {"alstroemeria"}),
    ],
)  # fmt: skip
def test_what_is_said_of_another_material(
    talk: Conversation, turns: tuple[str, ...], task: str, materials: set[str]
) -> None:
    for text in turns:
        answer = talk.turn(text)
    assert answer.task == task
    assert set(answer.materials) == materials


def test_one_more_joins_what_was_compared_and_then_asked_about(talk: Conversation) -> None:
    talk.turn("how do lisianthus stack up against roses in a 22 degree room")
    talk.turn("are they safe for a dog")
    answer = talk.turn("put carnations in there as well")
    assert answer.tasks == ("compare", "hazard")
    assert set(answer.materials) == {"lisianthus", "rose", "carnation"}
    assert {i.value for f in answer.figures for i in f.inputs if i.name == "display_temperature"} == {22.0}


def test_a_shared_name_that_is_left_out_is_said_so(talk: Conversation) -> None:
    answer = talk.turn("how long do tulips and lilies last")
    assert answer.materials == ("tulip",)
    assert "“lilies” I left out" in answer.reply
    assert "oriental lily" in answer.reply


def test_one_against_the_other_is_the_last_two_spoken_of(talk: Conversation) -> None:
    talk.turn("is delphinium toxic")
    talk.turn("and stock, is that toxic?")
    answer = talk.turn("if i put one against the other which has the longer life")
    assert (answer.task, set(answer.materials)) == ("compare", {"delphinium", "stock"})
