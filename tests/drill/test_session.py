"""A session: what is due first, nothing twice, everything written down."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from assistant.dialogue.context import Context
from assistant.drill.item import Item, OneOf
from assistant.drill.items import Bank
from assistant.drill.session import DrillSession, right_answer
from assistant.drill.sets import SetDescription, describe_set
from assistant.drill.store import Learner, Store
from assistant.language.cleaning import TooLong
from tests.drill.conftest import Clock
from tests.drill.test_items import bank_of, with_material


def session(
    bank: Bank, store: Store, learner: Learner, clock: Clock, words: str = "", count: int = 10, seed: int = 1
) -> DrillSession:
    description = describe_set(words, bank.context.handbook, bank.known.names) if words else SetDescription()
    return DrillSession(bank, store, learner, description, clock=clock, seed=seed, count=count)


def right(item: Item) -> str:
    assert isinstance(item.key, OneOf)
    return item.right_letter


def wrong(item: Item) -> str:
    assert isinstance(item.key, OneOf)
    return "b" if item.right_letter == "a" else "a"


def test_an_answer_is_marked_explained_and_written(bank: Bank, store: Store, learner: Learner, clock: Clock) -> None:
    run = session(bank, store, learner, clock, "ethylene, level 1")
    item = run.next()
    assert item is not None
    assert run.current is item
    outcome = run.answer(wrong(item))
    assert outcome.mark.verdict == "wrong"
    assert outcome.answer.startswith(f"{item.right_letter}) ")
    assert outcome.passage is not None
    assert outcome.sources
    assert outcome.ask
    (kept,) = store.answers(learner)
    assert (kept.item, kept.said, kept.question) == (item.id, wrong(item), item.question)
    assert store.memories(learner)[item.id].due == outcome.due


def test_a_right_answer_needs_no_asking(bank: Bank, store: Store, learner: Learner, clock: Clock) -> None:
    run = session(bank, store, learner, clock, "ethylene, level 1")
    item = run.next()
    assert item is not None
    assert run.answer(right(item)).ask is None


def test_what_was_wrong_comes_first_once_it_is_due(bank: Bank, store: Store, learner: Learner, clock: Clock) -> None:
    run = session(bank, store, learner, clock, "ethylene, level 1", count=2)
    first = run.next()
    assert first is not None
    run.answer(wrong(first))
    second = run.next()
    assert second is not None
    run.answer(right(second))
    clock.pass_days(0.05)
    again = session(bank, store, learner, clock, "ethylene, level 1").next()
    assert again is not None
    assert again.id == first.id
    later = [i.id for i in iter(session(bank, store, learner, clock, "ethylene, level 1", count=11).next, None)]
    assert second.id not in later[:8]


def test_nothing_is_asked_twice(bank: Bank, store: Store, learner: Learner, clock: Clock) -> None:
    run = session(bank, store, learner, clock, "bunches, roses", count=60)
    asked = [(item.question, *sorted(c.text for c in item.choices)) for item in iter(run.next, None)]
    assert len(asked) == 60  # two problems, asked with fresh numbers
    assert len(set(asked)) == 60


def test_one_fact_is_not_asked_in_two_ways_while_there_are_others(
    bank: Bank, store: Store, learner: Learner, clock: Clock
) -> None:
    run = session(bank, store, learner, clock, "storage", count=80)
    told = [(item.topic, item.entry) for item in iter(run.next, None)]
    assert len(told) == len(set(told)) == 80


def test_a_small_set_ends(bank: Bank, store: Store, learner: Learner, clock: Clock) -> None:
    run = session(bank, store, learner, clock, "steps", count=100)
    assert 5 < len(list(iter(run.next, None))) < 100
    assert run.next() is None
    assert run.size < 100


def test_templates_are_mixed(bank: Bank, store: Store, learner: Learner, clock: Clock) -> None:
    run = session(bank, store, learner, clock, count=60)
    assert len({item.template for item in iter(run.next, None)}) > 20


def test_the_same_seed_gives_the_same_session(bank: Bank, store: Store, learner: Learner, clock: Clock) -> None:
    first, second = (list(iter(session(bank, store, learner, clock, seed=7).next, None)) for _ in range(2))
    assert first == second


def test_passing_over_an_item_leaves_no_trace(bank: Bank, store: Store, learner: Learner, clock: Clock) -> None:
    run = session(bank, store, learner, clock)
    run.next()
    run.next()
    assert store.answers(learner) == ()


def test_answers_without_a_question_are_refused(bank: Bank, store: Store, learner: Learner, clock: Clock) -> None:
    run = session(bank, store, learner, clock)
    with pytest.raises(ValueError, match="No question waits"):
        run.answer("10")
    run.next()
    run.answer("10")
    with pytest.raises(ValueError, match="No question waits"):
        run.answer("10")


def test_a_novel_is_refused_and_the_question_still_waits(
    bank: Bank, store: Store, learner: Learner, clock: Clock
) -> None:
    run = session(bank, store, learner, clock)
    item = run.next()
    with pytest.raises(TooLong):
        run.answer("x " * 3000)
    assert run.current is item
    assert store.answers(learner) == ()


def test_what_can_not_be_read_can_be_asked_again(bank: Bank, store: Store, learner: Learner, clock: Clock) -> None:
    run = session(bank, store, learner, clock, "ethylene, level 1")
    item = run.next()
    assert item is not None
    assert run.unread("qwertz") is not None
    assert run.unread(right(item)) is None
    assert run.unread("I don't know") is None
    assert store.answers(learner) == ()


def test_the_summary_names_the_weakest_topic(bank: Bank, store: Store, learner: Learner, clock: Clock) -> None:
    run = session(bank, store, learner, clock, "ethylene, level 1", count=3)
    for give in (right, wrong, lambda _: "dunno"):
        item = run.next()
        assert item is not None
        run.answer(give(item))
    total = run.summary()
    assert (total.asked, total.right, total.wrong, total.unknown) == (3, 1, 1, 1)
    assert total.share == pytest.approx(1 / 3)
    assert total.weakest == ("ethylene",)


def test_when_the_handbook_changes_its_answer_the_item_is_first(
    bank: Bank, context: Context, store: Store, learner: Learner, clock: Clock
) -> None:
    run = session(bank, store, learner, clock, "roses, vase life", count=30)
    for item in iter(run.next, None):
        run.answer("10 days" if item.id == "life:rose:number" else item.right_letter or "dunno")
    assert "life:rose:number" in store.memories(learner)
    rose = context.handbook.materials["rose"]
    assert rose.vase_life is not None
    longer = rose.vase_life.model_copy(update={"low": 18.0, "high": 22.0})
    changed = bank_of(with_material(context.handbook, "rose", vase_life=longer), context)
    again = session(changed, store, learner, clock, "roses, vase life", count=30)
    assert again.changed > 0
    items = list(iter(again.next, None))
    first = items[: again.changed]
    assert "life:rose:number" in {item.id for item in first}
    once_more = session(changed, store, learner, clock, "roses, vase life", count=30)
    assert once_more.changed == 0
    for item in iter(once_more.next, None):
        if item.id == "life:rose:number":
            outcome = once_more.answer("10 days")
            assert (outcome.mark.verdict, outcome.changed) == ("wrong", True)


def test_an_item_that_vanished_is_not_asked_and_its_schedule_waits(
    bank: Bank, context: Context, store: Store, learner: Learner, clock: Clock
) -> None:
    run = session(bank, store, learner, clock, "roses, vase life", count=30)
    for _ in iter(run.next, None):
        run.answer("dunno")
    without = bank_of(with_material(context.handbook, "rose", vase_life=None), context)
    again = session(without, store, learner, clock, "roses", count=50)
    assert again.retired > 0
    assert not [i for i in iter(again.next, None) if i.template == "life"]
    assert session(bank, store, learner, clock, "roses").retired == 0
    assert not any(m.retired for m in store.memories(learner).values())


def test_the_right_answer_is_said_in_full(bank: Bank) -> None:
    item = bank.build("hazard-cats:rose:yes-no", Random(0))
    assert item is not None
    assert right_answer(item).startswith("b) no, it is not listed as harmful – ")
    assert "no proof of safety" in right_answer(item)
    assert right_answer(replace(item, answer=item.choices[1].text)) == "b) no, it is not listed as harmful"
