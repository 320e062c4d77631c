"""A printable test sheet with its answer key, in Markdown or HTML."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from random import Random

from assistant.drill.item import LETTERS, Item, Order
from assistant.drill.items import Bank
from assistant.drill.session import right_answer
from assistant.drill.sets import SetDescription

_RULE_LINES = {"Points": 3, "Order": 1, "Number": 1, "Name": 1, "Botanical": 1, "OneOf": 0}
_STYLE = """
body { font-family: Georgia, 'Times New Roman', serif; max-width: 42rem; margin: 2rem auto; color: #111; }
body { line-height: 1.4; }
li { margin-bottom: 1.1rem; break-inside: avoid; }
ol.options { list-style: lower-alpha; }
ol.options li { margin-bottom: .1rem; }
.line { border-bottom: 1px solid #777; height: 1.6rem; }
.key { break-before: page; }
.from { color: #444; font-size: .85rem; }
@media print { body { margin: 0; } }
""".strip()


@dataclass(frozen=True, slots=True)
class Sheet:
    """The items of one test. `seed` makes the same sheet again from the same handbook."""

    title: str
    items: tuple[Item, ...]
    seed: int
    sources: tuple[tuple[str, ...], ...]


def make_sheet(bank: Bank, description: SetDescription, count: int, seed: int) -> Sheet:
    """Draw a test: no item twice, no fact twice while there are others, templates evenly mixed.

    Raises:
        ValueError: if the set is empty.
    """
    rng = Random(seed)
    by_template: dict[str, list[str]] = {}
    for blueprint in bank:
        if description.matches(blueprint, bank.known.own):
            by_template.setdefault(blueprint.template, []).append(blueprint.id)
    for ids in by_template.values():
        rng.shuffle(ids)
    items: list[Item] = []
    put_off: list[Item] = []
    told: set[tuple[str, str]] = set()
    while by_template and len(items) < count:
        template = rng.choice(sorted(by_template))
        item = bank.build(by_template[template].pop(), rng)
        if not by_template[template]:
            del by_template[template]
        if item is None:
            continue
        if (item.topic, item.entry) in told:
            put_off.append(item)
            continue
        told.add((item.topic, item.entry))
        items.append(item)
    items += put_off[: count - len(items)]
    if not items:
        raise ValueError(f"The set “{description.words}” holds no items.")
    return Sheet(description.words, tuple(items), seed, tuple(bank.source_lines(item) for item in items))


def _key_line(item: Item) -> str:
    if isinstance(item.key, Order):
        return f"{' '.join(LETTERS[i] for i in item.key.order)} – {item.answer}"
    return right_answer(item)


def to_markdown(sheet: Sheet) -> str:
    lines = [f"# Test: {_plain(sheet.title)}", "", "Name: ______________________   Date: ______________", ""]
    for number, item in enumerate(sheet.items, 1):
        lines.append(f"{number}. {_plain(item.question)}")
        lines += [
            f"   - {letter}) {_plain(choice.text)}" for letter, choice in zip(LETTERS, item.choices, strict=False)
        ]
        lines += [""] + ["   ________________________________", ""] * _RULE_LINES[type(item.key).__name__]
    lines += ["---", "", f"## Answer key (sheet {sheet.seed})", ""]
    for number, (item, sources) in enumerate(zip(sheet.items, sheet.sources, strict=True), 1):
        lines.append(f"{number}. {_plain(_key_line(item))} [{item.passage}; {_plain('; '.join(sources))}]")
    return "\n".join(lines) + "\n"


def _plain(text: str) -> str:
    """Text that Markdown shows as it is."""
    return "".join(f"\\{c}" if c in "\\`*_[]<>#|" else c for c in text)


def to_html(sheet: Sheet) -> str:
    """One self-contained page; the answer key starts on a page of its own when printed."""
    parts = [
        "<!doctype html>",
        '<html lang="en"><head><meta charset="utf-8">',
        f"<title>Test: {escape(sheet.title)}</title><style>{_STYLE}</style></head><body>",
        f"<h1>Test: {escape(sheet.title)}</h1><p>Name: ______________________ &nbsp; Date: ______________</p><ol>",
    ]
    for item in sheet.items:
        options = "".join(f"<li>{escape(choice.text)}</li>" for choice in item.choices)
        rules = '<div class="line"></div>' * _RULE_LINES[type(item.key).__name__]
        parts.append(
            f"<li>{escape(item.question)}"
            + (f'<ol class="options">{options}</ol>' if options else "")
            + f"{rules}</li>"
        )
    parts.append(f'</ol><section class="key"><h2>Answer key (sheet {sheet.seed})</h2><ol>')
    for item, sources in zip(sheet.items, sheet.sources, strict=True):
        parts.append(
            f"<li>{escape(_key_line(item))}"
            f'<div class="from">{escape(item.passage)} · {escape("; ".join(sources))}</div></li>'
        )
    parts.append("</ol></section></body></html>")
    return "\n".join(parts) + "\n"
