"""Sorts of one head named apart from it: "gerberas, the mini ones", "lilies (Asiatic, LA and oriental)", "hydrangea that
has been dried".

A first word picks a sort only where the sentence says that it does: as "the … one", in a list of such words, or as the
state the stems have been brought to.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from assistant.language.question import Mention

_ONE = r"(?:ones?|yins?|types?|kinds?|sorts?|versions?|varieties|variety|form|heads?)"
_PLAIN = re.compile(
    r"\b(?:regular|normal|standard|ordinary|usual|fresh|full[ -]size[d]?|big|large|plain|classic|other) (?:[a-z]+ )?$"
)
# What follows "the red", after torch ginger, where it stands for a sort and not for a colour.
_STANDS_ALONE = r"(?=\W*(?:$|[?.,;])| (?:shares?|go(?:es)?|do|does|come|keep|last|hold|stand|work|take|in|on|for|with|at|instead|too|as well)\b)"
_SUPPLIED = r"\b(?:sent|sending|offered|offering|got|delivered|given|brought|only have) (?:me |us |some )?"
_OF_BOTH = re.compile(r"\b(?:and|or|vs?|versus|than|against)\b")
_STATES = ("dried", "preserved", "bleached")
_STATE_SAID = re.compile(
    r"(?: (?:heads?|stems?|stuff|grass|flowers?))?(?: \([^)]*\))?,? (?:(?:once |when |if )?(?:it's|its|it is|they're|theyre|they are|that's|thats|that is|that are|which is|which are|you've|i've|we've)? ?)(?:all |fully |now |already )?(?P<state>dried|preserved)\b"
    r"(?! (?:out|up|off)| ?(?:and|or|v|vs|&|,) ?(?:the )?(?:dried|preserved)\b| [a-z]+s\b)"
)
# The state said anywhere behind the one name of a sentence.
_STATE_LATER = re.compile(
    r"\b(?:once|when|after|if|that are|that's|thats|already|been|when it comes) (?:it's |its |it is |they're |theyre |they are |they've been |it's been |you've |i've |we've |already )*(?P<state>dried|preserved)\b(?! (?:out|off|up))|"
    r"\b(?:that is|that are|that's|which is|which are) already (?P<dry>dry)\b(?! (?:out|off|up))|"
    r"\b(?P<chosen>dried|preserved),? (?:and )?not (?:the )?(?:dried|preserved|fresh)\b"
)
_FRESH = re.compile(
    r"(?<!keep )(?<!stay )(?<!stays )(?<!look )(?<!it )\bfresh\b(?! (?:water|food|cut|air|start|look|and))|\bit fresh\b(?= (?:or|than|if|when))"
)
_EITHER = re.compile(
    r"\b(?:or|vs?\.?|versus|than|against|differ\w*|compared?|any point|if (?:i|we|you) can|rather|either|instead)\b"
)
# A state said of all the names before it.
_OF_ALL_BEFORE = re.compile(r"\b(?:both|all|each)(?: of them| of these)? (?P<state>dried|preserved)\b")
# A state said before any name, of no name in particular.
_SAID_FOR_ALL = re.compile(r"(?:\b(?:something|anything|all|only|them|it)|,) (?P<state>dried|preserved)(?=[,;.:])")
_ITS_PODS = re.compile(r" seed ?(?:pods?|heads?)\b")
# A state of no name in particular: neither denied, nor something done to a stem, nor of another noun ("dried fruit").
_SAID_ALONE = re.compile(
    r"(?<!\bnot )(?<!\bbe )(?<!\bget )(?<!\bgets )(?<!\bbeen )(?<!\bhave )(?<!\bhas )(?<!\bhad )(?<!\bthan )(?<!\bonce )(?<!\bwhen )(?<!\bif )(?<!\bor )"
    r"(?<!\bmore )(?<!\bi )(?<!\bwe )(?<!\bthey )(?<!\byou )(?<!\bfreeze )(?<!\bthe )\b(dried|preserved)"
    r"(?=\W*$|[,.;:?!)]| -|-? (?:for|in|on|at|by|round|around|over|under|along|and|so|how|what|which|this|then|now|too|will|would|does|do|can|from)\b(?! (?:or|dried|preserved|fresh)\b))"
)
_OTHERWISE = re.compile(
    r"\bfresh\b|\bgreen\b|\bliving\b|\b(?:instead|replac\w*|in place|stand(?:s|ing)? in|pass(?:es)? for|substitut\w*|swap\w*|something like|anything like|look like|(?:until|till|before) (?:(?:it's|it is|they're|they are|it has|they have|fully|being) )*(?:dried|preserved)|dried in (?:an?|the vase|\d+|no time)\b|how (?:do|can|should|would) (?:i|we|you))\b|"
    r"\b(?:hang(?:ing)?|drying|dries|to dry|preserve|preserving|press(?:ed)?)\b"
)
_HEADS = (
    ("standard", re.compile(r"\b(?:single|one)[- ](?:headed|bloomed|flowered)\b|\b(?:one|1)[- ](?:(?:flower|bloom|head)[- ])?(?:to|per|on)[- ](?:a|each|the|every)[- ]stem\b|"
                            r"\b(?:one|1)(?: (?:large|big|single|huge|great))+ (?:bloom|flower|head) (?:apiece|each|per stem|(?:to|on) (?:a|each|the|every) (?:stem|stalk))\b|"
                            r"\b(?:with|has|have|have got|got|just|only|bearing|carry|carrying) (?:just |only |the )*(?:(?:one|1|a single)(?: (?:large|big|huge|great|giant|fat|massive|whopping))*|(?:a|the)(?: (?:single|one))?(?: (?:large|big|huge|great|giant|fat|massive|whopping))+) (?:bloom|flower|head)\b|"
                            r"\bbig (?:single )?(?:heads|blooms) (?:one|1) to\b|\b(?:large|big|huge|giant|great)[- ](?:headed|flowered|bloomed)\b")),
    ("spray", re.compile(r"\b(?:lots|loads|plenty|a load|bunches|clusters?) of (?:little |small |tiny |wee )+(?:heads|flowers|blooms)\b|\b(?:many|multi|several)[- ]?(?:headed|flowered)\b|\bseveral (?:flowers|blooms|heads) (?:to|per|on) (?:a|each|the|every) stem\b")),
)  # fmt: skip
_DRY_OF = re.compile(
    r"\b(?:we|i|they)(?:'ve| have)? dried (?:some |the |our |my |a few |these |those |(?:a|the|this|that) (?:whole |big )?(?:load|lot|batch|bunch|armful|pile|stack|crop) of )?$|\bdry (?:flowers?|stems?|heads?|bunch(?:es)?) of (?:the )?$"
)
_IN_GLYCERIN = re.compile(
    r"^,? (?:(?:that's|that has been|which is|that was|that is) )?(?:done|treated|preserved|put up|kept|set) (?:in|with) glycerine?\b"
)
_GLYCERINED = re.compile(r"\b(?:glycerin(?:ed?|ated)|glycerini[sz]ed|glycerine-treated) $")
_BECOME = r"\b(?:been|they're|they are|it's|its|it is|is|are|once|when|gets?|comes?|mine's|mine is|ours are)"
# "Until it's dried"; but "before I stock up on celosia that's been dried" speaks of the dried one.
_NOT_YET = re.compile(r"\b(?:until|till|before(?! (?:i|we|you) (?:stock|·|buy|order|commit|sell)))\b")
_LINK = r"(?:,? ?(?:and|or|vs?\.?|versus|&) |, )(?:there's )?(?:the |a )?"


def head_sorts(names: Mapping[str, tuple[str, ...]]) -> dict[str, dict[str, str]]:
    """For each head that is a name by itself ("lily"): the first words that make a sort of it, and the sort's id."""
    sorts: dict[str, dict[str, str]] = {}
    for key, ids in names.items():
        first, _, head = key.rpartition(" ")
        if first and head in names and len(ids) == 1:
            sorts.setdefault(head, {})[first] = ids[0]
    return {head: found for head, found in sorts.items() if len({*found.values(), *names[head]}) > 1}


def dry_forms(names: Mapping[str, tuple[str, ...]]) -> dict[str, dict[str, str]]:
    """For each fresh material the id of what it is when dried or preserved, by the state."""
    forms: dict[str, dict[str, str]] = {}
    # A name that is one material's alone says more than a shared one.
    for key, ids in sorted(names.items(), key=lambda row: len(names.get(row[0].partition(" ")[2], ()))):
        state, _, bare = key.partition(" ")
        if state in _STATES and len(ids) == 1:
            for fresh in names.get(bare, ()):
                if fresh != ids[0]:
                    forms.setdefault(fresh, {}).setdefault(state, ids[0])
    return forms


def in_its_state(mention: Mention, text: str, forms: Mapping[str, Mapping[str, str]], *, alone: bool) -> Mention:
    """ "Cockscomb (celosia), dried", "teasel heads, dried", "glycerined beech"; "… keep once it's dried" where the name
    stands `alone` in the message."""
    after = _STATE_SAID.match(text[mention.end :])
    before = _GLYCERINED.search(text[: mention.start])
    treated = _IN_GLYCERIN.match(text[mention.end :])
    dry_of = _DRY_OF.search(text[: mention.start])
    later = _STATE_LATER.search(text) if alone else None
    if later and (
        mention.start < later.end() <= mention.end or re.search(r"\b(?:until|till|before)\b", text[: later.start()])
    ):
        later = None
    state = (
        after["state"]
        if after
        else "preserved"
        if before or treated
        else "dried"
        if dry_of
        else later["state"] or later["chosen"] or "dried"
        if later
        else None
    )
    if state is None:
        return mention
    dry = {forms[i][state] for i in mention.ids if state in forms.get(i, {})}
    if len(dry) != 1:
        return mention
    start = before.start() if before else mention.start
    said = after or treated
    end = mention.end + said.end() if said else mention.end
    return Mention((dry.pop(),), text[start:end], start, end, mention.how, stems=mention.stems, bunches=mention.bunches)


def in_both_states(mentions: list[Mention], text: str, forms: Mapping[str, Mapping[str, str]]) -> list[Mention]:
    """ "Hydrangea, I can buy it dried or preserved", "any point buying them fresh if I can get them dried": the one name
    stands for what it is in each of the states."""
    if len({m.ids for m in mentions}) != 1:
        return mentions
    mention = mentions[0]
    bare = [i for i in mention.ids if forms.get(i)]
    own = [i for i, dry in forms.items() if mention.id in dry.values()]
    fresh = bare if len(bare) == 1 else own
    said = list(dict.fromkeys(re.findall(r"(?<!not )(?<!not the )\b(dried|preserved)\b(?! (?:out|off|up))", text)))
    if len(fresh) != 1 or not said:
        return mentions
    found = [forms[fresh[0]][state] for state in said if state in forms[fresh[0]]]
    if _FRESH.search(text) and _EITHER.search(text):
        found = [fresh[0], *found]
    chosen = len(found) > 1 or (len(said) > 1 and found)  # "the dried or the preserved", of what is sold dried alone
    return [replace(mention, ids=(i,), usual=None, how="exact") for i in found] if chosen else mentions


def all_in_a_state(mentions: list[Mention], text: str, forms: Mapping[str, Mapping[str, str]]) -> list[Mention]:
    """ "Something dried, and it's either wheat or oats": one state said for all that is named after it."""
    before = _OF_ALL_BEFORE.search(text)
    said = before or _SAID_FOR_ALL.search(_without(text, mentions))
    if said is None or not mentions or re.search(r"\bfresh\b", text):
        return mentions
    state = "dried" if said["state"] == "dry" else said["state"]
    named = [m for m in mentions if before or m.start > said.start()]
    found = {m.ids: {forms[i][state] for i in m.ids if state in forms.get(i, {})} for m in named}
    if len(named) != len(mentions) or any(len(ids) != 1 for ids in found.values()):
        return mentions
    return [replace(m, ids=(*found[m.ids],), usual=None, how="exact") for m in mentions]


def in_the_one_state_said(mentions: list[Mention], text: str, forms: Mapping[str, Mapping[str, str]]) -> list[Mention]:
    """ "That quaking grass we do dried", "something dried round a door frame, wheat or oats": the state that a message
    speaks of by itself holds for all it names, where each of them has it and none is named in a state."""
    said = set(_SAID_ALONE.findall(text))
    if len(said) != 1 or not mentions or _OTHERWISE.search(text):
        return mentions
    state = said.pop()
    found = [{forms[i][state] for i in m.ids if state in forms.get(i, {})} for m in mentions]
    if any(len(ids) != 1 for ids in found):
        return mentions
    return [replace(m, ids=(ids.pop(),), usual=None, how="exact") for m, ids in zip(mentions, found, strict=True)]


def without_the_same_pods(mentions: list[Mention], text: str, forms: Mapping[str, Mapping[str, str]]) -> list[Mention]:
    """ "Love-in-a-mist seed pods, the dried nigella ones": pods told again by their dried name are no fresh flower."""
    dry = {i for m in mentions for i in m.ids}
    return [
        m
        for m in mentions
        if not (_ITS_PODS.match(text[m.end :]) and m.id is not None and dry & set(forms.get(m.id, {}).values()))
    ]


def by_its_heads(mention: Mention, text: str, sorts: Mapping[str, Mapping[str, str]]) -> Mention:
    """ "Chrysanths, one bloom to a stem": how many heads a stem bears tells a standard from a spray."""
    firsts = sorts.get(mention.said) or sorts.get(mention.said.rstrip("s")) or {}
    for first, pattern in _HEADS:
        if len(mention.ids) > 1 and firsts.get(first) in mention.ids and pattern.search(text):
            return replace(mention, ids=(firsts[first],), usual=None, how="exact")
    return mention


def of_its_heads(ids: tuple[str, ...], text: str, sorts: Mapping[str, Mapping[str, str]]) -> str | None:
    """The one of the meanings of a shared name that bears its heads as a message says ("the ones with one big head")."""
    found = {
        firsts[first]
        for firsts in sorts.values()
        for first, pattern in _HEADS
        if firsts.get(first) in ids and pattern.search(text)
    }
    return found.pop() if len(found) == 1 else None


def told_by_sort(mentions: list[Mention], text: str, sorts: Mapping[str, Mapping[str, str]]) -> list[Mention]:
    """The mentions with each bare head replaced by the sorts told from it, where the sentence tells any."""
    out = list(mentions)
    for mention in mentions:
        said = mention.said.replace("-", " ")
        firsts = sorts.get(said) or sorts.get(said.replace(" ", ""))
        if firsts is None and " " in said:  # "dried hydrangea and the preserved kind"
            out += _beside(mention, sorts.get(said.rpartition(" ")[2], {}), text, out)
        if firsts is None or mention.how == "fuzzy":
            continue
        found = _told(firsts, mention, text, mentions)
        if not found:
            continue
        known = {m.ids for m in out}
        new = [
            Mention((firsts[word],), text[start:end], start, end, stems=mention.stems, bunches=mention.bunches)
            for word, start, end in found
            if (firsts[word],) not in known or (firsts[word],) == mention.ids
        ]
        between = text[min(mention.end, found[0][1]) : max(mention.start, found[0][1])]
        keeps = len(found) == 1 and (_PLAIN.search(text[: mention.start]) or _OF_BOTH.search(between))
        if not keeps:
            out.remove(mention)
        elif mention.id is None and mention.usual is not None:
            out[out.index(mention)] = replace(mention, ids=(mention.usual,), usual=None, how="exact")
        out += [m for m in new if m.ids not in {o.ids for o in out}]
    return sorted(out, key=lambda m: m.start)


def _beside(mention: Mention, firsts: Mapping[str, str], text: str, known: list[Mention]) -> list[Mention]:
    """Another sort of the same head, told after a whole name."""
    words = "|".join(re.escape(word) for word in sorted(firsts, key=len, reverse=True))
    told = rf"\bthe (?:fresh |ordinary |plain )?(?P<word>{words})s?(?: {_ONE}\b|{_STANDS_ALONE})"
    match = re.search(told, text[mention.end :]) if words else None
    if match is None and words:  # "no Italian ruscus to be had, they've sent Israeli"
        match = re.search(rf"{_SUPPLIED}(?P<word>{words})s?(?=\W*(?:$|[?.,;]))", text[mention.end :])
    if match is None or (firsts[match["word"]],) in {m.ids for m in known}:
        return []
    start = mention.end + match.start("word")
    return [Mention((firsts[match["word"]],), match["word"], start, mention.end + match.end("word"))]


def _told(
    firsts: Mapping[str, str], mention: Mention, text: str, mentions: list[Mention]
) -> list[tuple[str, int, int]]:
    """First words with their places that the sentence uses for sorts of this head."""
    free = _without(text, [m for m in mentions if m.said not in firsts and m.said.rstrip("s") not in firsts])
    words = "|".join(re.escape(word) for word in sorted(firsts, key=len, reverse=True))
    said = rf"(?P<word>{words})s?\b"
    places: dict[int, tuple[str, int, int]] = {}
    for match in re.finditer(rf"\b{said}(?= {_ONE}\b)", free):
        places[match.start()] = (match["word"], match.start("word"), match.end())
    last = re.search(rf"\b(?:or|and|than|vs|versus) (?:an?|the) {said}(?=\W*(?:$|[?.,;]))", free)
    if last and last.start() >= mention.end:
        places[last.start("word")] = (last["word"], last.start("word"), last.end("word"))
    states = "|".join(state for state in _STATES if state in firsts)
    if states:
        state = re.compile(rf"{_BECOME} (?P<word>{states})\b(?! out)")
        behind = (m for m in state.finditer(free) if m.start() >= mention.end)
        after = next((m for m in behind if not _NOT_YET.search(free[: m.start()])), None)
        if after:
            places[after.start("word")] = (after["word"], after.start("word"), after.end("word"))
    pair = rf"\b(?:{words})s?(?: {_ONE})?(?:{_LINK}(?:{words})s?(?: {_ONE})?)+\b(?! [a-z]*(?:{re.escape(mention.said.rstrip('s'))}))"
    for listed in re.finditer(pair, free):
        for match in re.finditer(rf"\b{said}", listed[0]):
            start = listed.start() + match.start("word")
            places[start] = (match["word"], start, listed.start() + match.end())
    chosen: dict[str, tuple[str, int, int]] = {}
    for _, place in sorted(places.items()):
        chosen.setdefault(firsts[place[0]], place)
    return list(chosen.values())


def _without(text: str, mentions: list[Mention]) -> str:
    free = list(text)
    for m in mentions:
        free[m.start : m.end] = "·" * (m.end - m.start)
    return "".join(free)
