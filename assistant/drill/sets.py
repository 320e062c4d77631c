"""Sets: which items a quiz is made of, said in plain words ("storage temperatures of foliage, level 1")."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from assistant.drill.item import Blueprint
from assistant.handbook.loading import Handbook
from assistant.language.cleaning import normalise, safe_text
from assistant.language.names import NameIndex

# A phrase to the templates (with a colon) and topics it stands for. Longer phrases come first and take their words.
_PHRASES: tuple[tuple[str, str], ...] = (
    (
        r"stor(?:age|ing) temp\w*|(?:cooler|fridge|store) temp\w*|temperatures? (?:to|for) stor\w+",
        ":storage-temperature :warm-store :cold-store :figure-cooler",
    ),
    (r"storage (?:life|lives|days|times?)", ":storage-days"),
    (
        r"vase li(?:fe|ves)|li(?:fe|ves)\b(?: spans?)?|how long (?:things|they|flowers) last|longevity|lasting",
        "life :figure-days-left",
    ),
    (r"freez\w+|chill\w*|cold damage", ":freezing :chilling"),
    (r"(?:cold )?stor(?:age|ing|e)\b|cooler|keeping cold", "storage cooler :figure-cooler"),
    (r"ethylene|ripening gas", "ethylene"),
    (r"bunch(?:es)? sizes?|pack(?:s|ing)?(?: sizes?)?|stems (?:in|per|to) a bunch", "packs"),
    (
        r"order(?:ing)? (?:sums|problems|figures)|bunch(?:es)?(?: sums| problems)?|how many bunches",
        ":figure-bunches :figure-recipe",
    ),
    (r"seasons?|availability|months", "season"),
    (r"botanical(?: names?)?|latin(?: names?)?", ":botanical :plant"),
    (r"(?:other |trade |common )?names|synonyms|what things are called", "names"),
    (
        r"(?:poison\w*|toxic\w*|harm\w*|hazards?|saf\w+|danger\w*)[a-z ]*? (?:for |to |with |and )?cats?|cats?",
        ":harmful-cats :harmless-cats :hazard-cats",
    ),
    (
        r"(?:poison\w*|toxic\w*|harm\w*|hazards?|saf\w+|danger\w*)[a-z ]*? (?:for |to |with |and )?dogs?|dogs?",
        ":harmful-dogs :harmless-dogs :hazard-dogs",
    ),
    (r"hazards?|poison\w*|toxic\w*|pets|dangers?", "hazards"),
    (r"safety", "hazards safety"),
    (r"substitut\w*|stand[- ]?ins?|swaps?|replacements?", "substitutes"),
    (r"(?:spot the )?mistakes?", "mistakes"),
    (r"steps|procedures?|order of work", ":steps"),
    (r"symptoms?|trouble ?shooting|problems|what went wrong|causes", ":symptom troubleshooting"),
    (r"whys?|reasons?|explanations?|explain\w*", ":why"),
    (r"mixing|dilut\w+|dos(?:es|ing|age)|bleach|flower food|solutions?", ":figure-dose solutions"),
    (r"pric(?:es?|ing)|costs?|mark[- ]?ups?|money", ":figure-retail :figure-stem-price"),
    (r"figures?|sums?|arithmetic|maths?|calculations?|reckoning|numbers", "figures"),
    (r"foam", ":foam-avoid :foam-good foam"),
    (r"water(?:ing)?|drinking|uptake", "water hydration reservoirs :figure-volume :figure-water-days"),
    (r"sizes?|stem lengths?|heads? sizes?", "sizes"),
    (r"drying|how to dry", "drying"),
    (r"shelf[- ]li(?:fe|ves)", ":shelf-life"),
    (r"roles?|design", ":role-line :role-mass :role-form :role-filler :role-accent"),
    (r"rules?|craft|practice", "*rules"),
)
_KINDS: tuple[tuple[str, str], ...] = (
    (r"foliages?|greens|greenery|leaves", "foliage"),
    (r"flowers?|blooms", "flower"),
    (r"berr(?:y|ies)", "berry"),
    (r"branch(?:es)?", "branch"),
    (r"grass(?:es)?", "grass"),
    (r"dried(?: material| flowers?| stuff)?", "dried"),
    (r"preserved(?: material| flowers?| foliage)?", "preserved"),
)
_LEVELS: tuple[tuple[str, int], ...] = (
    (r"level (?:1|one)|easy|beginners?|basics?|starter", 1),
    (r"level (?:2|two)|medium|middling|intermediate", 2),
    (r"level (?:3|three)|hard|advanced|difficult|expert", 3),
)
_OWN = (
    r"(?:the |our |my )?(?:shop'?s? own|own shop|overlay|house)(?: (?:materials?|list|entries|rules))?|"
    r"what (?:is|'s) ours|our own(?: (?:materials?|entries|rules|stock))?"
)
_ALL = r"everything|anything|all(?: of it)?|whatever|random|mixed"
_LINKS = re.compile(
    r"\b(?:and|or|of|on|in|for|the|about|a|an|some|with|only|just|please|items?|questions?|material|materials|plants?|what|which|how|is|are|do|does|at|my|our|to|things|from|names?|stuff|ones)\b|[,;:.!?&+/-]"
)
_ASKERS = (
    r"please|ok|okay|hi|hey|hello|so|right|now|and|can you|could you|would you|will you|i want you to|i'?d like you to|"
    r"let'?s|lets"
)
_TESTED = (
    r"me|us|(?:my|our) (?:new )?\w+|the new \w+|"
    r"the (?:team|staff|crew|class|trainees?|apprentices?|others|girls|boys|lot)"
)
_QUIZ = re.compile(
    rf"^\W*(?:(?:{_ASKERS})[ ,!.]+)*(?:"
    rf"(?:quiz|drill|test|examine|grill) (?:{_TESTED})\b|"
    r"(?:give|set|make|start|run|begin|do|have|play)(?: me| us)?(?: a| another| the)? (?:short |quick |little |"
    r"new )?(?:quiz|drill|test)\b|"
    r"(?:a |an? other |another |the )?(?:quiz|drill)\b(?! (?:bit|hole))|"
    r"ask me (?:some |a few |\d+ )?(?:questions?|something)\b|"
    r"i (?:want|need|would like|'?d like)(?: to (?:do|have|take|start))? (?:a |another )?(?:quiz|drill|test)\b)"
    r"(?P<rest>.*)$"
)
_TO_DESCRIPTION = re.compile(
    r"^\W*(?:(?:on|about|in|over|for|with|of|from|around|regarding|please|now|today|again|questions?)\b\W*)*"
)


@dataclass(frozen=True)
class SetDescription:
    """Which items belong: those that fit every part that is not empty. `words` says it for people.

    `unknown` holds the words that named nothing in the handbook.
    """

    words: str = "everything"
    templates: frozenset[str] = frozenset()
    topics: frozenset[str] = frozenset()
    kinds: frozenset[str] = frozenset()
    levels: frozenset[int] = frozenset()
    entries: frozenset[str] = frozenset()
    own: bool = False
    unknown: str = ""

    def matches(self, blueprint: Blueprint, own: frozenset[str] = frozenset()) -> bool:
        """Does an item belong? `own` are the ids that the shop's overlay brought or changed."""
        # "dried" is a kind of material and a topic of the rules, and whoever says it means both.
        return (
            (not (self.templates or self.topics) or self._is_meant(blueprint))
            and (not self.kinds or blueprint.kind in self.kinds or blueprint.topic in self.kinds)
            and (not self.levels or blueprint.level in self.levels)
            and (not self.entries or blueprint.entry in self.entries)
            and (not self.own or blueprint.entry in own)
        )

    def _is_meant(self, blueprint: Blueprint) -> bool:
        by_rule = "*rules" in self.topics and blueprint.kind == "rule"
        return by_rule or blueprint.template in self.templates or blueprint.topic in self.topics


EVERYTHING = SetDescription()


def describe_set(
    text: str, handbook: Handbook, names: NameIndex | None = None, lists: Mapping[str, tuple[str, ...]] | None = None
) -> SetDescription:
    """Read a set from plain words.

    Args:
        text: such as "ethylene", "dried, level 1", "roses and tulips" or the name of a trainer's list.
        handbook: for the names of topics and materials.
        names: the chat's name index, if there is one already; building one takes a moment.
        lists: the trainer's lists, name to entry ids.

    Raises:
        TooLong: for more text than a set can need.
    """
    rest = f" {normalise(text)} "
    found = _Found()
    for name, entries in (lists or {}).items():
        rest = found.take(rf"(?:list )?{re.escape(normalise(name))}(?: list)?", rest, "entries", entries)
    rest = found.take(_OWN, rest, "own", ())
    for pattern, level in _LEVELS:
        rest = found.take(pattern, rest, "levels", (level,))
    for pattern, meant in _PHRASES:
        rest = found.take(pattern, rest, "meant", meant.split())
    for pattern, kind in _KINDS[-2:]:
        rest = found.take(pattern, rest, "kinds", (kind,))
    for topic_id in sorted(handbook.topics, key=len, reverse=True):
        rest = found.take(re.escape(topic_id.replace("-", " ")), rest, "meant", (topic_id,))
    for topic_id, topic in handbook.topics.items():
        rest = found.take(re.escape(topic.title.lower()), rest, "meant", (topic_id,))
    rest = _materials(rest, names or NameIndex(handbook), found)
    for pattern, kind in _KINDS:
        rest = found.take(pattern, rest, "kinds", (kind,))
    rest = re.sub(rf"\b(?:{_ALL})\b", " ", rest)
    unknown = " ".join(_LINKS.sub(" ", rest).split())
    return found.description(safe_text(text), unknown)


def start_from_chat(text: str, handbook: Handbook, names: NameIndex | None = None) -> SetDescription | None:
    """The set a chat message asks to be quizzed on ("quiz me on storage temperatures"); None if it asks for no quiz.

    A message longer than any request, or one that uses "test" of something else, is no request either.
    """
    shown = safe_text(text)
    if len(shown) > 200:
        return None
    match = _QUIZ.match(normalise(shown))
    if match is None:
        return None
    rest = re.sub(r"\W*\bplease\W*$", "", _TO_DESCRIPTION.sub("", match["rest"])).strip(" .!?")
    return describe_set(rest, handbook, names) if rest else EVERYTHING


@dataclass
class _Found:
    """What has been recognised so far."""

    meant: set[str] = field(default_factory=set)
    kinds: set[str] = field(default_factory=set)
    levels: set[int] = field(default_factory=set)
    entries: set[str] = field(default_factory=set)
    own: bool = False

    def take(self, pattern: str, text: str, what: str, values: object) -> str:
        """Note the values if the pattern stands in the text, and take its words out."""
        left, count = re.subn(rf"(?<![\w'])(?:{pattern})(?![\w'])", " ", text)
        if count:
            if what == "own":
                self.own = True
            else:
                getattr(self, what).update(values)
        return left

    def description(self, words: str, unknown: str) -> SetDescription:
        return SetDescription(
            words or "everything",
            frozenset(m[1:] for m in self.meant if m.startswith(":")),
            frozenset(m for m in self.meant if not m.startswith(":")),
            frozenset(self.kinds),
            frozenset(self.levels),
            frozenset(self.entries),
            self.own,
            unknown,
        )


def _materials(text: str, names: NameIndex, found: _Found) -> str:
    """Materials named in the text; a shared name means all it may stand for."""
    kinds = re.compile("|".join(pattern for pattern, _ in _KINDS))
    for mention in reversed(names.find(text)):
        if kinds.fullmatch(mention.said):
            continue
        found.entries.update(mention.ids)
        text = f"{text[: mention.start]} {text[mention.end :]}"
    return text
