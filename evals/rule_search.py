"""How well questions in users' words find the rule that answers them, stage by stage, and what is answered of it.

    python -m evals.rule_search

Reads evals/data/rule_questions.yaml and writes evals/results/search.md. The questions are asked alone, as the dialogue
hands them to the search: cleaned, with the materials they name. Shares and cuts of the second stage were set on `dev`;
`test` is what is reported. A rule's three questions are alike, so the bootstrap draws rules, not questions. What is
answered is also told for the same questions wrapped in talk, which thins every score.
"""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
import yaml
from numpy.typing import NDArray
from sklearn.linear_model import LogisticRegression

from assistant.dialogue import general
from assistant.handbook.passages import Passage
from assistant.language.parsing import Parser
from assistant.retrieval import Hit, Retriever
from assistant.retrieval.fusion import convex, with_materials
from assistant.retrieval.index import PassageIndex, text_of
from assistant.retrieval.late import TokenIndex
from assistant.retrieval.lexical import LexicalIndex
from evals.report import table
from evals.run import context_for

DATA = Path(__file__).parent / "data" / "rule_questions.yaml"
RESULTS = Path(__file__).parent / "results" / "search.md"
TODAY = datetime.date(2026, 11, 25)
SPLITS = ("dev", "test")
ROUNDS = 2000
CUTS = (0.15, 0.3, 0.4, 0.45, 0.5, 0.6, 0.7, 0.8)
_NOT_FOUND = 10_000
WRAPPINGS = (
    "somebody here told me to ask you {}",
    "a trainee asked me this one earlier, {}",
    "sorry quick question while i've got you, {}",
    "i've been put on this for the first time and nobody has shown me, {}",
    "they keep telling me things about it and i just nod along, {}",
    "it's been one of those weeks and the boss wants to know {}",
    "customer on the phone was going on about it and now i'm wondering {}",
    "so um i was reading about it last night, {}",
)


@dataclass(frozen=True, slots=True)
class RuleQuestion:
    """A question, the ids of the rules that answer it (none for `nothing`), its part and its group in the file."""

    ask: str
    rules: frozenset[str]
    split: str
    group: int


def load(path: Path = DATA) -> list[RuleQuestion]:
    """All questions of the file, those that no rule answers included."""
    stored: dict[str, list[dict[str, Any]]] = yaml.safe_load(path.read_text(encoding="utf-8"))
    groups = [*stored["questions"], *stored["nothing"]]
    return [
        RuleQuestion(ask, frozenset(group.get("rules", ())), group["split"], number)
        for number, group in enumerate(groups)
        for ask in group["ask"]
    ]


class Stages:
    """Every ranking that is compared, as positions of passages, best first."""

    def __init__(self, retriever: Retriever, parser: Parser, topics: Sequence[str]) -> None:
        encoder = retriever.encoder()
        if encoder is None or not retriever.prepare():
            raise SystemExit("the encoder cannot be loaded here")
        self.parser, self.encoder, self.retriever = parser, encoder, retriever
        self.passages = retriever.passages
        self.is_rule = [passage.id.partition("/")[0] in topics for passage in self.passages]
        self.rows = [row for row, rule in enumerate(self.is_rule) if rule]
        self.lexical = LexicalIndex(self.passages)
        self.dense = PassageIndex.open(self.passages, encoder)
        rules = [self.passages[row] for row in self.rows]
        self.tokens = TokenIndex(rules, encoder)
        self.asked = _Phrases([list(rule.asked_as) for rule in rules], encoder)
        self.sentences = _Phrases([text_of(rule).split(". ") for rule in rules], encoder)

    def rank(self, ask: str) -> dict[str, list[Passage]]:
        """Passages best first, by the name of the stage."""
        question = self.parser.parse(ask, today=TODAY)
        named = tuple(i for mention in question.mentions for i in mention.ids[:1])
        text = question.normal
        vector = self.encoder.encode([text])[0]
        words, meaning = self.lexical.search(text), self.dense.search(vector)
        owners = [passage.materials for passage in self.passages]
        fused = convex(words, meaning)
        asked, sentences = self.asked.best(vector), self.sentences.best(vector)
        late = self.tokens.score(self.encoder.states(text), range(len(self.rows)))
        by_asked = {
            row: 0.4 * words.get(row, 0.0) + 0.3 * meaning[row] + 0.3 * asked[n] for n, row in enumerate(self.rows)
        }
        by_all = {
            row: 0.4 * words.get(row, 0.0) + 0.2 * (meaning[row] + asked[n] + sentences[n])
            for n, row in enumerate(self.rows)
        }
        ranked = {
            "all passages: words": self._order(words),
            "all passages: meaning": self._order(meaning),
            "all passages: both, materials (first stage)": self._order(with_materials(fused, owners, named)),
            "rules only: words": self._order(words, rules=True),
            "rules only: meaning": self._order(meaning, rules=True),
            "rules only: both": self._order(fused, rules=True),
            "… and a vector for each way of asking": self._order(by_asked, rules=True),
            "… and a vector for each sentence": self._order(by_all, rules=True),
            "rules only: tokens alone": self._order({self.rows[n]: score for n, score in late.items()}, rules=True),
        }
        ranked[USED] = [hit.passage for hit in self.hits(text, named, limit=len(self.rows))]
        return ranked

    def hits(self, text: str, named: Sequence[str], limit: int = 10) -> tuple[Hit, ...]:
        return self.retriever.rules(text, materials=named, limit=limit, semantic="wait").hits

    def _order(self, scores: dict[int, float], rules: bool = False) -> list[Passage]:
        rows = [row for row in scores if self.is_rule[row]] if rules else list(scores)
        return [self.passages[row] for row in sorted(rows, key=lambda row: (-scores[row], row))]


FIRST = "all passages: both, materials (first stage)"
ONLY_RULES = "rules only: both"
USED = "rules only: both, then tokens (used)"


class _Phrases:
    """Several short texts a passage, a vector each; the best cosine of a passage counts."""

    def __init__(self, texts: Sequence[Sequence[str]], encoder: Any) -> None:
        self._owner = np.array([n for n, some in enumerate(texts) for _ in some])
        self._vectors = encoder.encode([text for some in texts for text in some])
        self._count = len(texts)

    def best(self, vector: NDArray[np.float32]) -> NDArray[np.float32]:
        out = np.zeros(self._count, dtype=np.float32)
        np.maximum.at(out, self._owner, self._vectors @ vector)
        return out


def first_right(ranked: Sequence[Passage], right: frozenset[str]) -> int:
    """The place of the first right rule, from 1."""
    places = (n for n, passage in enumerate(ranked, 1) if passage.id.rpartition("/")[2] in right)
    return next(places, _NOT_FOUND)


def measures(ranks: NDArray[np.int_]) -> tuple[float, float, float]:
    """recall@1, recall@5 and the mean reciprocal rank."""
    return (
        float((ranks == 1).mean()),
        float((ranks <= 5).mean()),
        float(np.where(ranks < _NOT_FOUND, 1 / ranks, 0).mean()),
    )


def gain(old: NDArray[np.int_], new: NDArray[np.int_], groups: NDArray[np.int_]) -> list[tuple[float, float, float]]:
    """For each measure: new less old, and the middle 95 % of it over drawn groups."""
    draw = np.random.default_rng(7)
    members = [np.flatnonzero(groups == group) for group in np.unique(groups)]
    rounds = []
    for _ in range(ROUNDS):
        rows = np.concatenate([members[n] for n in draw.integers(0, len(members), len(members))])
        rounds.append(np.subtract(measures(new[rows]), measures(old[rows])))
    low, high = np.quantile(np.array(rounds), [0.025, 0.975], axis=0)
    point = np.subtract(measures(new), measures(old))
    return [(float(p), float(a), float(b)) for p, a, b in zip(point, low, high, strict=True)]


def fitted(found: Sequence[tuple[RuleQuestion, tuple[Hit, ...]]]) -> tuple[float, float, float]:
    """What `general.FIT` should be, from the `dev` part."""
    behind = general.LEAD_OVER
    dev = [(question, hits) for question, hits in found if question.split == "dev" and len(hits) > behind]
    seen = [(hits[0].score, hits[0].score - hits[behind].score) for _, hits in dev]
    right = [_is_right(question, hits) for question, hits in dev]
    model = LogisticRegression(C=100).fit(np.array(seen), np.array(right))
    return float(model.intercept_[0]), float(model.coef_[0][0]), float(model.coef_[0][1])


def _is_right(question: RuleQuestion, hits: Sequence[Hit]) -> bool:
    return bool(hits) and hits[0].passage.id.rpartition("/")[2] in question.rules


def cut_rows(found: Sequence[tuple[RuleQuestion, tuple[Hit, ...]]]) -> list[tuple[str, ...]]:
    """For each cut and part: questions answered, right among them, right less wrong, and `nothing` answered."""
    rows = []
    for cut in CUTS:
        cells = [f"{cut:.2f}"]
        for split in SPLITS:
            asked = [(q, hits) for q, hits in found if q.split == split and q.rules]
            lacking = [hits for q, hits in found if q.split == split and not q.rules]
            taken = [_is_right(q, hits) for q, hits in asked if general.chance_of(hits) >= cut]
            astray = sum(general.chance_of(hits) >= cut for hits in lacking)
            net = 2 * sum(taken) - len(taken) - astray
            cells += [f"{len(taken) / len(asked):.3f}", f"{np.mean(taken):.3f}", str(net), f"{astray}/{len(lacking)}"]
        rows.append(tuple(cells))
    return rows


def main() -> None:
    context = context_for(True)
    assert context.retriever is not None
    stages = Stages(context.retriever, context.parser, tuple(context.handbook.topics))
    questions = load()
    answered = [question for question in questions if question.rules]
    ranks: dict[str, list[int]] = {}
    for question in answered:
        for name, ranked in stages.rank(question.ask).items():
            ranks.setdefault(name, []).append(first_right(ranked, question.rules))
    split = np.array([question.split for question in answered])
    groups = np.array([question.group for question in answered])
    places = {name: np.array(found) for name, found in ranks.items()}
    rows = [
        (name, *(f"{value:.3f}" for part in SPLITS for value in measures(found[split == part])))
        for name, found in places.items()
    ]
    heads = tuple(f"{measure}, {part}" for part in SPLITS for measure in ("R@1", "R@5", "MRR"))
    gains = []
    for old in (FIRST, ONLY_RULES):
        test = split == "test"
        cells = gain(places[old][test], places[USED][test], groups[test])
        gains.append((f"over “{old}”", *(f"{p:+.3f} ({low:+.3f} to {high:+.3f})" for p, low, high in cells)))
    parse = context.parser.parse
    ways = len(WRAPPINGS)
    wrapped = [replace(one, ask=WRAPPINGS[n % ways].format(one.ask)) for n, one in enumerate(questions)]
    found, in_talk = (
        [(question, stages.hits(parse(question.ask, today=TODAY).normal, ())) for question in some]
        for some in (questions, wrapped)
    )
    fit = ", ".join(f"{value:.1f}" for value in fitted([*found, *in_talk]))
    counts = " and ".join(f"{int((split == part).sum())} {part}" for part in SPLITS)
    columns = ("answered", "right of them", "net", "astray")
    cut_heads = ("cut", *(f"{name}, {part}" for part in SPLITS for name in columns))
    in_use = ", ".join(str(value) for value in general.FIT)
    text = (
        f"# Search for rules\n\n{counts} questions in users' words (evals/data/rule_questions.yaml).\n\n"
        f"{table(('stage', *heads), rows)}\n\n## The second stage's gain on `test`\n\n"
        f"With the middle 95 % over drawn rules.\n\n{table(('gain', 'R@1', 'R@5', 'MRR'), gains)}\n\n"
        "## What is answered\n\nThe chance that the best rule is the one asked for, from its score and its lead, "
        f"fitted on `dev` (base, score, lead: {fit}; in use: {in_use}). `net` is right answers less wrong ones; "
        "`astray` are questions that no rule answers. Answered is from "
        f"{general.ANSWER_FROM}, named as nearest from {general.NEAREST_FROM}.\n\n"
        f"{table(cut_heads, cut_rows(found))}\n\n"
        f"The same questions wrapped in talk:\n\n{table(cut_heads, cut_rows(in_talk))}\n"
    )
    RESULTS.write_text(text, encoding="utf-8")
    print(text)


if __name__ == "__main__":
    main()
