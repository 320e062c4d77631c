"""What is said when an answer is held back: how the message was taken, and one question with quick replies."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from assistant.dialogue.answer import Answer
from assistant.dialogue.context import Context
from assistant.dialogue.memory import Wish
from assistant.dialogue.pools import pool_words
from assistant.dialogue.wording import listed
from assistant.language.question import Task

# An answer less likely than this to be the one asked for is held back and asked about. Set on the development sets
# (evals/results/confidence.md): below it more answers are wrong than right; most misleading ones lie above any cut.
ASK_BELOW = 0.5
YES = "yes, that is it"
_SAYS_YES = re.compile(
    r"^\W*(?:yes|yep|yeah|yup|aye|correct|right|exactly|that's (?:it|right)|thats (?:it|right)|y)\b[^?]{0,24}$"
)
_SAYS_NO = re.compile(r"^\W*(?:no|nope|nah|wrong|neither|n)\W*$")
# What each task would be asked as, with the materials in question.
_ASKED_AS: Mapping[Task, str] = {
    "longevity": "how long {them} last",
    "quantity": "how many bunches of {them} to order",
    "water": "how much water {them} need",
    "mixing": "how much to mix in",
    "substitute": "what could stand in for {them}",
    "care": "how to condition {them}",
    "storage": "how to store {them}",
    "hazard": "whether {them} are safe",
    "refresh": "when to change {them} in a display",
    "compare": "which of {them} lasts longest",
    "explain": "why that is so",
    "season": "when {them} are in season",
    "describe": "what {them} are",
    "cost": "what {them} cost at your price",
}


def held_back(answer: Answer, wishes: Sequence[Wish], others: Sequence[Task], context: Context) -> Answer:
    """The question that stands for an unsure answer; `others` are the tasks the readers hold likely beside it."""
    them = listed([context.plural(i) for i in answer.materials[:3]]) or "the materials"
    said = [r.said.strip() for wish in wishes[:1] for r in wish.asked.values() if r.said.strip()]
    tasks = dict.fromkeys(wish.task for wish in wishes)
    took = listed([_ASKED_AS[task].format(them=them) for task in tasks if answer.materials])
    if not took and wishes and wishes[0].task in ("compare", "substitute"):
        took = f"which {pool_words(wishes[0])} of the handbook would do best"
    elif not took and answer.passages:
        took = f"what the handbook says under “{answer.passages[0].title}”"
    with_what = f" ({', '.join(dict.fromkeys(said))})" if said else ""
    choices = [YES, *(_ASKED_AS[task].format(them=them) for task in others)]
    return Answer(
        answer.question,
        "asked_back",
        answer.task,
        f"I'm not sure I read that right. Did you mean {took or 'that'}{with_what}? Say yes, or put it another way.",
        tasks=answer.tasks,
        materials=answer.materials,
        choices=tuple(choices),
        follow_ups=tuple(choices),
        confidence=answer.confidence,
    )


def says_yes(text: str) -> bool:
    return _SAYS_YES.match(text) is not None


def says_no(text: str) -> bool:
    return _SAYS_NO.match(text) is not None
