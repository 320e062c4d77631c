"""A handbook small enough to read at a glance, written to a folder."""

from __future__ import annotations

from pathlib import Path

SOURCES = """\
sources:
  - id: book_1990
    title: A book
    year: 1990
  - id: sheet_2001
    title: A sheet
"""
TULIP = """\
id: tulip
name: tulip
plural: tulips
botanical: Tulipa
kind: flower
roles: [mass]
summary: A spring flower that goes on growing in the vase.
colours: {names: [red], basis: practice}
stem_length: {low: 30, high: 45, unit: cm, basis: practice}
packs:
  - {market: EU, stems: [10, 10], basis: practice}
vase_life: {low: 4, high: 7, unit: d, source: book_1990, basis: published}
storage:
  - {method: dry, degC: [0, 2], days: [3, 7], source: book_1990, basis: published}
substitutes:
  - {id: anemone, why: another open spring cup}
"""
ANEMONE = """\
id: anemone
name: anemone
botanical: Anemone coronaria
kind: flower
roles: [accent]
summary: A spring flower with a dark eye.
vase_life: {low: 4, high: 8, unit: d, basis: practice}
"""
WHEAT = """\
id: dried-wheat
name: dried wheat
botanical: Triticum
kind: dried
part: grass
roles: line
summary: Dried ears on stiff stems.
keeping:
  shelf_life: {low: 12, high: 36, unit: months, basis: practice}
"""
CUTTING = """\
topic: cutting
title: Cutting
rules:
  - id: cut-long
    title: Cut long
    text: Leave the stem long until you know where it goes.
    basis: practice
    asked_as: How long do I cut?
  - id: cut-clean
    title: Cut clean
    text: Use a sharp, clean knife.
    why: A crushed end drinks badly.
    basis: practice
    materials: [tulip]
"""
PALETTE = """\
table: palette
title: Colours
colours:
  - {id: red, srgb: '#c81e3a', basis: practice}
  - {id: white, srgb: '#ffffff', basis: practice}
"""
NAMES = """\
table: names
title: Shared names
shared_names:
  - {name: windflower, meanings: [anemone, tulip], usual: anemone}
  - {name: spring flower, meanings: [anemone, tulip]}
"""
FILES = {
    "sources.yaml": SOURCES,
    "materials/tulip.yaml": TULIP,
    "materials/anemone.yaml": ANEMONE,
    "materials/dried-wheat.yaml": WHEAT,
    "rules/cutting.yaml": CUTTING,
    "tables/palette.yaml": PALETTE,
    "tables/names.yaml": NAMES,
}


def write(folder: Path, files: dict[str, str]) -> Path:
    """Write files below a folder; the folder."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return folder


def handbook_folder(folder: Path, **changed: str) -> Path:
    """The toy handbook, with files replaced: `tulip="..."` stands for materials/tulip.yaml and so on."""
    places = {Path(name).stem.replace("-", "_"): name for name in FILES}
    return write(folder, FILES | {places[key]: text for key, text in changed.items()})
