"""How many to order: stems to whole bunches with spares, a recipe, the size of a bunch, or stems for an area."""

from __future__ import annotations

import math
import re
from dataclasses import replace

from assistant.calculators.bunches import Order, RecipeLine, bunches_needed, recipe_bunches
from assistant.calculators.coverage import (
    RolePart,
    Shape,
    View,
    disc_cm2,
    spike_cm2,
    stems_along,
    stems_by_role,
    visible_area_cm2,
)
from assistant.calculators.ranges import Estimate, exact
from assistant.dialogue.answer import Figure
from assistant.dialogue.desk import Desk, Draft, asked_back, not_covered
from assistant.dialogue.inputs import Inputs
from assistant.dialogue.memory import Item, Wish
from assistant.dialogue.wording import capital, count, listed, number_span
from assistant.handbook.models import Material
from assistant.language.tasks import PACK_QUESTION

# A number of stems that several materials share.
_IN_ALL = re.compile(
    r"\b(?:stems|flowers|heads) (?:in (?:all|total)|altogether|all told)\b|\b(?:total|altogether)(?: of)? \d+ stems\b"
)
_EVENLY = re.compile(r"\b(?:evenly|equally|equal (?:parts|shares|amounts|numbers)|same (?:number|amount) of each)\b")


def answer(wish: Wish, desk: Desk) -> Draft:
    if not wish.items:
        if _has_area(wish):
            return _mixed_cover(wish, desk)
        return asked_back("Which material is it for? Name it and I'll work out the bunches.", "materials")
    wish = _shared_out(_with_bunches(wish))
    if wish.slot("stems") is not None and _IN_ALL.search(wish.text) and sum(i.stems is None for i in wish.items) > 1:
        return asked_back(
            f"How many stems of each: {listed([desk.context.plural(i.id) for i in wish.items])}?", "stems"
        )
    if _asks_pack(wish):
        return _pack_size(wish, desk)
    counted = [item for item in wish.items if _stems(item, wish) is not None or item.bunches is not None]
    if not counted:
        if _has_area(wish):
            return _cover(wish, desk)
        if not any(
            word in wish.text
            for word in (
                "need",
                "order",
                "should i",
                "enough",
                "require",
                "do i buy",
                "do i get",
                "for a ",
                "for the ",
                "per ",
            )
        ):
            return _pack_size(wish, desk)
        name = desk.context.plural(wish.items[0].id)
        return asked_back(f"How many stems of {name} do you need in all, or how big is the piece?", "stems")
    return _order(wish, desk, counted)


def _shared_out(wish: Wish) -> Wish:
    """ "120 stems split evenly between X, Y and Z": a like number of each, rounded up; said parts to the nearest stem."""
    total = wish.slot("stems")
    if total is not None and any(i.share for i in wish.items):
        parts = (replace(i, stems=float(round(i.share * total.number))) if i.share else i for i in wish.items)
        return replace(wish, items=tuple(parts))
    if total is None or len(wish.items) < 2 or not _EVENLY.search(wish.text):
        return wish
    if any(i.stems not in (None, total.number) for i in wish.items):
        return wish
    each = float(math.ceil(total.number / len(wish.items)))
    return replace(wish, items=tuple(replace(i, stems=each) for i in wish.items))


def _with_bunches(wish: Wish) -> Wish:
    """ "Statice, 3 bunches": a count of bunches said apart from the one name is that material's."""
    said = wish.slot("bunches")
    if said is None or len(wish.items) != 1 or wish.items[0].stems or wish.items[0].bunches or wish.slot("stems"):
        return wish
    return replace(wish, items=(replace(wish.items[0], bunches=said.number),))


def _stems(item: Item, wish: Wish) -> float | None:
    if item.stems is not None:
        return item.stems
    for name in ("stems", "count"):
        reading = wish.slot(name)
        if reading is not None and (len(wish.items) == 1 or name == "stems"):
            return reading.number
    return None


def _asks_pack(wish: Wish) -> bool:
    counted = (
        any(item.stems or (item.bunches and item.bunches != 1) for item in wish.items)
        or wish.slot("stems")
        or wish.slot("count")
    )
    one_bunch = all(item.bunches == 1 for item in wish.items) and wish.slot("pieces") is None
    asks = one_bunch or PACK_QUESTION.search(wish.text)  # what one bunch comes to is what it holds
    return not counted and not _has_area(wish) and bool(asks)


def _has_area(wish: Wish) -> bool:
    return any(wish.slot(name) is not None for name in ("width", "length", "diameter"))


# --- pack size ----------------------------------------------------------------------------------------------------


def _pack_size(wish: Wish, desk: Desk) -> Draft:
    draft = Draft("")
    said = []
    for item in wish.items:
        material = desk.context.material(item.id)
        draft.passages += desk.context.sections(item.id, "order")
        rows = [p for p in material.packs if p.stems]
        if not rows:
            grams = next((p for p in material.packs if p.grams), None)
            said.append(
                f"{material.name} is sold by weight ({number_span(*_ends(grams.grams))} g)" if grams and grams.grams
                else f"the handbook has no bunch size for {material.name}"
            )  # fmt: skip
            continue
        for pack in rows:
            assert pack.stems is not None
            low, high = _ends(pack.stems)
            draft.figures.append(
                Figure(
                    "pack_size",
                    item.id,
                    (low + high) / 2,
                    low,
                    high,
                    "stems",
                    formula="as sold",
                    sources=pack.source,
                    basis=pack.basis,
                )
            )
        where = [
            f"{number_span(*_ends(p.stems))} stems" + (f" ({p.market})" if p.market != "any" else "")
            for p in rows
            if p.stems
        ]
        said.append(f"a bunch of {material.name} holds {listed(where)}")
    draft.lead = capital("; ".join(said)) + "."
    if not draft.figures:
        return not_covered(draft.lead, draft.passages)
    if any(f.basis == "practice" for f in draft.figures):
        draft.more.append("Packs differ by grower; check the wholesaler's list.")
    draft.follow_ups = ["how many bunches for 40 stems", "what does it cost at 9 a bunch"]
    return draft


def _ends(span: tuple[float | None, float | None]) -> tuple[float, float]:
    low, high = span
    return (low if low is not None else high or 0.0, high if high is not None else low or 0.0)


# --- an order -----------------------------------------------------------------------------------------------------


def order_for(item: Item, stems: float, inputs: Inputs) -> tuple[Order, Figure] | str:
    """The order of one material, or the sentence that says why it can't be made."""
    context = inputs.context
    inputs.note("stems", stems, "stems", "asked" if item.stems is not None else inputs.origin("stems"))
    pack: Estimate | None
    if item.pack is not None:
        pack = exact(item.pack)
        inputs.note("pack_size", item.pack, "stems", "asked")
    else:
        pack = inputs.said("pack_size", unit="stems")
    sources: tuple[str, ...] = ()
    if pack is None:
        known = context.pack(item.id)
        if known is None:
            return f"the handbook has no stem count for a bunch of {context.name(item.id)}; tell me how many stems it holds"
        pack, market = known
        inputs.note("pack_size", pack.value, "stems", "handbook", pack.low, pack.high)
        row = next(p for p in context.material(item.id).packs if p.stems and p.market == market)
        sources = row.source
        inputs.assume(f"{number_span(pack.low, pack.high)} {context.plural(item.id)} a bunch")
    loss = inputs.said("loss_rate", scale=0.01, unit="ratio")
    if loss is None:
        own = context.own_loss(item.id)
        loss, why = own if own is not None else (context.loss_rate(item.id), "")
        inputs.note("loss_rate", loss.value, "ratio", "earlier" if own else "handbook", loss.low, loss.high)
        inputs.assume(why or f"{loss.value:.0%} loss")
    sure = inputs.said("confidence", scale=0.01, unit="ratio")
    confidence = sure.value if sure else context.constant("confidence").value
    if sure is None:
        inputs.note("confidence", confidence, "ratio", "handbook")
        inputs.assume(f"{confidence:.0%} sure of enough good stems")
    order = bunches_needed(stems, pack, loss, confidence)
    figure = Figure.of(
        "bunches", item.id, order.bunches, "bunches", inputs=tuple(inputs.used),
        formula="fewest b with P(Binomial(b·pack, 1 − loss) ≥ stems) ≥ confidence", sources=sources,
    )  # fmt: skip
    return order, figure


def _order(wish: Wish, desk: Desk, counted: list[Item]) -> Draft:
    pieces_reading = wish.slot("pieces")
    pieces = int(pieces_reading.number) if pieces_reading else 1
    draft = Draft("")
    parts: list[str] = []
    verdicts: list[str] = []
    refused: list[str] = []
    for item in counted:
        inputs = desk.inputs(wish)
        inputs.assumptions = draft.assumptions
        each = _stems(item, wish)
        if each is None and item.bunches is not None:
            _already_in_bunches(item, pieces, desk, draft, parts, refused)
            continue
        assert each is not None
        if pieces_reading:
            inputs.note("pieces", float(pieces), "pieces", inputs.origin("pieces"))
        made = order_for(item, each * pieces, inputs)
        if isinstance(made, str):
            refused.append(made)
            continue
        order, figure = made
        draft.figures.append(figure)
        name = desk.context.plural(item.id)
        spare = f", {order.spare} spare" if order.spare else ", none spare"
        work = f"{each:g} × {pieces} = {each * pieces:g}" if pieces > 1 else f"{each * pieces:g}"
        parts.append(
            f"{count(order.bunches_to_order, 'bunch')} of {name} for {work} stems ({order.stems_ordered} stems{spare})"
        )
        if item.bunches is not None:  # "would six bunches cover 11 of them with five in each"
            enough = order.bunches_to_order <= item.bunches
            verdicts.append(
                f"{'Yes' if enough else 'No'}, {count(item.bunches, 'bunch')} of {name} {'will' if enough else 'will not'} do."
            )
        draft.passages += desk.context.sections(item.id, "order")
    if not draft.figures:
        return _stems_without_pack(wish, desk, counted, pieces, refused)
    draft.lead = " ".join([*verdicts, f"Order {listed(parts)}."])
    if refused:
        draft.more.append(capital("; ".join(refused)) + ".")
    if len(draft.figures) > 1:
        draft.more.append(_together(wish, desk, counted, pieces, draft))
    idle = [desk.context.plural(i.id) for i in wish.items if i not in counted]
    if idle:
        draft.more.append(f"How many stems of {listed(idle)}?")
    draft.passages += desk.context.rules(("order-whole-bunches", "count-stems-then-bunches", "allow-for-loss"))
    draft.follow_ups = ["and with 10 % loss?", "for four pieces", "why?"]
    return draft


def _stems_without_pack(wish: Wish, desk: Desk, counted: list[Item], pieces: int, refused: list[str]) -> Draft:
    """The stems are known and the bunch is not: the stems are the figure, the bunch is asked for."""
    draft = Draft("")
    for item in counted:
        each = _stems(item, wish)
        if each is None:
            continue
        inputs = desk.inputs(wish)
        inputs.note("stems", each, "stems", "asked")
        if pieces > 1:
            inputs.note("pieces", float(pieces), "pieces", inputs.origin("pieces"))
        figure = Figure.of(
            "stems", item.id, exact(each * pieces), "stems", inputs=tuple(inputs.used), formula="stems × pieces"
        )
        draft.figures.append(figure)
        draft.passages += desk.context.sections(item.id, "order")
    if pieces == 1 or not draft.figures:
        return asked_back(capital("; ".join(refused)) + ".", "pack_size")
    needed = listed([f"{f.value:g} stems of {desk.context.name(f.material)}" for f in draft.figures if f.material])
    draft.lead = f"That is {needed}."
    draft.more.append(capital("; ".join(refused)) + ".")
    draft.follow_ups = ["there are 10 in a bunch"]
    return draft


def _already_in_bunches(
    item: Item, pieces: int, desk: Desk, draft: Draft, parts: list[str], refused: list[str]
) -> None:
    """Bunches were named: say how many stems they hold."""
    assert item.bunches is not None
    bunches = float(math.ceil(item.bunches * pieces - 1e-9))
    known = desk.context.pack(item.id)
    name = desk.context.plural(item.id)
    draft.passages += desk.context.sections(item.id, "order")
    if known is None:
        refused.append(f"the handbook has no stem count for a bunch of {desk.context.name(item.id)}")
        return
    pack, _ = known
    inputs = desk.inputs(Wish("quantity", (item,)))
    inputs.note("bunches", bunches, "bunches", "asked")
    inputs.note("pack_size", pack.value, "stems", "handbook", pack.low, pack.high)
    draft.figures.append(
        Figure.of(
            "stems",
            item.id,
            pack.times(bunches),
            "stems",
            inputs=tuple(inputs.used),
            formula="bunches × stems in a bunch",
        )
    )
    draft.figures.append(
        Figure("bunches", item.id, bunches, bunches, bunches, "bunches", inputs=tuple(inputs.used), formula="as asked")
    )
    parts.append(f"{count(bunches, 'bunch')} of {name} ({number_span(pack.low * bunches, pack.high * bunches)} stems)")


def _together(wish: Wish, desk: Desk, counted: list[Item], pieces: int, draft: Draft) -> str:
    """Bunches in all, and the chance that nothing runs short."""
    lines = []
    for item in counted:
        stems = _stems(item, wish)
        inputs = desk.inputs(wish)
        known = desk.context.pack(item.id)
        pack = (
            exact(item.pack) if item.pack else inputs.said("pack_size", unit="stems") or (known[0] if known else None)
        )
        own = desk.context.own_loss(item.id)
        loss = inputs.said("loss_rate", scale=0.01, unit="ratio") or (
            own[0] if own else desk.context.loss_rate(item.id)
        )
        if stems is not None and pack is not None:
            lines.append(RecipeLine(item.id, stems, pack, loss))
    total = sum(f.value for f in draft.figures if f.kind == "bunches")
    if len(lines) < 2:
        return f"{count(total, 'bunch')} in all."
    recipe = recipe_bunches(lines, pieces, desk.context.constant("confidence").value, together=False)
    return f"{count(total, 'bunch')} in all; the chance that no material runs short is {recipe.probability:.0%}."


# --- from the size of the piece -----------------------------------------------------------------------------------


def _footprint(material: Material, desk: Desk) -> Estimate:
    """Area one stem shows. [cm2]"""
    context = desk.context
    if material.kind == "flower" and "line" in material.roles:
        width = material.spread or material.bloom_diameter
        span = width.span if width else tuple(context.constant("footprint-line-width"))[:2]
        length = context.constant("footprint-line-length")
        return spike_cm2(length, (span[0], span[1]))
    measure = (
        (material.bloom_diameter if material.kind == "flower" else material.spread)
        or material.spread
        or material.bloom_diameter
    )
    if measure:
        return disc_cm2(measure.span)
    return disc_cm2(context.constant(f"footprint-{material.roles[0]}"))


def _shape(wish: Wish) -> Shape:
    text = wish.text
    if "garland" in text:
        return "garland"
    if any(word in text for word in ("dome", "ball", "centrepiece", "centerpiece", "round", "posy")):
        return "dome"
    if any(word in text for word in ("oblong", "long and low", "table runner", "mantel", "trough")):
        return "oblong"
    return "fan"


def area_of(wish: Wish, inputs: Inputs) -> tuple[Estimate, str] | None:
    """Visible area of the piece and how it was read; None when its size is not known."""
    shape = _shape(wish)
    width = (
        inputs.said("width", unit="cm")
        or inputs.said("length", unit="cm")
        or inputs.said("diameter", "width", unit="cm")
    )
    if width is None:
        return None
    view: View = (
        "all-round"
        if any(word in wish.text for word in ("all round", "all around", "both sides", "every side"))
        else "front"
    )
    height = inputs.said("height", unit="cm")
    if shape == "garland":
        depth = inputs.said("depth", unit="cm") or Estimate(12.0, 15.0, 20.0)
        return visible_area_cm2("garland", width_cm=depth, length_cm=width, view=view), "a garland 12–20 cm wide"
    if height is None:
        height = width.times(0.5)
        inputs.note("height", height.value, "cm", "assumed")
        inputs.assume("height taken as half the width")
    if shape == "oblong":
        depth = inputs.said("depth", unit="cm") or Estimate(20.0, 25.0, 35.0)
        return visible_area_cm2(
            "oblong", length_cm=width, width_cm=depth, height_cm=height, view=view
        ), "a long, low piece"
    return visible_area_cm2(
        shape, width_cm=width, height_cm=height, view=view
    ), f"a {'front-facing ' if view == 'front' else ''}{shape}"


def _cover(wish: Wish, desk: Desk) -> Draft:
    """Stems of the named materials for the size of the piece, each at its role's share."""
    inputs = desk.inputs(wish)
    area = area_of(wish, inputs)
    if area is None:
        return asked_back("How wide and how high is the piece?", "width")
    draft = Draft("", assumptions=inputs.assumptions)
    parts = []
    pieces_reading = wish.slot("pieces")
    pieces = int(pieces_reading.number) if pieces_reading else 1
    alone = len(wish.items) == 1
    for item in wish.items:
        material = desk.context.material(item.id)
        role = material.roles[0]
        own = inputs.fresh()
        own.used = list(inputs.used)
        if _shape(wish) == "garland" and material.kind in ("foliage", "branch"):
            length = wish.slot("width") or wish.slot("length")
            assert length is not None
            stems = stems_along(length.number, desk.context.constant("garland-spacing")).times(3)
            formula = "length / spacing × 3 stems a bundle"
        else:
            share = desk.context.constant("cover-alone" if alone and material.kind != "foliage" else f"cover-{role}")
            share = Estimate(min(share.low, 1.0), min(share.value, 1.0), min(share.high, 1.0))
            own.note("cover_share", share.value, "ratio", "handbook", share.low, share.high)
            stems = stems_by_role(area[0], [RolePart(role, _footprint(material, desk), share)])[0].stems
            formula = "visible area × share / area a stem shows"
        stems = stems.times(pieces)
        draft.figures.append(Figure.of("stems", item.id, stems, "stems", inputs=tuple(own.used), formula=formula))
        made = order_for(Item(item.id, stems=math.ceil(stems.value)), math.ceil(stems.value), own.fresh())
        bunches = ""
        if not isinstance(made, str):
            draft.figures.append(made[1])
            bunches = f", so {count(made[0].bunches_to_order, 'bunch')}"
        parts.append(
            f"about {stems.value:.0f} stems of {desk.context.plural(item.id)} ({number_span(stems.low, stems.high)}){bunches}"
        )
        draft.passages += desk.context.sections(item.id, "order")
    draft.lead = f"{capital(listed(parts))} for {area[1]}."
    draft.more.append("Sizes of heads and how full you like it move this by half either way; mock up a corner first.")
    draft.follow_ups = ["for two pieces", "why?"]
    return draft


def _mixed_cover(wish: Wish, desk: Desk) -> Draft:
    """No material yet: stems by design role for the size of the piece."""
    inputs = desk.inputs(wish)
    area = area_of(wish, inputs)
    if area is None:
        return asked_back("How wide and how high is the piece?", "width")
    context = desk.context
    parts = []
    for role in ("line", "mass", "form", "filler", "foliage"):
        if role == "line":
            footprint = spike_cm2(context.constant("footprint-line-length"), context.constant("footprint-line-width"))
        else:
            footprint = disc_cm2(context.constant(f"footprint-{role}"))
        parts.append(RolePart(role, footprint, context.constant(f"cover-{role}")))
    draft = Draft("", assumptions=inputs.assumptions)
    said = []
    for row in stems_by_role(area[0], parts):
        draft.figures.append(
            Figure.of(
                "stems",
                None,
                row.stems,
                "stems",
                inputs=(*inputs.used,),
                formula=f"visible area × {row.role} share / area a stem shows",
            )
        )
        said.append(f"{row.stems.value:.0f} {row.role}")
    total = sum(f.value for f in draft.figures)
    draft.lead = f"About {total:.0f} stems for {area[1]}: {listed(said)}."
    draft.more.append("Name the materials and I'll turn it into bunches.")
    draft.passages += context.rules(("base-built-first", "build-base-first", "back-finished-in-greens"))
    return draft
