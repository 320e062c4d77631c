"""Stems of each material: as the recipe says, or proposed from the size of the piece."""

from __future__ import annotations

import math
from collections.abc import Sequence

from assistant.calculators.coverage import RolePart, RoleStems, disc_cm2, spike_cm2, stems_by_role, visible_area_cm2
from assistant.calculators.ranges import Estimate
from assistant.dialogue.context import Context
from assistant.handbook.models import Material, Role
from assistant.sheets.job import Job, Line, Piece
from assistant.sheets.parts import CountOrigin, Need
from assistant.stock.entries import pack_of

_ROLES: tuple[Role, ...] = ("line", "mass", "form", "filler", "foliage", "accent")


def role_of(line: Line, context: Context) -> Role:
    return line.role or context.material(line.material).roles[0]


def area_cm2(piece: Piece) -> Estimate:
    """Visible area of one piece. [cm2]"""
    return visible_area_cm2(
        piece.shape, width_cm=piece.width_cm, height_cm=piece.height_cm, length_cm=piece.length_cm, view=piece.view
    )


def role_footprint_cm2(role: Role, context: Context) -> Estimate:
    """Area a stem of a role shows where no material is named. [cm2]"""
    if role == "line":
        return spike_cm2(context.constant("footprint-line-length"), context.constant("footprint-line-width"))
    return disc_cm2(context.constant(f"footprint-{role}"))


def footprint_cm2(material: Material, role: Role, context: Context) -> Estimate:
    """Area one stem of a material shows, from its own sizes where the handbook has them. [cm2]"""
    width = material.spread or material.bloom_diameter
    if role == "line" and material.kind == "flower":
        return spike_cm2(
            context.constant("footprint-line-length"), width.span if width else context.constant("footprint-line-width")
        )
    own = material.bloom_diameter if material.kind == "flower" else material.spread
    measure = own or width
    return disc_cm2(measure.span) if measure else role_footprint_cm2(role, context)


def proposal_by_role(piece: Piece, context: Context) -> tuple[RoleStems, ...]:
    """Stems by design role of one piece, before any material is chosen."""
    parts = [RolePart(role, role_footprint_cm2(role, context), context.constant(f"cover-{role}")) for role in _ROLES]
    return stems_by_role(area_cm2(piece), parts)


def proposed_stems(lines: Sequence[Line], piece: Piece, context: Context) -> dict[int, Estimate]:
    """Stems in one piece of each line without a count, by its place in the recipe.

    Materials of one role share that role's part of the surface evenly, counted lines included: a role that the
    recipe fills in part leaves the rest to the others.
    """
    area = area_cm2(piece)
    in_role: dict[Role, int] = {}
    for line in lines:
        in_role[role_of(line, context)] = in_role.get(role_of(line, context), 0) + 1
    out = {}
    for index, line in enumerate(lines):
        if line.stems is not None or line.bunches is not None:
            continue
        role = role_of(line, context)
        share = context.constant(f"cover-{role}").times(1 / in_role[role])
        foot = footprint_cm2(context.material(line.material), role, context)
        out[index] = stems_by_role(area, [RolePart(line.material, foot, share)])[0].stems
    return out


def needs_of(job: Job, context: Context) -> tuple[Need, ...]:
    """What the whole job needs, one row a material in the order of the recipe.

    A material on several lines is added up; its role is that of its first line. Bunches are counted as stems at the
    small end of the pack.
    """
    proposed = proposed_stems(job.recipe, job.piece, context) if job.piece else {}
    rows: dict[str, list[tuple[int, Line]]] = {}
    for index, line in enumerate(job.recipe):
        rows.setdefault(line.material, []).append((index, line))
    return tuple(_need(material, lines, proposed, job, context) for material, lines in rows.items())


def _need(
    material: str, lines: list[tuple[int, Line]], proposed: dict[int, Estimate], job: Job, context: Context
) -> Need:
    pack = pack_of(context.material(material), job.market)
    stems: int | None = 0
    bunches = 0
    spread: Estimate | None = None
    for index, line in lines:
        if line.bunches is not None:
            bunches += line.bunches * job.pieces
            held = None if pack is None else line.bunches * job.pieces * math.floor(pack.stems.low)
            stems = None if held is None or stems is None else stems + held
        elif line.stems is not None:
            stems = None if stems is None else stems + line.stems * job.pieces
        else:
            spread = proposed[index].times(job.pieces)
            stems = None if stems is None else stems + int(spread.value)
    only_bunches = all(line.bunches is not None for _, line in lines)
    origin: CountOrigin = "bunches" if only_bunches else "size of the piece" if spread else "recipe"
    notes = tuple(text for _, line in lines for text in (line.colour, line.note) if text)
    return Need(
        material,
        role_of(lines[0][1], context),
        stems,
        bunches if only_bunches else None,
        origin,
        spread,
        pack.stems if pack else None,
        pack.market if pack else None,
        notes,
    )
