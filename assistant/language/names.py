"""Finding materials in text: exact names, plurals, run-together and split spellings, misspellings, shared names."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from rapidfuzz import process
from rapidfuzz.distance import OSA

from assistant.handbook.loading import Handbook
from assistant.language.ordinary import is_ordinary_word, near_names
from assistant.language.question import Mention
from assistant.language.slips import BESIDE, once, rank_of, slip
from assistant.language.sorts import (
    all_in_a_state,
    by_its_heads,
    dry_forms,
    head_sorts,
    in_both_states,
    in_its_state,
    in_the_one_state_said,
    of_its_heads,
    told_by_sort,
    without_the_same_pods,
)
from assistant.language.words import DOMAIN_WORDS, FUNCTION_WORDS, PARSED_WORDS

_WORD = re.compile(r"[^\W\d_]+(?:'[^\W\d_]+)*|\d+(?:\.\d+)?")
_LONGEST_NAME = 5
# Below this similarity a misspelling is not taken for a name; between the two it is only offered as "nearest".
TAKEN_FOR = 0.77
OFFERED_FOR = 0.66
_CLEAR_LEAD = 0.04
# Letters of a short form that is taken as typed or not at all.
_BRIEF = 5
# Letters of a word that a full stop may shorten; after a longer one it ends the sentence.
_ABBREVIATED = 4
# Short forms of the trade that also stand inside longer names ("spray carns", "standard mums").
_SHORT_FORMS: dict[str, tuple[str, ...]] = {
    "carnation": ("carn",), "chrysanthemum": ("mum", "chrysanth"), "eucalyptus": ("euc",), "delphinium": ("delph",),
    "gladiolus": ("glad",), "gypsophila": ("gyp",), "snapdragon": ("snap",), "hydrangea": ("hydra",), "scabiosa": ("scabious",), "grass": ("grasses",),
}  # fmt: skip


@lru_cache(maxsize=8192)
def key_of(name: str) -> str:
    """The form names are compared in: lower case, no apostrophes, hyphens as spaces."""
    return " ".join(_WORD.findall(name.lower().replace("'", "").replace("’", "").replace("-", " ")))


def plurals_of(key: str) -> Iterator[str]:
    """The plural spellings a person would use for a name ("lily of the valley" → "lilies of the valley")."""
    head, of, rest = key.partition(" of ")
    first, _, last = head.rpartition(" ")
    lead = first + " " if first else ""
    tail = of + rest
    if last.endswith("y") and last[-2:-1] not in "aeiou":
        yield lead + last[:-1] + "ies" + tail
    if last.endswith(("s", "x", "ch", "sh")):
        yield lead + last + "es" + tail
    elif last.endswith("f"):
        yield lead + last[:-1] + "ves" + tail
    yield lead + last + "s" + tail
    if last.endswith("us"):
        yield lead + last[:-2] + "i" + tail
    if last.endswith("o"):
        yield lead + last + "es" + tail
    if last.endswith("s") and len(last) > 4 and not last.endswith("ss"):  # statice stays, "bunny tails" loses its s
        yield lead + last[:-1] + tail


_INNER_ARTICLE = re.compile(r" (?:a|an|the) ")
_STATES = frozenset({"dried", "preserved", "bleached"})
_PARTS_OF_DRIED = frozenset(
    {"pod", "pods", "head", "heads", "spear", "spears", "boll", "bolls", "seedhead", "seedheads", "leaf", "leaves"}
)
_SHARING_HEAD = re.compile(r"(?P<first>[a-z']+(?: [a-z']+)?)(?:,| or| and| v| vs| versus| &|/) *$")
_SORT_AFTER = re.compile(
    r"^(?:,? or| and| v| vs| versus| against| &|/) *(?:the |a )?(?P<first>[a-z']+)s?(?: ones?| sorts?| kinds?| types?)?(?=\W*$|[.,;:?!)]| ?[-–—]| (?:for|in|at|on|with|if|when|which|who|that|would|will|do|does|is|are|last|lasts)\b)"
)
_PLAIN_ONE = re.compile(
    r"\b(?:or|than|vs?|versus|and|against) (?:the |some |our )?(?:big|bigger|large|ordinary|normal|standard|regular|plain|usual|full[ -]sized?) (?:[a-z]+ )?(?P<one>ones?)\b"
)
_ITS_FLOWER = re.compile(r"^,? (?:vs?|versus|and|or|against|from|than) (?:the |its )?(?P<flower>flowers?|blooms?)\b")
_STALK = re.compile(
    r"(?<!\bthe )(?<!\ba )(?<!\beach )(?<!\bper )(?<!\bof )(?<!\bone )(?<!\bflower )(?<!\bits )(?<!dry )(?<!bare )(?<!long )(?<!thin )(?<!thick )(?<!woody )(?<!green )\bstalk\b(?! (?:of|ends?|length)\b)"
)
_DIED = re.compile(
    r"(?:^|[,;:?.!] |\b(?:the|my|our|some|any|these|those|of|for|with|and|or|are|is|do|does|will|can) )(?P<state>died) $"
)
_STATE_AFTER = re.compile(
    r"^,? \(?(?:the )?(?P<state>dried|preserved|bleached)\b(?! out)(?! ?(?:and|or|v|vs|&|,) ?(?:the )?(?:dried|preserved|bleached)\b)|"
    r"^(?:,? (?:also|likewise|again|too|as well|all|only))+,? (?P<state_too>dried|preserved|bleached)(?: (?:too|as well|this time|ones?))?(?=\W*(?:$|[.,;:?!]))"
)
# What may be said of a fresh flower too: "the rose heads are drooping" is of no dried rose.
_PARTS_OF_FRESH = frozenset(
    {"head", "heads", "leaf", "leaves", "sprig", "sprigs", "bunch", "bunches", "bundle", "bundles"}
)


@dataclass(frozen=True, slots=True)
class _Word:
    text: str
    start: int
    end: int


class NameIndex:
    """All names of a handbook's materials, ready for look-up. Build once, share freely; it never changes."""

    def __init__(self, handbook: Handbook) -> None:
        self._exact: dict[str, tuple[str, ...]] = {}
        self._usual: dict[str, str | None] = {}
        shared = [row for table in handbook.tables.values() for row in table.shared_names]
        for row in shared:
            ids = tuple(meaning.id for meaning in row.meanings)
            key = key_of(row.name)
            for form in (key, *plurals_of(key)):
                self._exact.setdefault(form, ids)
                self._usual[form] = row.usual
        own: dict[str, str] = {}
        for material in handbook.materials.values():
            names = [material.name, material.id.replace("-", " "), *(n.name for n in material.other_names)]
            if material.plural:
                names.append(material.plural)
            own |= {key_of(name): material.id for name in names if key_of(name) not in self._exact}
        for key, owner in list(own.items()):
            for word, shorts in _SHORT_FORMS.items():
                if word in key.split() and key != word:
                    for short in shorts:
                        own.setdefault(key.replace(word, short), owner)
        for key, owner in list(own.items()):
            if key.startswith("spray "):  # "rose sprays"
                own.setdefault(f"{key.removeprefix('spray ')} spray", owner)
        for key, owner in list(own.items()):  # "delphinium belladonna": a word of no other use may stand last
            first, _, last = key.partition(" ")
            if last and " " not in last and not is_ordinary_word(first):
                own.setdefault(f"{last} {first}", owner)
        for key, owner in own.items():
            self._exact.setdefault(key, (owner,))
        for key, owner in own.items():
            for form in plurals_of(key):
                self._exact.setdefault(form, (owner,))
        bare: dict[str, set[str]] = {}
        for key, owner in own.items():
            state, _, rest = key.partition(" ")
            named, _, part = rest.rpartition(" ")
            of_fresh = part in _PARTS_OF_FRESH and any(
                not handbook.materials[i].is_dry for i in self._exact.get(named, ())
            )
            if of_fresh or state not in _STATES or not rest:
                continue
            if rest not in DOMAIN_WORDS and rest.rstrip("s") not in DOMAIN_WORDS:
                bare.setdefault(rest, set()).add(owner)
        for key, owner in list(own.items()):  # "dried lotus", of dried lotus pods
            state, _, rest = key.partition(" ")
            named, _, part = rest.rpartition(" ")
            if state in _STATES and named and part in _PARTS_OF_DRIED:
                short = f"{state} {named}"
                others = {other for name, other in own.items() if name.startswith(f"{short} ") and other != owner}
                if not others:
                    self._exact.setdefault(short, (owner,))
        for key, owners in bare.items():  # nothing fresh has that name: the dried one is meant
            if len(owners) == 1:
                for form in (key, *plurals_of(key)):
                    self._exact.setdefault(form, tuple(owners))
        # "Lily of valley", "love in mist": small words go first when people hurry.
        for key, ids in list(self._exact.items()):
            self._exact.setdefault(_INNER_ARTICLE.sub(" ", key), ids)
        self._heads: dict[str, set[str]] = {}
        for key, owner in own.items():
            if " " in key:
                self._heads.setdefault(owner, set()).add(key.rpartition(" ")[2])
        self._sorts = head_sorts(self._exact)
        self._dry_forms = dry_forms(self._exact)
        self._squashed = {key.replace(" ", ""): key for key in self._exact if len(key) > 5}
        self._parts = frozenset(part for key in self._exact for part in key.split())
        self._long_parts = [part for part in self._parts if len(part) >= 4]
        # A slip in a short form is as near to an everyday word ("husks", "carks") as to the name.
        brief = {
            form
            for material in handbook.materials.values()
            for name in material.other_names
            if name.kind == "abbreviation" and len(name.name) <= _BRIEF
            for form in (key_of(name.name), *plurals_of(key_of(name.name)))
        }
        self._fuzzy_keys = [key for key in self._exact if len(key) >= 4 and key not in brief]
        self._single_keys = [key for key in self._fuzzy_keys if " " not in key]
        #: English words that only stand inside names ("italian", "umbrella"): alone they pick one of several.
        self.qualifiers: tuple[str, ...] = tuple(
            part for part in self._long_parts
            if len(part) >= 5 and part not in self._exact and rank_of(part) is not None
        )  # fmt: skip

    def __contains__(self, name: str) -> bool:
        return key_of(name) in self._exact

    def look_up(self, name: str) -> tuple[str, ...]:
        """The ids a name stands for; empty when it is no name of the handbook."""
        return self._exact.get(key_of(name), ())

    def in_state(self, material_id: str, state: str) -> str | None:
        """The id of a material when dried, preserved, bleached or fresh; None where the handbook has no such entry."""
        of_dry = [fresh for fresh, forms in self._dry_forms.items() if material_id in forms.values()]
        if state == "fresh":
            own = [fresh for fresh in of_dry if material_id.endswith(f"-{fresh}")] or of_dry
            return own[0] if len(own) == 1 else None
        for fresh in (material_id, *of_dry):
            found = self._dry_forms.get(fresh, {}).get(state)
            if found is not None:
                return found
        return None

    def namesakes(self, material_id: str) -> tuple[str, ...]:
        """Other materials that a word of this one's own name may mean as well ("viburnum": snowball or berry)."""
        words = set(material_id.split("-"))
        shared = (ids for key, ids in self._exact.items() if len(ids) > 1 and key in words and material_id in ids)
        return tuple(dict.fromkeys(i for ids in shared for i in ids if i != material_id))

    def told_by_heads(self, ids: tuple[str, ...], text: str) -> str | None:
        """The one of several sorts whose stems bear the heads a message tells of, many or one; None where it tells none."""
        return of_its_heads(ids, text, self._sorts)

    def is_name_part(self, word: str) -> bool:
        return word in self._parts

    def find(self, text: str, taken: Iterable[tuple[int, int]] = ()) -> list[Mention]:
        """Materials named in normalised text, leftmost-longest, skipping spans already taken."""
        taken = list(taken)
        within = self.misspelt_within(text, taken)
        taken += [(m.start, m.end) for m in within]
        words = _free_words(text, taken)
        out: list[Mention] = []
        index = 0
        while index < len(words):
            mention, used = self._exact_at(words, index, text)
            if mention is None:
                index += 1
            else:
                out.append(mention)
                index += used
        out = [self._with_state_after(self._dried_not_died(m, text), text) for m in (*out, *within)]
        out = self._without_doubles(out, text)
        both = in_both_states(out, text, self._dry_forms)
        out = self._told_apart(out, text) if both == out else both
        out += self._heard(out, text)
        out += self._misspelt(text, [*taken, *((m.start, m.end) for m in out)])
        return sorted(out, key=lambda m: m.start)

    def _told_apart(self, mentions: list[Mention], text: str) -> list[Mention]:
        """The mentions with their sorts and states, where the words around them say any."""
        out = mentions + self._sharing_a_head(mentions, text)
        alone = sum(m.said not in ("stock", "stocks") for m in out) == 1
        out = [in_its_state(m, text, self._dry_forms, alone=alone) for m in out]
        out += self._plain_one(out, text) + self._its_flower(out, text)
        out = told_by_sort([by_its_heads(m, text, self._sorts) for m in out], text, self._sorts)
        alike = all_in_a_state(in_both_states(out, text, self._dry_forms), text, self._dry_forms)
        return without_the_same_pods(in_the_one_state_said(alike, text, self._dry_forms), text, self._dry_forms)

    def near(self, word: str, most: int) -> list[tuple[str, int]]:
        """Names of one word at most `most` edits from a word, with their distance."""
        found = process.extract(word, self._single_keys, scorer=OSA.distance, limit=6, score_cutoff=most)
        return [(key, int(distance)) for key, distance, _ in found]

    def misspelt_within(self, text: str, taken: Iterable[tuple[int, int]] = ()) -> list[Mention]:
        """Names of several words with a slip in one of them ("grden rose", "umbreella papyrus").

        They go before the shorter names inside them: otherwise a slip would turn one material into another.
        """
        words = _free_words(text, taken)
        out: list[Mention] = []
        for at, word in enumerate(words):
            if len(word.text) < 4 or self._is_listed(word.text):
                continue
            if any(m.start < word.end and word.start < m.end for m in out):
                continue
            mention = self._one_slip(words, at, text)
            if mention:
                out.append(mention)
        return out

    def _one_slip(self, words: list[_Word], at: int, text: str) -> Mention | None:
        typed = words[at].text.replace("'", "")
        most = 1 if len(typed) < 8 else 2
        near = process.extract(typed, self._long_parts, scorer=OSA.distance, limit=12, score_cutoff=most)
        if is_ordinary_word(typed):  # it may be an inflected word: the slip must be a plain one
            near = [row for row in near if row[1] == 1 and slip(typed, row[0]) <= BESIDE]
        if not near:
            return None
        for size in range(_LONGEST_NAME, 1, -1):
            hits: dict[tuple[str, ...], tuple[int, int, str, int, int]] = {}
            for begin in range(max(0, at - size + 1), min(at, len(words) - size) + 1):
                window = words[begin : begin + size]
                if not _adjacent(window, text):
                    continue
                for part, distance, _ in near:
                    key = " ".join(part if w is words[at] else w.text.replace("'", "") for w in window)
                    ids = self._exact.get(key)
                    if ids is not None:
                        row = (int(distance), slip(typed, part), key, window[0].start, window[-1].end)
                        hits[ids] = min(row, hits.get(ids, row))
            if hits:
                ranked = sorted((row, ids) for ids, row in hits.items())
                if len(ranked) > 1 and ranked[0][0][:2] == ranked[1][0][:2]:
                    return None
                (distance, _, key, start, end), ids = ranked[0]
                score = 1 - distance / len(key)
                return Mention(ids, text[start:end], start, end, "fuzzy", self._usual.get(key), score)
        return None

    def _is_listed(self, word: str) -> bool:
        """A word of English as it stands, or part of a name."""
        if self.is_name_part(word) or rank_of(word) is not None or word in near_names():
            return True
        return word in FUNCTION_WORDS or word in DOMAIN_WORDS or word in PARSED_WORDS

    def _is_odd(self, word: str) -> bool:
        """Neither English, in any form, nor part of a name. A usual ending makes no English of a name with a letter
        struck twice ("rosses": "ross" and "es")."""
        if self._is_listed(word):
            return False
        if any(form in self._exact for form in once(word)):
            return True
        return not is_ordinary_word(word) and rank_of(re.sub("ies$", "y", word)) is None

    def _dried_not_died(self, mention: Mention, text: str) -> Mention:
        """ "Died hydrangeas": no flower is said to have died in front of its name, so an r is missing."""
        match = _DIED.search(text[: mention.start])
        found = self.look_up(f"dried {mention.said}") if match else ()
        if match and len(found) == 1:
            start = match.start("state")
            return Mention(found, text[start : mention.end], start, mention.end, "fuzzy")
        return mention

    def _with_state_after(self, mention: Mention, text: str) -> Mention:
        """ "Hydrangea, dried": the state said after the name."""
        match = _STATE_AFTER.search(text[mention.end :])
        found = self.look_up(f"{match['state'] or match['state_too']} {mention.said}") if match else ()
        if match and len(found) == 1:
            return Mention(
                found, text[mention.start : mention.end + match.end()], mention.start, mention.end + match.end()
            )
        return mention

    def _without_doubles(self, mentions: list[Mention], text: str) -> list[Mention]:
        """ "Chrysanthemum santini" is one material, and so are "holly berries": a shared name beside a plain one adds nothing."""
        plain = [m for m in mentions if len(m.ids) == 1]
        return [
            m for m in mentions
            if len(m.ids) == 1
            or not any(text[min(p.end, m.end) : max(p.start, m.start)].strip(" -") == "" for p in plain)
        ]  # fmt: skip

    def _heard(self, mentions: list[Mention], text: str) -> list[Mention]:
        """ "Six stalk": dictation's spelling of stock, where no stalk of anything can be meant."""
        found = []
        for match in _STALK.finditer(text):
            stands_alone = not mentions or re.search(
                r"(?:\bor|\bvs?\.?|\bversus|\band|,) $|^\W*$", text[: match.start()]
            )
            ids = self.look_up("stock")
            if stands_alone and ids:
                found.append(Mention(ids, match[0], match.start(), match.end(), "fuzzy", self._usual.get("stock")))
        return found

    def _sharing_a_head(self, mentions: list[Mention], text: str) -> list[Mention]:
        """ "Asiatic or oriental lily": a first word that borrows the second name's last."""
        extra: list[Mention] = []
        # "A thistle for a buttonhole, globe or sea holly": a head said by itself lends itself as well.
        alone = [m.said.rstrip("s") for m in mentions if not m.id and m.said.rstrip("s") in self._sorts]
        for mention in list(mentions):
            heads = [*self._heads_of(mention), *(head for head in alone if mention.id)]
            start = mention.start
            while heads and (match := _SHARING_HEAD.search(text[:start])):
                firsts = match["first"].split()
                options = [(" ".join(firsts[-n:]), n) for n in (2, 1) if len(firsts) >= n]
                hit = next(
                    ((f, ids) for f, _ in options for head in heads if len(ids := self.look_up(f"{f} {head}")) == 1),
                    None,
                )
                if hit is None:
                    break
                over = [
                    m for m in mentions if m.start < match.end("first") and match.end("first") - len(hit[0]) < m.end
                ]
                if any(len(m.ids) == 1 or not set(hit[1]) <= set(m.ids) for m in over):
                    break
                for shared in over:  # "foxtail or sword fern": the shared name is the fern
                    mentions.remove(shared)
                first, ids = hit
                begin = match.end("first") - len(first)
                if ids != mention.ids:
                    extra.append(Mention(ids, first, begin, match.end("first")))
                start = begin
            extra += self._sort_after(mention, text, [*mentions, *extra], alone)
        return extra

    def _heads_of(self, mention: Mention) -> list[str]:
        """The last words that a word before the mention may borrow: its own, or that of the full name of a short one."""
        words = mention.said.split()
        if len(words) > 1:
            return [words[-1]]
        return sorted(self._heads.get(mention.id or "", ()))

    def _plain_one(self, mentions: list[Mention], text: str) -> list[Mention]:
        """ "The mini callas or the big ones": the plain head beside its sort."""
        match = _PLAIN_ONE.search(text)
        if match is None or len(mentions) != 1 or mentions[0].end > match.start("one"):
            return []
        head = key_of(mentions[0].said).rpartition(" ")[2]
        ids, usual = self.look_up(head), self._usual.get(head)
        found = usual or (ids[0] if len(ids) == 1 else None)
        if " " not in mentions[0].said or found is None or found == mentions[0].id:
            return []
        return [Mention((found,), head, match.start("one"), match.end("one"))]

    def _its_flower(self, mentions: list[Mention], text: str) -> list[Mention]:
        """ "Scabiosa pods vs flower": the flower of a pod, named without its name."""
        for mention in mentions:
            plant, _, part = mention.said.rpartition(" ")
            match = _ITS_FLOWER.match(text[mention.end :])
            ids = self.look_up(plant) if match and part in ("pod", "pods") else ()
            if match and len(ids) == 1:
                return [Mention(ids, plant, mention.end + match.start("flower"), mention.end + match.end("flower"))]
        return []

    def _sort_after(self, mention: Mention, text: str, known: list[Mention], alone: list[str]) -> list[Mention]:
        """ "Gerbera or mini": a sort named after the plain head, without it."""
        match = _SORT_AFTER.match(text[mention.end :])
        if match is None or mention.id is None or (" " in mention.said and not alone):
            return []
        start, end = mention.end + match.start("first"), mention.end + match.end("first")
        heads = alone if " " in mention.said else (mention.said, *self._heads_of(mention))
        ids = next((ids for head in heads if len(ids := self.look_up(f"{match['first']} {head}")) == 1), ())
        taken = any(m.start < end and start < m.end for m in known)
        return [] if taken or len(ids) != 1 or ids == mention.ids else [Mention(ids, match["first"], start, end)]

    def _exact_at(self, words: list[_Word], index: int, text: str) -> tuple[Mention | None, int]:
        for size in range(min(_LONGEST_NAME, len(words) - index), 0, -1):
            window = words[index : index + size]
            if not _adjacent(window, text):
                continue
            key = " ".join(w.text.replace("'", "") for w in window)
            found = self._exact.get(key)
            how = "exact"
            if found is None:
                key_possessive = re.sub(r"'s$", "", " ".join(w.text for w in window))
                found = self._exact.get(key_possessive.replace("'", ""))
            if found is None and key.replace(" ", "") in self._squashed and self._may_be_split(window, key):
                key = self._squashed[key.replace(" ", "")]
                found, how = self._exact[key], "squashed"
            if found is not None:
                start, end = window[0].start, window[-1].end
                usual = self._usual.get(key)
                if len(found) > 1:
                    return Mention(found, text[start:end], start, end, "shared", usual), size
                return Mention(found, text[start:end], start, end, how), size  # type: ignore[arg-type]
        return None, 1

    def _may_be_split(self, window: list[_Word], key: str) -> bool:
        """Run-together or split spellings: not "long is", whose words are everyday ones."""
        return len(key) > 7 and not any(w.text in FUNCTION_WORDS for w in window)

    def _misspelt(self, text: str, taken: list[tuple[int, int]]) -> list[Mention]:
        words = _free_words(text, taken)
        out: list[Mention] = []
        index = 0
        while index < len(words):
            best: Mention | None = None
            used = 1
            for size in (3, 2, 1):
                window = words[index : index + size]
                if len(window) < size or not _adjacent(window, text) or not self._may_be_misspelt(window):
                    continue
                mention = self._nearest(window, text)
                if mention and mention.score >= TAKEN_FOR and (best is None or mention.score > best.score):
                    best, used = mention, size
            if best:
                out.append(best)
                index += used
            else:
                index += 1
        return out

    def _may_be_misspelt(self, window: list[_Word]) -> bool:
        """A typo holds at least one word that is neither English nor part of a name; its neighbours fit a name."""
        odd = [w for w in window if self._is_odd(w.text)]
        if not odd or sum(len(w.text) for w in window) < 4 or any(w.text[0].isdigit() for w in window):
            return False
        return all(w in odd or self.is_name_part(w.text) for w in window)

    def _nearest(self, window: list[_Word], text: str) -> Mention | None:
        said = " ".join(w.text for w in window)
        matches = self.nearest(said, 4)
        if not matches:
            return None
        (ids, score), *rest = matches
        rivals = [other for other, s in rest if score - s < _CLEAR_LEAD]
        if rivals:
            # As near as each other: the likelier slip ("amarantuhs" is amaranthus with two letters swapped).
            kinds = sorted((min(slip(said, k) for k in self._keys_near(said, i)), i) for i in (ids, *rivals))
            if kinds[0][0] == kinds[1][0]:
                return None
            ids = kinds[0][1]
            score = next(s for other, s in matches if other == ids)
        start, end = window[0].start, window[-1].end
        usual = None
        if len(ids) > 1:
            usual = next((self._usual[k] for k, v in self._exact.items() if v == ids and k in self._usual), None)
        return Mention(ids, text[start:end], start, end, "fuzzy", usual, score)

    def _keys_near(self, said: str, ids: tuple[str, ...]) -> list[str]:
        found = process.extract(
            said, self._fuzzy_keys, scorer=OSA.normalized_similarity, limit=16, score_cutoff=OFFERED_FOR
        )
        return [key for key, _, _ in found if self._exact[key] == ids] or [""]

    def nearest(self, said: str, count: int = 3) -> list[tuple[tuple[str, ...], float]]:
        """The nearest names with their similarity (0–1), best first, one row a meaning."""
        found = process.extract(
            key_of(said), self._fuzzy_keys, scorer=OSA.normalized_similarity, limit=count * 4, score_cutoff=OFFERED_FOR
        )
        best: dict[tuple[str, ...], float] = {}
        for key, score, _ in found:
            # A slip in the first letter is rarer than elsewhere: it must be nearer in the rest.
            score -= 0.06 if key[0] != said[0] else 0.0
            ids = self._exact[key]
            best[ids] = max(best.get(ids, 0.0), score)
        ranked = sorted(best.items(), key=lambda item: (-item[1], item[0]))
        return [item for item in ranked if item[1] >= OFFERED_FOR][:count]


def _free_words(text: str, taken: Iterable[tuple[int, int]]) -> list[_Word]:
    spans = list(taken)
    words = []
    for match in _WORD.finditer(text):
        if not any(start < match.end() and match.start() < end for start, end in spans):
            words.append(_Word(match[0], match.start(), match.end()))
    return words


def _adjacent(window: list[_Word], text: str) -> bool:
    """Only spaces, hyphens or the stop of an abbreviation ("st. john's") stand between the words."""
    for a, b in pairwise(window):
        between = text[a.end : b.start]
        ends = "." in between and between != "." and len(a.text) > _ABBREVIATED
        if ends or len(between) > 2 or not set(between) <= set(" -'."):
            return False
    return True
