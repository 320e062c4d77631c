"""One conversation: understand a message, fill what is missing, answer, remember."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from assistant.calculators.ranges import OutOfRange
from assistant.dialogue import confidence
from assistant.dialogue.another_sort import (
    another_sort,
    as_spoken_of,
    described,
    left_out,
    of_the_colour,
    only_beside,
    the_other,
)
from assistant.dialogue.answer import Answer, PassageShown
from assistant.dialogue.asking_back import ASK_BELOW, held_back, says_no, says_yes
from assistant.dialogue.bare_numbers import (
    counts_an_order,
    counts_anew,
    meaning_of,
    of_the_flower,
    of_the_same,
    with_changed_counts,
    without_misplaced,
)
from assistant.dialogue.cautions import cautions_for, triggers_for
from assistant.dialogue.context import Context
from assistant.dialogue.desk import Desk, Draft
from assistant.dialogue.explaining import explain_figures, list_sources, what_moves
from assistant.dialogue.general import draft_of, find, from_rules, tells
from assistant.dialogue.list_edits import (
    LISTS,
    as_a_list,
    is_plain,
    recounted,
    swapped,
    without_counts,
    without_packs,
)
from assistant.dialogue.lives import with_lone_number
from assistant.dialogue.memory import Held, Item, Memory, Wish
from assistant.dialogue.openings import asks_anew, holds_an_ask
from assistant.dialogue.pools import is_narrowed
from assistant.dialogue.scaling import marks_up, only_scales, scale_of, scaled_water, whole
from assistant.dialogue.scope import (
    IN_SCOPE_IN_TALK,
    is_foreign,
    is_of_another_subject,
    needs_subject,
    stranger,
    without_names,
)
from assistant.dialogue.stretches import (
    OF_A_RUN,
    OF_DAYS,
    alters_the_cold,
    asks_of_the_cold,
    in_days,
    in_the_cold,
    kept_since,
    leaves_the_cold,
    of_the_life,
    out_of_the_cold,
    placed,
)
from assistant.dialogue.sums import (
    STRENGTHS,
    after_mixing,
    asks_only,
    priced_as,
    priced_by_the_bunch,
    reckons,
    said_anew,
)
from assistant.dialogue.tasks import task_function
from assistant.dialogue.tasks.care import SYMPTOM
from assistant.dialogue.tasks.hazard import INJURY
from assistant.dialogue.tasks.mark_up import asks_what_is_usual
from assistant.dialogue.tasks.mixing import about_the_mix, agents_meant, agents_of, mixes_bleach
from assistant.dialogue.tasks.water import asks_what_it_holds
from assistant.dialogue.wording import Speech, listed
from assistant.language.cleaning import TooLong, safe_text
from assistant.language.parsing import IMPLIED
from assistant.language.prices import BUNCH
from assistant.language.question import JOB_SLOTS, NUMBER_SLOTS, Ask, Mention, Question, Reading, Task

_MOST_PASSAGES = 6
# From this score on the words of a follow-up ask something of their own.
_ASKED = 2.6
# Tasks that reckon with the same numbers: the days in the cooler, the bunch and what is lost of it.
_SAME_NUMBERS = ({"longevity", "storage"}, {"quantity", "cost"})
# Asks that come in the same words as a change to the one before: days after a display, litres after a dose.
_ASKED_ALIKE: Mapping[Task, tuple[Task, ...]] = {
    "storage": ("longevity",), "refresh": ("longevity",), "compare": ("longevity", "care"), "water": ("longevity",),
    "mixing": ("water", "care"), "care": ("mixing", "explain"), "hazard": ("substitute",), "substitute": ("describe",),
}  # fmt: skip
_CHANGES_ONE_THING = re.compile(
    r"\b(?:instead|swap\w*|switch\w*|rather than|same|(?:what|how) (?:about|if)|and if|if i)\b"
)
# The score from which the words of a follow-up speak for a task of their own, if the reader agrees.
_PLAIN_WORDS = 2.4
_SO_MUCH_A_BUNCH = re.compile(r"\d (?:a|per|each|the) (?:bunch|wrap|box|pack)\b")
# Tasks that take counts and packs of their own.
_TAKES_COUNTS = frozenset({"quantity", "cost", "substitute"})
# Tasks for which a lone number is the room's temperature.
_OF_A_ROOM = frozenset({"longevity", "compare"})
_MIXED_WITH = re.compile(r"\W*(?:and )?(?:mixed|together|in) with\b")
# A new material held against the one just spoken of.
_BESIDE = re.compile(
    r"^(?!.*\b(?:there (?:are|is)|there's|i(?:'ve| have)? got|we(?:'ve| have)? got|i have|we have|stood|standing|sitting) [^.?!]*\b(?:next to|beside|alongside) (?:it|them|those|these)\b).*"
    r"\b(?:against|beside|next to|alongside|compared? (?:to|with)|versus|vs|differ\w*|better or worse)\b[^.?!]*\b(?:it|that|those|them|these)\b|"
    r"\b(?:it|this|that|those|them|these) (?:against|beside|next to|alongside|with|to)\b|\b(?:it|that|those|them|these) compares?\b|\b(?:it|that|they|this|those|these) differs? from\b|\b(?:beats?|outlasts?|outlives?) (?:it|that|them|those|these)\b|\bany differen\w+\b|\b(?:better|worse|longer) than (?:it|that|those|them|these)\b|"
    r"\b(?:any|do|does|fares?|is|are|be|last|hold|keep)(?: up)? (?:any )?(?:better|worse|longer|tougher|cheaper)\b(?! than)|\bthe same (?:stuff|thing|plant|flower)\b|"
    r"\b(?:the )?(?:one|1) (?:against|beside|next to|alongside|versus|over) (?:the )?other\b|\b(?:against|beside|alongside) (?:each other|one another|1 another)\b|\bside by side\b"
)
# Of these, what can be no other question about the new one alone.
_EACH_OTHER = (
    r"\b(?:set|hold|stack|weigh|put|compare) (?:the )?(?:one|1|them|the (?:two|2|pair)) (?:up )?"
    r"(?:(?:against|beside|alongside) (?:the other|each other|one another|1 another)|side by side)\b"
)
_ONE_AGAINST_THE_OTHER = re.compile(_EACH_OTHER)
_SET_AGAINST = re.compile(
    r"\b(?:set|hold|stack|weigh) (?:it|that|them|those|these)(?: up)? (?:against|beside)\b|\b(?:beats?|outlasts?|outlives?) (?:it|that|them|those|these)\b|"
    rf"\bdiffers? from\b|{_EACH_OTHER}"
)
# The last answer held to be good for another material as well.
_HOLDS_FOR = re.compile(
    r"\b(?:does|do|would|will|is|are) (?:that|this|it|those|these|the same|(?:that same|the same|that|this|the) [a-z]+)(?: also| all| still| be)? "
    r"(?:(?:hold|go|count|stand)(?: good| true)? for|apply (?:to|for)|true (?:of|for)|the same (?:for|with)) (?:the |my |our |any )?[a-z' -]+?(?: too| as well| also| then)?\W*$"
)
# One proposed for what cannot be had.
_WOULD_DO = re.compile(
    r"^(?!.*\bhow\b).*(?:\b(?:would|could|can|will|might)\b[^.?!]* (?:do|work|pass|serve|carry|suit|stand in|get away|look right)\b|\b(?:does|do)\b[^.?!]* (?:work|pass|serve)\b)|"
    r"\bany (?:good|use)\b|\bdo the (?:job|trick|same)\b"
)
_IN_ITS_STEAD = re.compile(
    r"\b(?:instead(?: of (?:it|them|that|those))?|in (?:its|their|that|his|her) (?:place|stead)|to replace (?:it|them))\b"
)
_OF_THEM = re.compile(r"\b(?:which|either|both|neither) of (?:the (?:two|2|three|3|pair)|them|those|these)\b")
_FIRST_AND_LAST = re.compile(r"\bfirst and (?:the )?last(?: ones?)?\W*$")
# "King protea instead of the ordinary": the sort in the place of the plain one.
_FOR_THE_PLAIN = re.compile(
    r"\b(?:instead of|rather than|not|for) (?:the )?(?:ordinary|normal|plain|usual|standard|regular)(?: ones?)?\W*$"
)
# "With the croton gone": asked of the rest.
_WITH_IT_GONE = re.compile(
    r"\bwith (?:the |that |my )?(?P<gone>[a-z' -]+?) (?:gone|out of it|taken out|removed|left out)\b"
)
_WHAT_INSTEAD = re.compile(rf"\b(?:what|which|anything|something)\b[^.?!]*{_IN_ITS_STEAD.pattern}")
_THEN_RATHER = re.compile(
    r"^\W*(?:so|ok|okay|then|right|well|fine)\b|\b(?:then|rather|safer|not (?:poisonous|toxic|red|white|so \w+)|fine for|ok for|okay for|could say yes to)\b"
)
# Parts of a plant and what befalls them, said without the plant; and what is of no plant in particular.
_A_PART_OF_IT = re.compile(
    r"\b(?:petals?|florets?|buds?|heads?|berries|balls|needles|leaves|fruits?|sap|milk|dye|colour|color|stems?)\b"
)
_AT_LARGE = re.compile(
    r"\b(?:flowers|buckets?|vases?|foam|bouquets?|arrangements?|any|all|which|everything|things|stuff|people|generally|usually)\b"
)
# Standing in one water with what was just spoken of.
_ONE_WATER = re.compile(
    r"\b(?:they|these|those|it|them|she|he)\b[^.?!]{0,30}\b(?:in|into|to) (?:one|1|the same|a|a single|the one) (?:vase|bucket|water|jug|jar|pot|urn|bowl)\b[^.?!]{0,12}\b(?:with|as)\b|"
    r"^\W*(?:and |straight |all )?(?:in(?:to)? )?(?:one|1|the same|same) (?:vase|bucket|water|jug|jar|pot|urn|bowl) (?:with|as)\b|\bin the same (?:vase|bucket|water|jug|jar|pot|urn|bowl) (?:with|as) (?:it|them|those|these)\b|^\W*straight in (?:the|a|one) (?:vase|bucket|water|jug|jar|pot|urn|bowl) with\b"
)
_TOGETHER = re.compile(
    r"\b(?:them|these|those|it) (?:in |together |in there |in the same \w+ )?with\b|\bwith (?:them|these|those|it|that)\b|\btogether\b|\bsame (?:vase|bucket|water|jug|piece)\b"
)
# Below this the readers' best task is no better than what the signals or the slots said.
_LIKELY = 0.40
# In a talk a message may name nothing at all ("would it harm someone?"); then the readers must be surer.
_LIKELY_IN_TALK = 0.55
# "How much for 20 litres", after an ask for an amount, asks for that amount again.
_AMOUNTS = ("mixing", "cost", "quantity")
_FOR_SO_MUCH = re.compile(r"\bhow much (?:is (?:it|that) |would (?:it|that) be |do i need )?(?=for \d)")
# What was said of a vessel's size and filling.
_SIDES = frozenset({
    "diameter", "base_diameter", "width", "height", "length", "depth", "outer", "inner", "fill_height", "fill_share",
})  # fmt: skip
# The score of an ask that nothing weighs against.
_PLAIN = 9.0
# A colour that chooses, instead of asking for another material of it.
_NOT_THAT = re.compile(r"\b(?:not|said|says|meant|means?|actually|sorry)\b")
# What is told apart from the one chosen: "the berries, not the green balls".
_NOT_THE = re.compile(r"\b(?:not|rather than|instead of) (?:the |those )?[a-z' -]+")
_WHICH_OF_ALL = re.compile(
    r"\b(?:which|what|any|name|list|give me) (?:[a-z-]+ ){0,2}(?:foliages?|greens?|greenery|flowers?|blooms?|fillers?|berr(?:y|ies)|branch(?:es)?|grass(?:es)?)\b"
    r"(?! (?:food|is (?:it|this|that)|are (?:they|these|those)))"
)
# Asks weaker than this are no asks of their own; a weak one is dropped where the readers give its task less than this.
_WEAK = 2.2
_UNSEEN = 0.1
# An ask that no words spoke for is heard beside others where the readers are as sure as this.
_PLAINLY = 0.75
# Where words speak this strongly and the readers give their task this much, it is asked beside the likelier one.
_SPOKEN = 3.4
_HEARD_TOO = 0.03
_MOST_ITEMS = 12
# A sort without its head, at the start of a talk: "do the mini ones last".
_UNNAMED_ONES = re.compile(r"\b(?:the|those|these|my|our) [a-z]+ (?:ones|sort|kind)\b")
# A first message of so few words that says "they" means something it does not name.
_SHORT = 12
# Rules this likely go before declining, before a list of materials, or before asking which material is meant;
# `general.chance_of` gives the chance, evals/results/search.md what it is worth.
_SURELY_A_RULE = 0.8
_LIKELY_A_RULE = 0.6
# What the readers hold for another subject, or what names a material too, must be surer still.
_PLAINLY_A_RULE = 0.9
_DOUBTFUL = 0.4
_NEED_A_NAME = ("longevity", "quantity", "water", "storage", "refresh", "season", "describe")
# Asked of no material, these list what the handbook has; "does a copper coin do anything" wants no list of coppery ones.
_LISTED = ("substitute", "compare")
_LISTS_THEM = re.compile(r"\b(?:rank|list|suggest|recommend)\b")
# An order with nothing in it: asked back, for no rule can count it.
_BARE_ORDER = re.compile(
    r"^\W*(?:(?:so|and|ok|right|just|in|bunches|then)\W+)*(?:how many(?: bunches)?|(?:what|which) (?:number|amount|do i (?:put|order)))\b(?:\W+(?:do|should|i|we|put|put down|order|bunches|in|is it|that))*\W*$"
)
# What a rule's topic makes of a question that no task's words ask for.
_FILED: Mapping[str, Task] = {"safety": "hazard", "terms": "explain", "reservoirs": "water"}
# A rule is quoted, and not asked about first, where the message is so surely about the trade: its title says what it answers.
_OURS = 0.8
_RATHER_OURS = 0.6
_NOT_COVERED = "That is not in the handbook, so I won't guess."
_COVERS = "It covers cut flowers, greens, branches, dried and preserved material and the work with them."
_HOW_MUCH_WATER = re.compile(
    r"\bhow (?:much|many (?:lit(?:re|er)s|gallons|pints) of) water\b(?! (?:to|for) (?:the|a|that|it|mix|dilute)\b)"
)
# The reader of whole messages is this sure where it is heard against the reader of follow-ups.
_SURE_OF_A_WHOLE = 0.9
# A task less likely than this is not offered beside the one an unsure answer was given for.
_OTHER = 0.1
_HELP = (
    "Ask about cut flowers, greens, branches, dried and preserved material: how long they last, how many bunches, water, "
    "mixing, substitutes, care, storage, hazards, refresh plans. Then ask “and at 28?”, “why?”, “source?”."
)


class Conversation:
    """Holds the memory of one conversation. `turn` takes a message, `revise` changes one input of the last answer."""

    def __init__(self, context: Context) -> None:
        self.context = context
        self.memory = Memory()
        self._alternatives: tuple[str, ...] = ()

    # --- ways in ------------------------------------------------------------------------------------------------------

    def turn(self, text: str) -> Answer:
        """Answer one message; an empty one asks what is wanted."""
        try:
            question = self.context.parser.parse(text, today=self.context.today, speaks_us=self.memory.speaks_us)
        except TooLong as error:
            return self._said(safe_text(text[:200]), "not_covered", str(error))
        if question.speaks_us is not None:
            self.memory.speaks_us = question.speaks_us
        if not question.normal.strip():
            return self._said("", "asked_back", "Type a question, such as “how long do roses last at 24 degrees?”.")
        released = self._released(question)
        if released is not None:
            return released
        before = self.memory.snapshot()
        of_the_mix = self._of_the_mix(question)
        last = self.memory.wishes[-1].task if self.memory.wishes else None
        try:
            answer = self._answer(question)
        except OutOfRange as error:
            answer = self._said(question.text, "asked_back", str(error))
        if answer.outcome == "not_covered" and not answer.materials and before.wishes:
            self.memory.wishes = before.wishes  # what was spoken of stays in play
        if answer.outcome == "not_covered" and answer.task == "explain" and before.figured and _points_back(question):
            answer = self._reason_of(before.figured, question.text)  # "account for the gap": of the figures just given
        elif answer.outcome == "answered" and answer.task is not None:
            chance = confidence.of_answer(question, answer, self.memory, last, self.context)
            answer = replace(answer, confidence=chance)
            # "Why?", "source?": of the figures just given.
            told_again = (
                before.figured is not None
                and answer.figures == before.figured.figures
                and (question.command is not None or answer.task == "explain" or not question.asks)
            )
            plain = told_again or of_the_mix or self._is_plain(question, answer, before)
            if chance < ASK_BELOW and not plain and self.context.sees_meaning:
                answer = self._held(question, answer, before)
            elif unread := confidence.unread_numbers(question, answer, self.memory):
                answer = replace(answer, reply=f"{answer.reply} I made no use of {listed(unread)}.")
        if answer.outcome == "answered" and answer.figures:
            self.memory.figured = answer
        answer = self._with_notices(answer)
        self.memory.answer = answer
        return answer

    def _reason_of(self, last: Answer, text: str) -> Answer:
        """How the figures of an answer came about."""
        reply = explain_figures(last, self.context)
        return replace(last, question=text, task="explain", tasks=("explain",), reply=reply, candidates=())

    def _is_plain(self, q: Question, answer: Answer, before: Memory) -> bool:
        """Do the words leave one reading, however seldom they are put so? Then nothing is asked first."""
        return (
            INJURY.search(without_names(q)) is not None
            or (_quotes(answer) and self._is_ours(q, answer))
            or (reckons(q) and answer.task in ("cost", "mixing"))
            or self._follows_plainly(q, answer, before)
        )

    def _follows_plainly(self, q: Question, answer: Answer, before: Memory) -> bool:
        """Is it the last ask of the talk `before`, changed in a way that has one reading?"""
        if before.pending_slot == "materials" and set(answer.materials) & set(before.choices):
            return True  # one of the materials that were offered
        if not before.wishes:
            return False
        last = before.wishes[-1]
        if not q.mentions and (
            of_the_life(q.slots, before.wishes, before.life, q.normal) is not None
            or (last.task == "longevity" and alters_the_cold(q.slots, q.normal))
            or (last.task == "storage" and leaves_the_cold(q.slots, q.normal))
        ):
            return True
        held_true_of = _HOLDS_FOR.search(q.normal) if q.mentions else None
        return (
            (answer.task == "compare" and _SET_AGAINST.search(q.normal) is not None)
            or (held_true_of is not None and all(set(m.ids) & set(answer.materials) for m in q.mentions))
            or (answer.task == "quantity" and counts_an_order(q, last.task))
            or counts_anew(q, last)
            or (is_plain(q, before.items, answer.materials) and not confidence.unused_numbers(q, answer, self.memory))
        )

    def _is_ours(self, q: Question, answer: Answer) -> bool:
        """Is the message so surely about the trade, or so surely the rule's that is quoted, that none need ask first?"""
        chance = self.context.in_scope(q)
        if chance >= _OURS or chance < _RATHER_OURS:
            return chance >= _OURS
        found = find(q.normal, self._desk())
        return found.chance >= _PLAINLY_A_RULE and found.hits[0].passage.id == answer.passages[0].id

    def _held(self, q: Question, answer: Answer, before: Memory) -> Answer:
        """The question that stands for an answer that may not be the one asked for."""
        self.memory.held = Held(answer, before)
        chances = self.context.task_chances(q)
        others = [
            t for t in sorted(chances, key=lambda t: -chances[t])[:3] if t not in answer.tasks and chances[t] > _OTHER
        ]
        return held_back(answer, self.memory.wishes, others[:1], self.context)

    def _released(self, q: Question) -> Answer | None:
        """The answer held back, when this message says yes to it; after a no the talk is where it was before."""
        held, self.memory.held = self.memory.held, None
        if held is None:
            return None
        if says_yes(q.normal):
            self.memory.answer = answer = replace(held.answer, question=q.text, confidence=1.0)
            if answer.figures:
                self.memory.figured = answer
            return answer
        if says_no(q.normal):
            self.memory = held.before
            return self._said(
                q.text, "asked_back", "Then put it another way: name the material and what you want to know."
            )
        return None

    def _with_notices(self, answer: Answer) -> Answer:
        told, self.context.notices = tuple(self.context.notices), []
        return replace(answer, notices=told) if told else answer

    def revise(self, name: str, reading: Reading) -> Answer:
        """The last answer with one input replaced and everything recomputed (the what-if of the screens)."""
        if not self.memory.wishes:
            return self._said("", "asked_back", "There is no figure to change yet.")
        self._remember_for_undo()
        self.memory.keep_job({name: reading})
        wishes = tuple(self._with(wish, name, reading) for wish in self.memory.wishes)
        try:
            answer = self._respond(f"{name.replace('_', ' ')} {reading.said}", wishes, [])
        except OutOfRange as error:
            self._undo()
            return self._said("", "asked_back", str(error))
        self.memory.answer = self.memory.figured = answer
        return answer

    def undo(self) -> Answer:
        """Take back the last what-if."""
        if not self._undo():
            return self._said("", "asked_back", "There is nothing to undo.")
        return self._respond("undo", self.memory.wishes, [])

    def forget(self, name: str | None = None) -> None:
        """Drop one remembered slot of the job, or everything."""
        if name is None:
            speaks_us = self.memory.speaks_us
            self.memory = Memory(speaks_us=speaks_us)
        else:
            self.memory.drop(name)

    # --- understanding to wishes --------------------------------------------------------------------------------------

    def _answer(self, q: Question) -> Answer:
        if q.impossible:
            return self._said(q.text, "asked_back", q.impossible)
        meant = self._other_meaning(q) if self.memory.pending is None and not q.command else None
        if meant is not None:
            return self._follow_up(q, meant, [])
        if self.memory.wishes:
            q = with_changed_counts(q, self.memory.wishes[-1])
        q = self._naming_the_sort(q)
        hurt = INJURY.search(without_names(q)) is not None
        first_aid = self.context.parser.as_ask(q, "hazard", _PLAIN)
        of_the_mix = not hurt and not q.command and self._of_the_mix(q)
        if of_the_mix:
            task: Task = "explain" if "why" in q.normal.split() else "mixing"
            q = replace(q, asks=(self.context.parser.as_ask(q, task, _PLAIN),))
        else:
            q = replace(q, asks=(first_aid,)) if hurt else self._with_order(self._with_task(q), q.asks)
        if q.command:
            return self._command(q)
        if self.memory.pending is not None:
            finished = self._finish_pending(q)
            if finished is not None:
                return finished
        notes: list[str] = []
        dosed = asks_only(q, "mixing") and "volume" in q.slots and agents_of(q.normal, plainly=True)
        usual = asks_only(q, "cost") and asks_what_is_usual(q.normal)
        sum_of_ours = reckons(q) and bool(q.mentions or self.memory.wishes or q.domain_words)
        recounted_anew = bool(self.memory.wishes) and counts_anew(q, self.memory.wishes[-1])
        of_the_trade = (
            hurt or recounted_anew or ((of_the_mix or dosed or usual or sum_of_ours) and not is_of_another_subject(q))
        )
        if not of_the_trade and is_foreign(q, bool(self.memory.wishes), self.context.in_scope):
            chance = self.context.in_scope(q)
            least = _SURELY_A_RULE if chance >= _DOUBTFUL else _PLAINLY_A_RULE
            near = not q.foreign_words and chance >= (_DOUBTFUL if q.mentions else IN_SCOPE_IN_TALK)
            return (self._by_rule(q, least) if near else None) or self._decline(q)
        edited = self._edited(q, notes)
        if edited is not None:
            return edited
        harm = any(ask.task == "hazard" for ask in q.asks)
        asked_which = None if harm else self._which_meaning(q)
        if asked_which is not None:
            return asked_which
        self._alternatives = ()
        items = self._items(q.mentions, notes, every_meaning=harm)
        only_implied = all(ask.score <= IMPLIED for ask in q.asks)
        counted = any(i.stems or i.bunches for i in items)
        if not q.asks or (not of_the_mix and self._revises(q, only_implied)):
            return self._without_ask(q, items, notes)
        if (
            only_implied
            and counted
            and q.asks[0].task == "longevity"
            and not {"display_temperature", "until_date"} & q.slots.keys()
        ):
            q = replace(q, asks=(replace(q.asks[0], task="quantity"),))
        if all(ask.task == "storage" for ask in q.asks):
            q = replace(q, slots=in_the_cold(q.slots))
        wishes = []
        for ask in q.asks:
            own = self._items(ask.mentions, [], every_meaning=ask.task == "hazard") if ask.mentions else ()
            wishes.append(self._wish(ask, q, own))
        wishes = [self._searching(w, q) for w in wishes]
        wishes = [replace(w, text=q.normal) if w.task == "explain" and not tells(w.text) else w for w in wishes]
        wishes = [with_lone_number(w) if w.task in _OF_A_ROOM else w for w in wishes]
        if not hurt and not of_the_mix and any(not w.items and needs_subject(w, q) for w in wishes):
            return self._decline(q)
        counted = any("pieces" in w.asked for w in wishes)  # "130 of them" may have counted stems
        self.memory.keep_job({n: r for n, r in q.slots.items() if n != "pieces" or counted})
        for w in wishes:  # a lone number taken as the room's degrees goes on being that
            self.memory.keep_job({n: r for n, r in w.asked.items() if n == "display_temperature" and n not in q.slots})
        ruled = None
        if not self.memory.wishes and not any(w.items or w.refers_back for w in wishes):
            if all(w.task in _NEED_A_NAME for w in wishes):
                ruled = self._by_rule(q, _LIKELY_A_RULE)
            elif all(w.task in _LISTED and w.superlative is None for w in wishes) and not _lists_all(q):
                ruled = self._by_rule(q, _SURELY_A_RULE)
        return ruled or self._respond(q.text, tuple(wishes), notes)

    def _by_rule(self, q: Question, least: float) -> Answer | None:
        """A rule that so surely is what was asked that it goes before asking back or declining; None where none is."""
        numbered = NUMBER_SLOTS.keys() & q.slots.keys() - {"count", "month"}
        if numbered - {"display_days"} or is_of_another_subject(q) or asks_what_it_holds(q.normal, q.slots):
            return None
        plant = stranger(replace(q, near=(), unknown=(), foreign_words=()))
        if plant is not None or _BARE_ORDER.search(q.normal) or not tells(q.normal):
            return None
        if q.mentions or stranger(q) is not None:
            least = max(least, _PLAINLY_A_RULE)
        if numbered:
            least = max(least, _SURELY_A_RULE)
        task: Task = q.asks[0].task if q.asks and q.asks[0].task not in _LISTED else _craft(q)
        wish = Wish(task, (), dict(q.slots), {}, q.normal)
        draft = from_rules(wish, self._desk(), least=least)
        return None if draft is None else self._finish(q.text, [(_as_filed(wish, draft), draft)], [])

    def _naming_the_sort(self, q: Question) -> Question:
        """ "No, the dried ones": with the material that such a message means, as if it had been named."""
        pending = self.memory.pending
        spoken_of = pending.ids if pending is not None and pending.items else tuple(i.id for i in self.memory.items)
        names, handbook = self.context.parser.names, self.context.handbook
        if only_beside(q, spoken_of):
            asks = tuple(replace(a, mentions=()) for a in q.asks)
            return replace(q, mentions=(), asks=asks, refers_back=True)
        without = _WITH_IT_GONE.search(q.normal)
        out = {i for m in q.mentions if without and without.start() <= m.start < without.end() for i in m.ids}
        rest = tuple(i for i in spoken_of if i not in out)
        if without and q.asks and len(q.mentions) == 1 and out & set(spoken_of) and rest:
            left = tuple(replace(q.mentions[0], ids=(i,), usual=None, negated=False) for i in rest)
            return replace(q, mentions=left, asks=tuple(replace(a, mentions=left) for a in q.asks))
        mentions = as_spoken_of(q, spoken_of, names, handbook)
        if mentions != q.mentions:
            kept = {m.start: m for m in mentions}
            asks = tuple(
                replace(a, mentions=tuple(kept[m.start] for m in a.mentions if m.start in kept)) for a in q.asks
            )
            return replace(q, mentions=mentions, asks=asks, refers_back=True)
        meant = (
            the_other(q, spoken_of, self.memory.recent)
            or another_sort(q, spoken_of, names, handbook)
            or left_out(q, spoken_of, handbook)
        )
        if meant is None:
            return q
        slots = {
            n: r for n, r in q.slots.items() if n != "kinds" and (n not in ("shape", "vessel") or r.said != meant.said)
        }
        asks = tuple(replace(ask, mentions=(meant,), slots=slots) for ask in q.asks)
        return replace(q, mentions=(*q.mentions, meant), slots=slots, asks=asks, refers_back=True, corrections=True)

    @staticmethod
    def _searches(q: Question) -> bool:
        """ "Which foliage will stand that?": of all that the handbook has, not of what was spoken of."""
        return (
            not q.mentions
            and {"kinds", "roles"} & q.slots.keys() != set()
            and _WHICH_OF_ALL.search(q.normal) is not None
        )

    @classmethod
    def _searching(cls, wish: Wish, q: Question) -> Wish:
        """ "What would hold up longest there?": a life asked of no material in particular is a search for the best."""
        if {"stored_days", "elapsed_days"} & wish.asked.keys():
            return wish  # "a flower that sat five days": of one whose past is told, not of all there are
        described = wish.superlative is not None or (is_narrowed(wish) and not wish.refers_back) or cls._searches(q)
        return replace(wish, task="compare") if wish.task == "longevity" and not wish.items and described else wish

    def _with_task(self, q: Question) -> Question:
        """The one ask of a message with the task the readers give it; several asks, commands and follow-ups stay."""
        q = self._without_weak(q)
        if q.command or len(q.asks) > 1 or (not q.asks and not q.mentions and not self.memory.wishes):
            return q
        if self.memory.pending is not None and (not q.asks or q.asks[0].score < 2.5):
            return q  # most likely the answer to what was asked back
        if reckons(q) or (asks_only(q, "cost") and not q.mentions and asks_what_is_usual(q.normal)):
            return q  # a price, a dose or a mark-up in the words themselves: no reader is needed
        talking = self._with_what_follows(q)
        if talking is not None:
            return talking
        implied = all(ask.score <= IMPLIED for ask in q.asks)
        if self._revises(q, implied) or (implied and self.memory.wishes and len(q.normal.split()) < 4):
            return q
        if self.memory.wishes and not q.mentions and q.asks and q.asks[0].score >= 2.5:
            return q  # a short ask in the middle of a talk: the readers were fitted on first messages
        chances = self.context.task_chances(q)
        task = max(chances, key=lambda t: chances[t])
        chance = chances[task]
        if chance < (_LIKELY if q.asks or q.mentions else _LIKELY_IN_TALK):
            return q
        described = not q.mentions and not self.memory.items and q.asks and q.asks[0].task in ("compare", "substitute")
        if described and task not in ("compare", "substitute", "explain", "care", "hazard"):
            return q  # a search by description names no material, and the other tasks need one
        score = max(q.asks[0].score if q.asks else 0.0, 2.0)
        own = q.asks[0] if q.asks else None
        read = self.context.parser.as_ask(q, task, score)
        if own is not None and own.task != task and own.score >= _SPOKEN and chances[own.task] >= _HEARD_TOO:
            return replace(q, asks=(read, own))  # words speak for one ask and the whole for another: both
        return replace(q, asks=(read,))

    def _with_order(self, q: Question, said: Sequence[Ask]) -> Question:
        """ "60 stems in tens with no loss, and how long will it stand": what only an order knows asks for one as well.

        `said` are the asks that the words spoke for, whatever the readers made of them.
        """
        counted = "stems" in q.slots or any(m.stems for m in q.mentions)
        ordered = counted and {"pack_size", "loss_rate"} & q.slots.keys()
        others = [ask for ask in said if ask.score >= _ASKED and ask.task not in _TAKES_COUNTS]
        if not ordered or not q.mentions or q.follows or not others or {ask.task for ask in said} & _TAKES_COUNTS:
            return q
        return replace(q, asks=(self.context.parser.as_ask(q, "quantity", _ASKED), *others))

    def _without_weak(self, q: Question) -> Question:
        """Less the asks that only a weak word speaks for and that the reader does not see in the message."""
        if len(q.asks) < 2:
            return q
        strongest = max(q.asks, key=lambda ask: ask.score)
        if strongest.score < _WEAK:
            return replace(q, asks=(strongest,))
        chances = self.context.task_chances(q)
        likeliest = max(chances, key=lambda task: chances[task])
        if chances[likeliest] >= _PLAINLY and likeliest not in {ask.task for ask in q.asks}:
            q = replace(q, asks=(self.context.parser.as_ask(q, likeliest, _ASKED), *q.asks))
        asks = tuple(ask for ask in q.asks if ask.score >= _ASKED or chances[ask.task] >= _UNSEEN)
        return replace(q, asks=asks or (strongest,))

    def _with_what_follows(self, q: Question) -> Question | None:
        """A follow-up as the reader of follow-ups takes it; None before the first answer or where that one is not sure."""
        if not self.memory.wishes:
            return None
        last = self.memory.wishes[-1].task
        new = bool(q.mentions) and not {m.id for m in q.mentions} & {i.id for i in self.memory.items}
        if new and self.memory.items and _ONE_WATER.search(q.normal):
            return replace(q, asks=(self.context.parser.as_ask(q, "care", _ASKED),), follows=1.0)
        if new and self.memory.items and _HOLDS_FOR.search(q.normal):
            return replace(q, asks=(), follows=1.0)
        if new and self.memory.items and _BESIDE.search(q.normal):
            plainly = 1.0 if _SET_AGAINST.search(q.normal) else 0.0
            return replace(q, asks=(self.context.parser.as_ask(q, "compare", _ASKED),), follows=plainly)
        if not q.mentions and len(self.memory.recent) > 1 and _ONE_AGAINST_THE_OTHER.search(q.normal):
            return replace(q, asks=(self.context.parser.as_ask(q, "compare", _ASKED),), follows=1.0)
        if counts_an_order(q, last):
            return replace(q, asks=(self.context.parser.as_ask(q, "quantity", _ASKED),), follows=1.0)
        if only_scales(q, last) or counts_anew(q, self.memory.wishes[-1]):
            return replace(q, asks=(), follows=1.0)
        if new and last == "substitute" and len(self.memory.items) == 1 and _WOULD_DO.search(q.normal):
            return replace(q, asks=(self.context.parser.as_ask(q, "substitute", _ASKED),), follows=1.0)
        if last == "storage" and leaves_the_cold(q.slots, q.normal):
            return replace(q, asks=(self.context.parser.as_ask(q, "longevity", _ASKED),), follows=1.0)
        if last == "longevity" and not q.mentions and alters_the_cold(q.slots, q.normal):
            return replace(q, asks=(), follows=1.0)
        read = self.context.read_follow_up(q, last)
        if read is None or read[1] < _LIKELY_IN_TALK or read[0] == "out":
            return None
        kind = read[0]
        q = replace(q, follows=read[1])
        if kind == "same" and self._is_plainly_another(q, last):
            return replace(q, asks=q.asks[:1])
        if self._orders_anew(q, kind):
            return None
        if kind == "why" or kind == "sources":
            return replace(q, asks=(), command=kind)
        if kind == "same" and not q.mentions and of_the_life(q.slots, self.memory.wishes, self.memory.life, q.normal):
            return replace(q, asks=())
        scales = scale_of(q) is not None
        changes = bool(q.slots or q.mentions or q.ordinal is not None or scales)
        own = bool(q.asks) and q.asks[0].score > IMPLIED
        if kind == "same" and "audience" in q.slots and last != "hazard" and any(a.task == "hazard" for a in q.asks):
            return None  # "are daffodils safe for a cat", after a life: another matter, whatever its shape
        if kind == "same" and changes and (scales or not own or not asks_anew(q.normal)):
            return replace(q, asks=())
        score = max(q.asks[0].score if q.asks else 0.0, _ASKED)
        return replace(q, asks=(self.context.parser.as_ask(q, last if kind == "same" else kind, score),))

    def _orders_anew(self, q: Question, kind: str) -> bool:
        """ "I'm after 130, so what do I buy in": do the words and the reader of whole messages agree on an order that the
        reader of follow-ups does not see?"""
        own = q.asks[0] if q.asks else None
        if own is None or own.task != "quantity" or own.score < _PLAIN_WORDS or kind in ("quantity", "same"):
            return False
        return self.context.task_chances(q)["quantity"] >= _SURE_OF_A_WHOLE

    def _is_plainly_another(self, q: Question, last: Task) -> bool:
        """ "Months?" after a question of care: the words and the reader of whole messages both see another ask than the
        last one."""
        own = q.asks[0] if q.asks else None
        if own is None or own.task == last or own.score < _PLAIN_WORDS or {own.task, last} in _SAME_NUMBERS:
            return False
        if own.task == "water" and {"diameter", "length"} & q.slots.keys() and _HOW_MUCH_WATER.search(q.normal):
            return True  # of a vessel told whole, whatever was mixed before
        if own.task in _NEED_A_NAME and not (q.mentions or self.memory.items):
            return False
        if own.task in _ASKED_ALIKE.get(last, ()) or q.ordinal is not None or _CHANGES_ONE_THING.search(q.normal):
            return False
        if own.task == "care" and "support" in q.slots and last == "longevity":
            return False  # "and if they go in foam?": the life there
        least = _PLAINLY if own.task == "substitute" else _LIKELY_IN_TALK
        return self.context.task_chances(q)[own.task] >= least

    def _revises(self, q: Question, only_implied: bool) -> bool:
        """Does the message change something of the last turn rather than ask anew?"""
        if not self.memory.wishes or (q.follows and q.asks):
            return False  # nothing to revise, or already taken for an ask by the reader of follow-ups
        dosed = asks_only(q, "mixing") and bool(set(STRENGTHS) & q.slots.keys())
        if dosed and self.memory.wishes[-1].task == "water" and agents_of(q.normal, plainly=True):
            return False  # "flower food for the lot, 8 g a litre", of water worked out before
        if only_implied and (q.corrections or q.refers_back):
            return True
        if "price" in q.slots and asks_only(q, "cost") and all(w.task != "cost" for w in self.memory.wishes):
            return False  # "2.30 a bunch so", after the bunches: what they come to
        if q.asks and q.asks[0].score >= _ASKED and q.asks[0].task in ("hazard", "care", "describe"):
            return False
        changes = bool(q.slots or q.mentions or scale_of(q) is not None)
        rest = q.normal
        if self.memory.wishes[-1].task in _AMOUNTS:
            rest = _FOR_SO_MUCH.sub("", rest)
        return changes and not asks_anew(rest) and (not q.mentions or q.corrections)

    def _items(self, mentions: Sequence[Mention], notes: list[str], *, every_meaning: bool = False) -> tuple[Item, ...]:
        """Materials meant, each once; how a misspelling or a shared name was read goes to `notes`.

        `every_meaning` takes all meanings of a shared name: where harm is asked about, none may be left out.
        """
        items: dict[str, Item] = {}
        for m in mentions:
            if m.negated and not m.unavailable:
                continue
            if m.id is None and every_meaning:
                items |= {i: Item(i, said=m.said) for i in m.ids if i not in items}
                notes.append(f"“{m.said}” can mean any of these.")
                continue
            spoken_of = [i.id for i in self.memory.items if i.id in m.ids]
            if m.id is None and len(spoken_of) == 1:  # "the ruscus", after Italian ruscus
                m = replace(m, ids=(spoken_of[0],), usual=None)
            material_id = m.id or m.usual
            if material_id is None:
                choices = listed([self.context.name(i) for i in m.ids], "or")
                notes.append(f"“{m.said}” I left out: it can mean {choices}; say which.")
                continue
            name = self.context.name(material_id)
            if m.how == "fuzzy":
                notes.append(f"I took “{m.said}” for {name}.")
            if m.id is None:
                self._alternatives = m.ids
                others = [self.context.name(i) for i in m.ids if i != material_id]
                notes.append(f"I took “{m.said}” as {name}; it can also mean {listed(others[:4], 'or')}.")
            old = items.get(material_id)
            items[material_id] = Item(
                material_id,
                m.stems if m.stems is not None else old.stems if old else None,
                m.bunches if m.bunches is not None else old.bunches if old else None,
                m.unavailable or bool(old and old.unavailable),
                m.said,
                m.how == "fuzzy",
                pack=m.pack or (old.pack if old else None),
                price=m.price or (old.price if old else None),
                share=m.share or (old.share if old else None),
            )
        return tuple(items.values())[:_MOST_ITEMS]

    def _other_meaning(self, q: Question) -> tuple[Item, ...] | None:
        """ "The Italian one" after a shared name was answered for its usual meaning."""
        if q.mentions or not self.memory.alternatives or not self.memory.wishes:
            return None
        coloured = (
            of_the_colour(q, self.memory.alternatives, self.context.handbook) if _NOT_THAT.search(q.normal) else None
        )
        told = coloured or self.context.parser.names.told_by_heads(self.memory.alternatives, q.normal)
        if q.asks and told is None:
            return None
        chosen = told or self._chosen(q, self.memory.alternatives, by_looks=False)
        return (Item(chosen),) if chosen else None

    def _edited(self, q: Question, notes: list[str]) -> Answer | None:
        """The list of the last answer edited: "swap stock for carnations", "rosemary down to 3", "without the solidago"."""
        if not self.memory.wishes or not q.mentions or _HOLDS_FOR.search(q.normal):
            return None
        wish = self.memory.wishes[-1]
        counted = recounted(q, wish)
        if counted is not None:
            items, slots, text = counted, without_counts(q.slots), wish.text
        else:
            named = self._items(tuple(replace(m, negated=False) for m in q.mentions), notes)
            listed_so_far = as_a_list(self.memory.items, wish)
            apiece = wish.slot("pieces") is not None or "pieces" in self.memory.job
            changed = swapped(q, named, listed_so_far, wish.task, billed=self._adds_to_bill(q), apiece=apiece)
            changed = changed or self._in_another_state(q, named)
            if changed is None:
                return None
            text = q.normal if wish.task == "substitute" else f"{wish.text} {q.normal}"
            items, slots = changed, without_packs(q.slots, changed)
        earlier = {n: r for n, r in {**wish.earlier, **wish.asked, **self.memory.job}.items() if n not in slots}
        gone = tuple(i for i in self.memory.items if i.id not in {new.id for new in items})
        self.memory.dropped = tuple(i.id for i in gone)
        new_ones = {i.id for i in items} - {i.id for i in self.memory.items}
        if len(gone) == 1 and not new_ones and _WHAT_INSTEAD.search(q.normal):
            ask = self.context.parser.as_ask(q, "substitute", _ASKED)
            out = replace(gone[0], unavailable=True)
            return self._respond(q.text, (self._wish(ask, replace(q, asks=(ask,)), (out,)),), notes)
        new = replace(wish, items=items, asked=slots, earlier=earlier, text=text[-600:], refers_back=True)
        compared = self.memory.compared
        if wish.task == "hazard" and new_ones and compared is not None and set(compared.ids) == set(wish.ids):
            # Compared first, then asked whether they are safe: what comes in is held against them in both.
            side_by_side = replace(compared, items=items, asked=slots, earlier={**compared.earlier, **compared.asked})
            return self._respond(q.text, (side_by_side, new), notes)
        return self._respond(q.text, (new,), notes)

    def _in_another_state(self, q: Question, named: tuple[Item, ...]) -> tuple[Item, ...] | None:
        """ "The dried ones", of one material in a list: that one in its other state; None where no list is changed so."""
        items, names = self.memory.items, self.context.parser.names
        if len(items) < 2 or len(named) != 1 or named[0].id in {i.id for i in items}:
            return None
        new = named[0].id
        if _FOR_THE_PLAIN.search(q.normal):
            old = [i for i in items if set(i.id.split("-")) < set(new.split("-"))]
            return tuple(replace(i, id=new) if i is old[0] else i for i in items) if len(old) == 1 else None
        if q.asks:
            return None
        old = [
            i for i in items if any(names.in_state(i.id, s) == new for s in ("dried", "preserved", "bleached", "fresh"))
        ]
        return tuple(replace(i, id=new) if i is old[0] else i for i in items) if len(old) == 1 else None

    def _which_meaning(self, q: Question) -> Answer | None:
        """A shared name without a usual meaning: ask, with the meanings as choices."""
        open_names = [m for m in q.mentions if m.id is None and m.usual is None and not m.negated]
        if not open_names or any(m.id is not None for m in q.mentions):
            return None
        mention = open_names[0]
        names = [self.context.name(i) for i in mention.ids]
        ask = q.asks[0] if q.asks else Ask("describe", 1.0, q.normal, (), dict(q.slots))
        self.memory.pending = self._wish(ask, q, (), inherit=False)
        self.memory.pending_slot = "materials"
        self.memory.choices = tuple(mention.ids)
        counted = replace(mention, ids=mention.ids[:1])
        self.memory.pending = replace(
            self.memory.pending,
            items=(Item(counted.ids[0], mention.stems, mention.bunches, mention.unavailable, mention.said),),
        )
        return Answer(
            q.text, "asked_back", ask.task, f"Which do you mean by “{mention.said}”: {listed(names, 'or')}?",
            tasks=(ask.task,), choices=tuple(names), follow_ups=tuple(names[:5]),
        )  # fmt: skip

    def _wish(self, ask: Ask, q: Question, items: tuple[Item, ...], *, inherit: bool = True) -> Wish:
        """An ask completed with materials and slots from memory."""
        last = self.memory.wishes[-1] if self.memory.wishes else None
        asked = kept_since(q.slots, {**last.earlier, **last.asked} if last else {}, self.context.today)
        follow = q.refers_back or q.corrections
        if last is None:  # nothing to lean on: an "it" of a longer sentence means something in it
            follow = q.refers_back and not q.corrections and len(q.normal.split()) <= _SHORT
        if last is not None and last.task == ask.task and (follow or q.follows) and not q.mentions:
            asked = self._with_count(asked, last, q)
            follow = True
        proposed = last is not None and last.task == ask.task == "substitute" and len(last.items) == len(items) == 1
        if proposed and last is not None and items[0].id not in last.ids and _WOULD_DO.search(q.normal):
            items = (replace(last.items[0], unavailable=True), *items)  # "would king protea do it", for waratahs
        if ask.task == "substitute" and not q.mentions and self.memory.dropped and _IN_ITS_STEAD.search(q.normal):
            items = tuple(Item(i, unavailable=True) for i in self.memory.dropped[:1])
        spoken_of = (
            self.memory.recent[-1:] if last is None and re.search(r"\b(?:they|them|ones?|it)\b", q.normal) else ()
        )
        if not items and inherit and spoken_of:
            items = tuple(Item(i) for i in spoken_of)  # of a message that was declined: "cut ones then?"
        if not items and inherit and self.memory.items and not self._has_own_subject(ask, q):
            items = self._picked(q) or self._several(q) or self.memory.items
            if ask.task == "compare" and len(items) == 1 and len(self.memory.recent) > 1:
                items = tuple(Item(i) for i in self.memory.recent[-2:])  # "of those, which": the last two spoken of
            follow = True
        elif (
            len(items) == 1
            and inherit
            and (
                (ask.task == "compare" and (q.refers_back or q.follows or _BESIDE.search(q.normal)))
                or (
                    ask.task == "care"
                    and (_MIXED_WITH.match(q.normal) or _TOGETHER.search(q.normal) or _ONE_WATER.search(q.normal))
                )
            )
        ):
            items = tuple({i.id: i for i in (*self.memory.items, *items)}.values())
        if (
            ask.task == "longevity"
            and last is not None
            and last.task == "storage"
            and follow
            and re.search(r"\b(?:stay|keep|hold|sit|be kept|for how many days|for how long)\b", q.normal)
        ):
            ask = replace(ask, task="storage")
        if ask.task == "longevity" and last is None and asks_of_the_cold(asked, q.normal):
            ask = replace(ask, task="storage")
        elif ask.task == "storage" and not ask.yes_no and last is None and out_of_the_cold(asked):
            ask = replace(ask, task="longevity")
        carried = last is not None and q.follows and ask.task == last.task and ask.task in LISTS
        if (
            carried
            and last is not None
            and len(items) == len(last.items) == 1
            and not (items[0].stems or items[0].bunches or "stems" in asked)
        ):
            # "and if they were freesias instead": as many of them
            items = (replace(items[0], stems=last.items[0].stems, bunches=last.items[0].bunches),)
        if ask.task == "quantity" and last is not None and last.task != ask.task and not q.mentions:
            asked = of_the_flower(asked, items, self.memory.job)
        same_subject = bool(last) and (follow or {i.id for i in items} <= set(last.ids if last else ())) and inherit
        earlier = dict(self.memory.job)
        if same_subject and last is not None:
            kept = {**last.earlier, **last.asked}
            if ask.task == last.task or any({ask.task, last.task} == pair for pair in _SAME_NUMBERS):
                earlier = {**earlier, **kept}
            else:
                earlier = {**earlier, **{n: r for n, r in kept.items() if n in JOB_SLOTS}}
            items = self._with_counts(items, last)
            if "stems" in asked and len(items) == 1 and not q.mentions:
                items = (replace(items[0], stems=None),)  # the new count, not the one carried over
            items = said_anew(items, asked, q)
            if ask.task == "cost":
                items, earlier = priced_by_the_bunch(items, earlier, last)
            asked, earlier = self._placed(asked, earlier, last, ask.task, q)
        elif q.mentions and not follow:
            # A new subject keeps the room and the vessel of the job, not the length of somebody else's display.
            earlier = {n: r for n, r in earlier.items() if n not in ("display_days", "until_date", "support")}
        mixed = self._mixed()
        if ask.task == "mixing" and mixed is not None:
            earlier = after_mixing(earlier, mixed, q, self.memory.figured)
        if {"vessel", "shape"} & asked.keys() and _SIDES & asked.keys():
            # Another vessel with sizes of its own takes none of the last one's.
            earlier = {n: r for n, r in earlier.items() if n not in _SIDES and n not in ("vessel", "shape")}
        for name in asked:
            earlier.pop(name, None)
        if "display_days" in asked:
            earlier.pop("until_date", None)
        if "until_date" in asked:
            earlier.pop("display_days", None)
        return Wish(
            ask.task,
            items,
            asked,
            earlier,
            q.normal if len(q.asks) <= 1 else ask.text,
            ask.yes_no,
            ask.superlative,
            follow,
        )

    def _several(self, q: Question) -> tuple[Item, ...]:
        """ "Those three", "both": the last so many materials spoken of, over turns."""
        match = re.search(
            r"\b(?:those|these|the|all) (2|3|4|5|two|three|four|five)\b|\b(both|either|the pair|which of (?:them|those|these))\b",
            q.normal,
        )
        if not match:
            return ()
        if match[2] and match[2].startswith("which") and len(self.memory.items) > 2:
            return self.memory.items
        number = 2 if match[2] else {"two": 2, "three": 3, "four": 4, "five": 5}.get(match[1]) or int(match[1])
        known = {i.id: i for i in self.memory.items}
        if len(known) >= number:
            return self.memory.items[:number]
        return tuple(known.get(i, Item(i)) for i in self.memory.recent[-number:])

    def _adds_to_bill(self, q: Question) -> bool:
        """ "Add 5 bunches of salal at 6 a bunch", after a cost: a line more of the same sum."""
        return self.memory.wishes[-1].task == "cost" and reckons(q) and not holds_an_ask(q.normal)

    def _mixed(self) -> Wish | None:
        """The mix that was asked about last, if the last message was about one."""
        return next((wish for wish in reversed(self.memory.wishes) if wish.task == "mixing"), None)

    def _of_the_mix(self, q: Question) -> bool:
        """Is it about the mix dosed before: how long it keeps, what may go in with it?"""
        mixed = self._mixed()
        before = agents_meant(mixed) if mixed else ()
        dosed = any(name in q.slots for name in STRENGTHS)
        if mixes_bleach(q.normal, before, dosed=dosed):
            return True
        return bool(before) and not q.mentions and about_the_mix(q.normal, before) is not None

    def _has_own_subject(self, ask: Ask, q: Question) -> bool:
        """Asks that stand without a material: mixing, a vessel's volume, a search by description, a general why."""
        if q.ordinal is not None or _OF_THEM.search(q.normal):
            return False
        if ask.task == "mixing":
            return not self._of_the_mix(q)
        if ask.task == "water":
            return any(n in q.slots for n in ("diameter", "vessel", "length", "shape")) and not q.refers_back
        if ask.task == "substitute" and re.search(r"\balternativ|\binstead\b|\bsub(?:s|st)it?ut|\boptions\b", q.normal):
            return False
        if ask.task == "substitute" and self._stands_in(ask, q):
            return False
        if ask.task in ("compare", "substitute") and any(n in q.slots for n in ("kinds", "roles", "colours")):
            return not q.refers_back or ask.superlative is not None
        if ask.task in ("longevity", "compare", "season", "quantity") and self._searches(q):
            return True
        if ask.task == "hazard" and "audience" in q.slots and (q.follows or len(q.normal.split()) <= _SHORT):
            return False
        if ask.task in ("explain", "care", "hazard") and self._of_the_plant(ask, q):
            return False
        if ask.task in ("explain", "care", "hazard", "refresh"):
            return not q.refers_back and bool(q.unknown or q.domain_words > 1)
        return ask.task == "quantity" and any(n in q.slots for n in ("width", "length")) and not q.refers_back

    def _stands_in(self, ask: Ask, q: Question) -> bool:
        """ "Something big and red that's fine for her then": in place of the one that was just turned down."""
        last = self.memory.wishes[-1].task if self.memory.wishes else None
        ruled_out = last in ("hazard", "substitute", "season") or _THEN_RATHER.search(q.normal) is not None
        leans = q.follows >= _LIKELY_IN_TALK or not self.context.sees_meaning
        return ruled_out and len(self.memory.items) == 1 and ask.superlative is None and leans

    def _of_the_plant(self, ask: Ask, q: Question) -> bool:
        """ "Petals falling out of the sleeve already": of the one plant spoken of, not of flowers at large."""
        return (
            len(self.memory.items) == 1
            and q.follows >= _LIKELY_IN_TALK
            and len(q.normal.split()) <= _SHORT
            and _A_PART_OF_IT.search(q.normal) is not None
            and (ask.task == "hazard" or SYMPTOM.search(q.normal) is not None)
            and _AT_LARGE.search(q.normal) is None
        )

    def _picked(self, q: Question) -> tuple[Item, ...]:
        """ "The first one", "the second", "just the first and last": candidates or materials of the last answer."""
        if len(self.memory.items) > 2 and _FIRST_AND_LAST.search(q.normal):
            return (self.memory.items[0], self.memory.items[-1])
        if q.ordinal is None:
            return ()
        answer = self.memory.answer
        ids = (
            [c.material for c in answer.candidates]
            if answer and answer.candidates
            else [i.id for i in self.memory.items]
        )
        try:
            return (Item(ids[q.ordinal]),)
        except IndexError:
            return ()

    def _with_counts(self, items: tuple[Item, ...], last: Wish) -> tuple[Item, ...]:
        known = {i.id: i for i in last.items}
        priced = tuple(priced_as(known[i.id], i) if i.id in known else i for i in items)
        return tuple(
            replace(i, stems=known[i.id].stems, bunches=known[i.id].bunches, unavailable=i.unavailable or known[i.id].unavailable)
            if i.id in known and i.stems is None and i.bunches is None else i
            for i in priced
        )  # fmt: skip

    # --- messages without a task of their own -----------------------------------------------------------------------------

    def _without_ask(self, q: Question, items: tuple[Item, ...], notes: list[str]) -> Answer:
        picked = self._picked(q)
        if self.memory.wishes and (q.slots or items or picked or scale_of(q) is not None):
            if items and not q.refers_back and not q.corrections and q.domain_words + len(q.unknown) > 3:
                pass  # a whole new sentence about something else
            else:
                return self._follow_up(q, items or picked, notes)
        if items:
            counted = any(i.stems or i.bunches for i in items)
            task: Task = "quantity" if counted else "describe"
            ask = Ask(task, 1.0, q.normal, q.mentions, dict(q.slots))
            self.memory.keep_job(q.slots)
            return self._respond(q.text, (self._wish(ask, q, items),), notes)
        job = {n: r for n, r in q.slots.items() if n in JOB_SLOTS}
        ruled = None if self.memory.wishes else self._by_rule(q, _LIKELY_A_RULE)
        if ruled is not None:
            return ruled
        if job and not q.unknown and not q.foreign_words:
            self.memory.keep_job(job)
            said = listed([r.said or n.replace("_", " ") for n, r in job.items()])
            return self._said(q.text, "asked_back", f"Noted: {said}. What would you like to know?")
        return self._from_handbook(q)

    def _follow_up(self, q: Question, items: tuple[Item, ...], notes: list[str]) -> Answer:
        """The last asks again, with what this message changes."""
        self._remember_for_undo()
        scale = scale_of(q)
        wishes = []
        life = None if items else of_the_life(q.slots, self.memory.wishes, self.memory.life, q.normal)
        again = self.memory.wishes
        if items and any(wish.task != "explain" for wish in again):
            # The reason asked for beside it was of the material before.
            again = tuple(wish for wish in again if wish.task != "explain")
        for wish in (life,) if life is not None else again:
            kept = {**wish.earlier, **wish.asked, **self.memory.job}
            asked = kept_since(q.slots, kept, self.context.today)
            asked, earlier = self._placed(asked, kept, wish, wish.task, q)
            if wish.task == "cost" and "pack_size" in asked and _SO_MUCH_A_BUNCH.search(q.normal):
                asked["price"] = replace(asked.pop("pack_size"), unit=BUNCH)  # "if it's 7 a bunch", of a price
                earlier.pop("price", None)
            asked = self._with_count(asked, wish, q)
            for name in ("volume", "mass", "pack_size"):  # what was read as one of these and is something else
                if name in q.slots and name not in asked and (old := wish.slot(name)) is not None:
                    earlier[name] = old
            earlier = {n: r for n, r in earlier.items() if n not in asked}
            if "stems" in asked:
                earlier.pop("count", None)
            if "display_days" in asked:
                earlier.pop("until_date", None)
            if "until_date" in asked:
                earlier.pop("display_days", None)
            if (
                "fill_share" in asked and "fill_height" in earlier
            ):  # "and halfway up", of what was to be filled to there
                filled = earlier.pop("fill_height")
                earlier.setdefault("height", filled)
                self.memory.drop("fill_height")
            new = said_anew(self._swap_items(wish, items, "stems" in asked and len(wish.items) == 1), asked, q)
            if scale is not None and wish.task == "cost" and scale > 1 and marks_up(q.normal):
                asked["factor"] = Reading(scale, "ratio", said=f"{scale:g} times")
                earlier.pop("factor", None)
            elif scale is not None and wish.task == "water" and not any(i.stems for i in new):
                # "Two thirds of it" says the level itself.
                if not {"fill_share", "fill_height", "pieces"} & asked.keys():
                    asked = {**scaled_water(earlier, scale), **asked}
                earlier = {n: r for n, r in earlier.items() if n not in asked}
            elif scale is not None:
                new = tuple(
                    replace(
                        i,
                        stems=whole(i.stems * scale) if i.stems else None,
                        bunches=whole(i.bunches * scale) if i.bunches else None,
                    )
                    for i in new
                )
                of_the_run = wish.task in OF_DAYS and OF_A_RUN.search(q.normal) is not None
                earlier = in_days(earlier, self.context.today) if of_the_run else earlier
                for name in (
                    ("label_dose", "concentration")
                    if re.search(r"\b(?:strength|strong|weak|dos(?:e|age)|rate|label|ppm|concentration)", q.normal)
                    else ("display_days",)
                    if of_the_run
                    else ("stems", "count", "volume")
                ):
                    if name in earlier and name not in asked:
                        r = earlier.pop(name)
                        asked[name] = Reading(r.number * scale, r.unit, r.span[0] * scale, r.span[1] * scale, r.said)
            # A question of its own is not coloured by the words of the last one ("how heavy", then "when does it run dry").
            anew = asks_anew(q.normal)
            if wish.task == "mixing":
                earlier = after_mixing(earlier, wish, q, self.memory.figured)
                anew = anew or bool(agents_of(q.normal, plainly=True))
            text = q.normal if anew else f"{wish.text} {q.normal}"
            wishes.append(
                Wish(
                    wish.task,
                    new,
                    asked,
                    earlier,
                    text[-600:],
                    wish.yes_no and "until_date" in {**asked, **earlier},
                    wish.superlative,
                    True,
                )
            )
        for wish in wishes:
            self.memory.keep_job(wish.asked)
        return self._respond(q.text, tuple(wishes), notes)

    def _placed(
        self, asked: dict[str, Reading], earlier: dict[str, Reading], last: Wish, task: Task, q: Question
    ) -> tuple[dict[str, Reading], dict[str, Reading]]:
        """Slots said now and before with each stretch of time where it belongs; the job forgets what was moved."""
        now, before = placed(asked, earlier, last, task, q.normal)
        for name in ("display_days", "display_temperature"):
            if name in earlier and name not in before and name not in now and name not in asked:
                self.memory.drop(name)
        return now, before

    def _swap_items(self, wish: Wish, items: tuple[Item, ...], counts_said: bool) -> tuple[Item, ...]:
        """New materials take the place of the old ones; a single count carries over ("what about carnations")."""
        if not items:
            return tuple(replace(i, stems=None) for i in wish.items) if counts_said else wish.items
        if wish.task == "cost" and len(wish.items) > 1 and {i.id for i in items} <= set(wish.ids):
            said = {i.id: i for i in self._with_counts(items, wish)}  # "make it 30 stocks": one line of the bill
            return tuple(said.get(i.id, i) for i in wish.items)
        old = wish.items[0] if len(wish.items) == 1 else None
        return tuple(
            replace(i, stems=i.stems or old.stems, bunches=i.bunches or old.bunches, unavailable=old.unavailable)
            if old and not (i.stems or i.bunches)
            else i
            for i in items
        )

    def _with_count(self, asked: dict[str, Reading], wish: Wish, q: Question) -> dict[str, Reading]:
        """Slots of a follow-up with its bare number put where it belongs."""
        asked = without_misplaced(asked, wish, q.normal)
        reading = asked.pop("count", None)
        if reading is not None:
            name, meant = meaning_of(reading, wish, q.normal, speaks_us=bool(self.memory.speaks_us))
            asked.setdefault(name, meant)
        if "price" in asked:
            asked["price"] = of_the_same(asked["price"], wish)
        return asked

    def _with(self, wish: Wish, name: str, reading: Reading) -> Wish:
        items = tuple(replace(i, stems=None) for i in wish.items) if name == "stems" else wish.items
        if name == "price":
            items, reading = tuple(replace(i, price=None) for i in items), of_the_same(reading, wish)
        new = replace(wish, items=items).with_slot(name, reading)
        other = {"display_days": "until_date", "until_date": "display_days"}.get(name)
        if other:
            new = replace(
                new,
                asked={n: r for n, r in new.asked.items() if n != other},
                earlier={n: r for n, r in new.earlier.items() if n != other},
            )
        return new

    def _from_handbook(self, q: Question) -> Answer:
        """No task and no material: the handbook's own words, when a passage is close enough."""
        if q.near or (not self.memory.wishes and stranger(q) is not None):
            return self._decline(q)
        if self.memory.wishes and (q.refers_back or q.corrections) and not q.unknown and not q.foreign_words:
            return self._said(
                q.text, "asked_back", "What should I change? Name a material, a temperature, a count or a date."
            )
        wish = Wish(_craft(q), (), dict(q.slots), {}, q.normal)
        draft = from_rules(wish, self._desk())
        if draft is None:
            return self._decline(q)
        return self._finish(q.text, [(_as_filed(wish, draft), draft)], [])

    # --- asking back ------------------------------------------------------------------------------------------------------

    def _finish_pending(self, q: Question) -> Answer | None:
        """Does this message answer the question asked last? Then the pending wish goes on."""
        pending, slot, choices = self.memory.pending, self.memory.pending_slot, self.memory.choices
        self.memory.pending, self.memory.pending_slot, self.memory.choices = None, None, ()
        assert pending is not None
        notes: list[str] = []
        named_agent = slot == "agent" and bool(agents_of(q.normal))
        other = bool(q.asks) and q.asks[0].task != pending.task and not named_agent
        if slot == "materials" and q.mentions and other and q.asks[0].score <= IMPLIED:
            other = False  # "forsythia, three weeks": the answer, whatever its numbers alone would ask
        if other and (q.mentions or q.asks[0].score >= 2.5) and not q.refers_back:
            return None
        items = self._items(q.mentions, notes)
        other_meaning = None if items or q.asks else self._chosen(q, self.memory.alternatives)
        if other_meaning is not None:  # "Italian, sorry": the shared name put right before its question is answered
            items = (replace(pending.items[0] if pending.items else Item(other_meaning), id=other_meaning),)
        if choices and slot == "materials":
            chosen = self._chosen(q, choices)
            if chosen is not None:
                held = pending.items[0] if pending.items else Item(chosen)
                items = (replace(held, id=chosen),)
                notes = []
        slots = dict(q.slots)
        if slot and slot not in slots and "count" in slots and slot != "materials":
            reading = slots.pop("count")
            slots[slot] = replace(reading, unit=slot)
        if slot == "agent":
            slots["agent"] = Reading((agents_of(q.normal) or ("food",))[0], "id")
        if slot == "parts" and "parts" in slots:  # "1 to 4" reads like a range
            slots["parts"] = replace(slots["parts"], value=slots["parts"].span[1], low=None, high=None)
        if not items and (not slots or (other and slot not in slots)):
            return None
        if slot == "materials" and not items:
            return None
        new_items = items or pending.items
        earlier = {n: r for n, r in {**pending.earlier, **pending.asked}.items() if n not in slots}
        wish = replace(
            pending,
            items=new_items,
            asked={**pending.asked, **slots},
            earlier={n: r for n, r in earlier.items() if n not in pending.asked},
            text=f"{pending.text} {q.normal}",
        )
        self.memory.keep_job(slots)
        return self._respond(q.text, (wish,), notes)

    def _chosen(self, q: Question, choices: Sequence[str], *, by_looks: bool = True) -> str | None:
        if q.ordinal is not None:
            try:
                return choices[q.ordinal]
            except IndexError:
                return None
        for m in q.mentions:
            both = [i for i in m.ids if i in choices]
            if len(both) == 1:
                return both[0]
        words = set(re.findall(r"[a-z']+", q.normal.replace("-", " ")))
        scored = [
            (
                len(
                    words
                    & set(self.context.name(c).replace("-", " ").split()) - {"lily", "orchid", "fern", "eucalyptus"}
                ),
                c,
            )
            for c in choices
        ]
        best = max(scored, default=(0, ""))
        if best[0] > 0 and sum(s == best[0] for s, _ in scored) == 1:
            return best[1]
        looks = by_looks and len(q.normal.split()) <= _SHORT and not q.mentions
        return described(_NOT_THE.sub(" ", q.normal), choices, self.context.handbook) if looks else None

    # --- answering --------------------------------------------------------------------------------------------------------

    def _desk(self) -> Desk:
        return Desk(self.context, Speech(us=bool(self.memory.speaks_us)))

    def _respond(self, text: str, wishes: tuple[Wish, ...], notes: list[str]) -> Answer:
        desk = self._desk()
        done = [(wish, task_function(wish.task)(wish, desk)) for wish in wishes]
        back = next(((w, d) for w, d in done if d.outcome == "asked_back"), None)
        answered = [(w, d) for w, d in done if d.outcome == "answered"]
        if back and any(w.task == "explain" for w, _ in answered):  # "and why": the reason wants no material first
            done = [(w, d) for w, d in done if w.items or d.outcome != "asked_back"]
        if back and not answered:
            wish, draft = back
            self.memory.pending, self.memory.pending_slot, self.memory.choices = wish, draft.asks_for, ()
            self.memory.alternatives, self._alternatives = self._alternatives or self.memory.alternatives, ()
            return Answer(
                text, "asked_back", wish.task, " ".join([*dict.fromkeys(notes), draft.lead]), tasks=tuple(w.task for w in wishes), materials=_ids(wishes),
                passages=tuple(draft.passages[:_MOST_PASSAGES]), choices=tuple(draft.choices), follow_ups=tuple(draft.choices),
            )  # fmt: skip
        self.memory.wishes = wishes
        self.memory.life = next((w for w in wishes if w.task == "longevity" and w.items), self.memory.life)
        self.memory.compared = next(
            (w for w in wishes if w.task == "compare" and len(w.items) > 1), self.memory.compared
        )
        self.memory.note_materials(_ids(wishes))
        if self._alternatives:
            self.memory.alternatives, self._alternatives = self._alternatives, ()
        return self._finish(text, done, notes)

    def _finish(self, text: str, done: Sequence[tuple[Wish, Draft]], notes: list[str]) -> Answer:
        """One Answer from all drafts: leads first, then the rest, what was assumed, the cautions."""
        drafts = [draft for _, draft in done]
        answered = any(d.outcome == "answered" for d in drafts)
        sentences = [d.lead for d in drafts]
        more = [s for d in drafts for s in d.more]
        assumed = list(dict.fromkeys(a for d in drafts for a in d.assumptions))
        if assumed and answered:
            more.append(f"Assumed: {'; '.join(assumed)}.")
        passages = _unique([p for d in drafts for p in d.passages])
        triggers: list[str] = []
        for wish, draft in done:
            if draft.outcome == "answered" or draft.triggers:
                triggers += triggers_for(wish, self.context, draft.triggers)
        ids = _ids([w for w, _ in done])
        figures = tuple(f for d in drafts for f in d.figures)
        first = done[0][0]
        return Answer(
            text,
            "answered" if answered else drafts[0].outcome,
            first.task,
            " ".join([*dict.fromkeys(sentences), *dict.fromkeys(notes), *more[:4]]),
            tasks=tuple(w.task for w, _ in done),
            materials=ids,
            figures=figures,
            candidates=tuple(c for d in drafts for c in d.candidates),
            passages=tuple(passages[:_MOST_PASSAGES]),
            cautions=tuple(cautions_for(triggers, self.context, ids)),
            follow_ups=tuple(dict.fromkeys(f for d in drafts for f in d.follow_ups))[:4],
        )

    # --- commands ---------------------------------------------------------------------------------------------------------

    def _command(self, q: Question) -> Answer:
        last = self.memory.figured or self.memory.answer
        match q.command:
            case "why":
                if last is None or not (last.figures or last.passages):
                    return self._said(q.text, "asked_back", "Ask something first, then “why?” explains the figure.")
                return self._reason_of(last, q.text)
            case "sources":
                if last is None:
                    rule = self.context.handbook.rules.get("where-numbers-come-from")
                    if rule is not None:
                        wish = Wish("explain", (), {}, {}, q.normal)
                        return self._finish(
                            q.text, [(wish, draft_of(rule, self._desk(), self.context.rules([rule.id])))], []
                        )
                    return self._said(
                        q.text, "asked_back", "Ask something first, then “source?” lists where it comes from."
                    )
                return replace(
                    last,
                    question=q.text,
                    task="explain",
                    tasks=("explain",),
                    reply=list_sources(last, self.context),
                    candidates=(),
                )
            case "what_moves":
                if not self.memory.wishes or last is None:
                    return self._said(q.text, "asked_back", "Ask for a figure first.")
                return replace(
                    last,
                    question=q.text,
                    task="explain",
                    tasks=("explain",),
                    reply=what_moves(self.memory.wishes, self._desk()),
                    candidates=(),
                )
            case "undo":
                return self.undo()
            case "forget":
                self.forget()
                return self._said(q.text, "answered", "Forgotten. What is the next job?")
            case "thanks":
                return self._said(q.text, "answered", "You're welcome.")
            case "greeting":
                return self._said(q.text, "answered", f"Hello. {_HELP}")
            case _:
                return self._said(q.text, "answered", _HELP)

    def _remember_for_undo(self) -> None:
        self.memory.undo.append((self.memory.wishes, dict(self.memory.job)))
        del self.memory.undo[:-20]

    def _undo(self) -> bool:
        if not self.memory.undo:
            return False
        self.memory.wishes, self.memory.job = self.memory.undo.pop()
        return True

    # --- declining --------------------------------------------------------------------------------------------------------

    def _decline(self, q: Question) -> Answer:
        """Not covered; with the nearest names when the message looked like a material. What it named stays in mind."""
        self.memory.note_materials(tuple(i for m in q.mentions for i in m.ids[:1] if m.id or m.usual))
        near = list(dict.fromkeys(i for _, i in q.near))[:3]
        if near:
            typed = q.near[0][0]
            names = [self.context.name(i) for i in near]
            passages = tuple(p for i in near for p in self.context.sections(i, "names"))
            return Answer(
                q.text, "not_covered", q.asks[0].task if q.asks else None,
                f"“{typed}” is not in the handbook. The nearest names in it are {listed(names)}.",
                passages=passages, choices=tuple(names), follow_ups=tuple(names),
            )  # fmt: skip
        if _UNNAMED_ONES.search(q.normal) and q.asks and not q.mentions and not self.memory.items:
            return Answer(
                q.text,
                "asked_back",
                q.asks[0].task,
                "Which flower, green or dried stem do you mean? Name it with its sort.",
            )
        word = stranger(q) if q.asks and not q.mentions else None
        said = f"“{word}” is not in the handbook, so I won't guess." if word else _NOT_COVERED
        task = q.asks[0].task if q.asks else None
        return Answer(q.text, "not_covered", task, f"{said} {_COVERS}", follow_ups=("help",))

    def _said(self, text: str, outcome: str, reply: str) -> Answer:
        return Answer(text, outcome, None, reply)  # type: ignore[arg-type]


def _lists_all(q: Question) -> bool:
    """ "Which greens are tough", "rank the fillers": asked of all there are."""
    return (_WHICH_OF_ALL.search(q.normal) or _LISTS_THEM.search(q.normal)) is not None


def _craft(q: Question) -> Task:
    """The task of a question that no task's words ask for, but a rule answers."""
    asks = ("why", "what", "explain", "whats", "what's", "which")
    return "explain" if any(word in asks for word in q.normal.split()) else "care"


def _as_filed(wish: Wish, draft: Draft) -> Wish:
    """The wish as the rule that answers it is filed: a rule of safety answers a question of harm."""
    topic = draft.passages[0].id.partition("/")[0] if draft.passages else ""
    filed = "hazard" if "chemical" in draft.triggers else _FILED.get(topic)
    explained = wish.task == "explain" and filed != "hazard"
    return wish if filed is None or explained or wish.task not in ("care", "explain") else replace(wish, task=filed)


def _quotes(answer: Answer) -> bool:
    """Is it the handbook's own words and numbers, with nothing worked out from what was said?"""
    return not answer.materials and bool(answer.passages) and not any(figure.inputs for figure in answer.figures)


def _points_back(q: Question) -> bool:
    """A short message that names no material: it speaks of what was just said."""
    return not q.mentions and len(q.normal.split()) <= _SHORT


def _ids(wishes: Sequence[Wish]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(i for wish in wishes for i in wish.ids))


def _unique(passages: Sequence[PassageShown]) -> list[PassageShown]:
    seen: dict[str, PassageShown] = {}
    for passage in passages:
        seen.setdefault(passage.id, passage)
    return list(seen.values())
