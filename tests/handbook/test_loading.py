"""Reading a folder: everything wrong at once, with file and line; and a shop's own folder laid over it."""

import pytest

from assistant.handbook import loading
from assistant.handbook.loading import HandbookError, check_handbook, load_handbook
from tests.handbook import toys


def problems_of(folder, *overlays):
    handbook, problems = check_handbook(folder, overlays)
    assert handbook is None
    assert problems
    return problems


def said(problems):
    return "\n".join(str(problem) for problem in problems)


@pytest.fixture
def base(tmp_path):
    return toys.handbook_folder(tmp_path / "base")


def overlay(tmp_path, name="shop", **files):
    return toys.write(tmp_path / name, {key.replace("__", "/") + ".yaml": text for key, text in files.items()})


def test_the_toy_handbook_loads(base):
    handbook = load_handbook(base)
    assert list(handbook.materials) == ["anemone", "dried-wheat", "tulip"]
    assert list(handbook.rules) == ["cut-long", "cut-clean"]
    assert handbook.topic_of("cut-clean").topic == "cutting"
    assert handbook.table("palette").colours[0].id == "red"
    assert handbook.origin["tulip"] == "base/materials/tulip.yaml"
    assert handbook.origin["cut-clean"] == "base/rules/cutting.yaml"
    assert handbook.origin["names/windflower"] == "base/tables/names.yaml"


@pytest.mark.parametrize(
    ("file", "old", "new", "expected"),
    [
        ("tulip", "kind: flower", "kind: [flower", "base/materials/tulip.yaml:6:6: not valid YAML"),
        ("tulip", "botanical: Tulipa\n", "", "botanical: is missing; add it"),
        ("tulip", "unit: d,", "unit: h,", "tulip.yaml:12:30: vase_life.unit: must be 'd' (found 'h')"),
        ("tulip", "low: 4,", "low: four,", "tulip.yaml:12:13: vase_life.low: must be a number"),
        ("tulip", "low: 4,", "low: -4,", "vase_life.low: must be at least 0 (found -4)"),
        ("tulip", "vase_life:", "vase_live:", "vase_live: is not a field of this entry; check the spelling"),
        ("tulip", "id: tulip", "id: Tulip", "must be lower-case words joined by hyphens, such as garden-rose"),
        ("tulip", "id: tulip", "id: rose", "the file is named 'tulip'; make the two the same"),
        ("tulip", "source: book_1990", "source: book_1991", "there is no source 'book_1991' in sources.yaml"),
        ("tulip", "source: book_1990", "source: Book 1990", "joined by underscores, such as osu_6426"),
        ("tulip", "{id: anemone,", "{id: anemoon,", "tulip.yaml:16:5: substitutes[0]: there is no material 'anemoon'"),
        ("tulip", "names: [red]", "names: [rad]", "'rad' is not a colour of tables/palette.yaml"),
        ("tulip", "roles: [mass]", "roles: []", "roles: is empty or too short; fill it in or remove it"),
        ("anemone", "name: anemone", "name: tulip", "'tulip' is also a name of"),
        ("cutting", "materials: [tulip]", "materials: [tulips]", "cutting.yaml:14:17: rules[1].materials[0]"),
        ("cutting", "id: cut-clean", "id: cut-long", "rule 'cut-long' also stands in base/rules/cutting.yaml"),
        ("cutting", "topic: cutting", "topic: cuts", "the file is named 'cutting'; make the two the same"),
        ("palette", "id: white", "id: red", "'red' stands twice; keep one"),
        ("palette", "'#ffffff'", "'#FFF'", "must be a colour such as '#c81e3a'"),
        ("names", "name: spring flower", "name: Windflower", "'Windflower' stands twice; keep one"),
        ("names", "usual: anemone", "usual: dried-wheat", "is not one of the meanings; name one of them"),
        ("names", "[anemone, tulip], usual", "[anemone, tolip], usual", "there is no material 'tolip'"),
        ("sources", "id: sheet_2001", "id: book_1990", "source 'book_1990' stands twice"),
    ],
)
def test_each_fault_is_named_with_what_would_be_right(tmp_path, file, old, new, expected):
    text = toys.FILES[next(name for name in toys.FILES if name.endswith(f"{file}.yaml"))]
    assert old in text
    folder = toys.handbook_folder(tmp_path / "base", **{file: text.replace(old, new, 1)})
    assert expected in said(problems_of(folder))


def test_a_declared_shared_name_may_belong_to_two(tmp_path):
    with_name = "other_names: [windflower]\n"
    folder = toys.handbook_folder(tmp_path, tulip=toys.TULIP + with_name, anemone=toys.ANEMONE + with_name)
    assert load_handbook(folder).materials["tulip"].other_names[0].name == "windflower"


def test_all_problems_come_at_once_and_in_order(tmp_path):
    folder = toys.handbook_folder(
        tmp_path / "base",
        anemone=toys.ANEMONE.replace("unit: d", "unit: h").replace("kind: flower", "kind: weed"),
        tulip="id: [",
        cutting=toys.CUTTING.replace("[tulip]", "[anemoon]"),
    )
    problems = problems_of(folder)
    assert len(problems) >= 4
    assert problems == sorted(problems, key=lambda p: (p.file, p.line, p.column))
    files = {problem.file for problem in problems}
    assert {"base/materials/anemone.yaml", "base/materials/tulip.yaml", "base/rules/cutting.yaml"} <= files
    with pytest.raises(HandbookError, match=f"{len(problems)} problems in the handbook") as caught:
        load_handbook(folder)
    assert caught.value.problems == tuple(problems)


@pytest.mark.parametrize(
    "broken",
    [
        {"tulip": "id: ["},
        {"tulip": toys.TULIP.replace("kind: flower\n", "")},
        {"palette": "colours: 7"},
        {"sources": "x"},
    ],
)
def test_a_broken_file_is_the_only_one_reported(tmp_path, broken):
    """What others say of it isn't wrong: forty echoes would bury the one line to mend."""
    problems = problems_of(toys.handbook_folder(tmp_path / "base", **broken))
    assert {problem.file.split("/")[-1] for problem in problems} == {f"{next(iter(broken))}.yaml"}


def test_files_that_would_not_be_read_are_named(tmp_path):
    folder = toys.write(toys.handbook_folder(tmp_path / "base"), {"materials/rose.yml": "id: rose\n"})
    assert "materials/rose.yml: not read: rename it to end in .yaml" in said(problems_of(folder))


def test_no_folder_and_an_empty_folder_are_each_one_clear_problem(tmp_path):
    assert "no such folder" in said(problems_of(tmp_path / "none"))
    (tmp_path / "empty").mkdir()
    assert "holds no materials" in said(problems_of(tmp_path / "empty"))


@pytest.mark.parametrize("text", ["null\n", "- a\n- b\n", "just words\n", "7\n"])
@pytest.mark.parametrize("file", ["tulip", "cutting", "palette"])
def test_a_file_that_is_no_block_of_fields(tmp_path, file, text):
    folder = toys.handbook_folder(tmp_path / "base", **{file: text})
    assert "must be a block of fields, starting with" in said(problems_of(folder))


def test_each_file_is_validated_once(base, monkeypatch):
    seen = []
    validate = loading.validated
    monkeypatch.setattr(
        loading, "validated", lambda document, model: (seen.append(document.file), validate(document, model))[1]
    )
    load_handbook(base)
    assert len(seen) == len(set(seen)) == len(toys.FILES)


# --- a shop's own folder ------------------------------------------------------------------------------------------


def test_a_material_is_laid_over_field_by_field(base, tmp_path):
    shop = overlay(tmp_path, materials__tulip="id: tulip\npacks: [{market: EU, stems: [50, 50], basis: practice}]\n")
    plain, mine = load_handbook(base).materials["tulip"], load_handbook(base, [shop])
    tulip = mine.materials["tulip"]
    assert tulip.packs[0].stems == (50, 50)
    assert tulip.model_copy(update={"packs": plain.packs}) == plain
    assert mine.origin["tulip"] == "shop/materials/tulip.yaml"
    assert mine.origin["anemone"] == "base/materials/anemone.yaml"


def test_a_field_left_empty_takes_the_handbooks_away(base, tmp_path):
    shop = overlay(tmp_path, materials__tulip="id: tulip\nvase_life:\nsubstitutes:\n")
    tulip = load_handbook(base, [shop]).materials["tulip"]
    assert tulip.vase_life is None
    assert tulip.substitutes == ()


def test_a_needed_field_left_empty_is_missing(base, tmp_path):
    shop = overlay(tmp_path, materials__tulip="id: tulip\nbotanical:\n")
    assert "shop/materials/tulip.yaml:2:1: botanical: is missing; add it" in said(problems_of(base, shop))


def test_a_new_material_is_added(base, tmp_path):
    shop = overlay(tmp_path, materials__rose=toys.ANEMONE.replace("anemone", "rose"))
    handbook = load_handbook(base, [shop])
    assert handbook.materials["rose"].name == "rose"
    assert list(handbook.materials) == sorted(handbook.materials)


def test_overlays_are_laid_in_order(base, tmp_path):
    first = overlay(tmp_path, "first", materials__tulip="id: tulip\nplural: first\nsummary: From the first.\n")
    second = overlay(tmp_path, "second", materials__tulip="id: tulip\nplural: second\n")
    handbook = load_handbook(base, [first, second])
    assert handbook.materials["tulip"].plural == "second"
    assert handbook.materials["tulip"].summary.text == "From the first."


RULE = "  - {id: cut-clean, title: Ours, text: Use shears., basis: practice, symptom: ragged ends}\n"


def test_a_rule_replaces_the_one_of_its_id_and_leaves_the_others(base, tmp_path):
    new = "  - {id: cut-last, title: Cut last, text: Cut again at the end., basis: practice, kinds: flower}\n"
    shop = overlay(tmp_path, rules__cutting="topic: cutting\nrules:\n" + RULE + new)
    handbook = load_handbook(base, [shop])
    assert [rule.id for rule in handbook.topics["cutting"].rules] == ["cut-long", "cut-clean", "cut-last"]
    assert handbook.topics["cutting"].title == "Cutting"
    assert handbook.rules["cut-clean"].text == "Use shears."
    assert handbook.rules["cut-clean"].why is None  # the whole rule is replaced: half a rule would be nobody's
    assert handbook.origin["cut-clean"] == handbook.origin["cut-last"] == "shop/rules/cutting.yaml"
    assert handbook.origin["cut-long"] == "base/rules/cutting.yaml"


def test_a_rule_of_another_topic_with_a_taken_id_is_an_error(base, tmp_path):
    shop = overlay(tmp_path, rules__ours="topic: ours\ntitle: Ours\nrules:\n" + RULE)
    problems = problems_of(base, shop)
    assert "rule 'cut-clean' also stands in base/rules/cutting.yaml" in said(problems)
    assert problems[0].file == "shop/rules/ours.yaml"


def test_table_rows_replace_those_of_their_id_and_leave_the_others(base, tmp_path):
    shop = overlay(tmp_path, tables__palette="table: palette\ncolours: [{id: red, srgb: '#aa0000', basis: practice}]\n")
    handbook = load_handbook(base, [shop])
    assert [(c.id, c.srgb) for c in handbook.tables["palette"].colours] == [("red", "#aa0000"), ("white", "#ffffff")]
    assert handbook.origin["palette/red"] == "shop/tables/palette.yaml"
    assert handbook.origin["palette/white"] == "base/tables/palette.yaml"


def test_shared_names_replace_those_of_their_name(base, tmp_path):
    rows = (
        "  - {name: Windflower, meanings: [tulip, anemone], usual: tulip}\n"
        "  - {name: corn, meanings: [dried-wheat, tulip]}\n"
    )
    shop = overlay(tmp_path, tables__names="table: names\nshared_names:\n" + rows)
    names = load_handbook(base, [shop]).tables["names"].shared_names
    assert [(n.name, n.usual) for n in names] == [("Windflower", "tulip"), ("spring flower", None), ("corn", None)]


def test_a_row_that_stands_twice_in_the_overlay_is_reported(base, tmp_path):
    row = "{id: red, srgb: '#aa0000', basis: practice}"
    shop = overlay(tmp_path, tables__palette=f"table: palette\ncolours: [{row}, {row}]\n")
    assert "'red' stands twice" in said(problems_of(base, shop))


def test_an_overlay_of_a_table_may_add_another_sort_of_row(base, tmp_path):
    place = "{id: our-shop, title: Our shop, degC: [16, 18], humidity: [50, 60], basis: practice}"
    shop = overlay(tmp_path, tables__palette=f"table: palette\nplaces: [{place}]\n")
    table = load_handbook(base, [shop]).tables["palette"]
    assert len(table.colours) == 2
    assert table.places[0].id == "our-shop"


def test_sources_of_an_overlay_are_added(base, tmp_path):
    shop = overlay(
        tmp_path,
        sources="sources: [{id: own_trial, title: Our own trial}]\n",
        materials__tulip="id: tulip\nvase_life: {low: 5, high: 6, unit: d, source: own_trial, basis: published}\n",
    )
    assert load_handbook(base, [shop]).materials["tulip"].vase_life.source == ("own_trial",)


def test_a_problem_of_the_overlay_is_reported_with_its_file_and_line(base, tmp_path):
    shop = overlay(tmp_path, materials__tulip="id: tulip\nvase_life: {low: 9, high: 3, unit: d, basis: practice}\n")
    assert "shop/materials/tulip.yaml:2:1: vase_life: the range is upside down" in said(problems_of(base, shop))


def test_a_problem_of_an_inherited_field_points_at_the_file_that_says_it(base, tmp_path):
    """The source is missing from the handbook itself: the fault is in its file, not in the overlay above it."""
    shop = overlay(tmp_path, materials__tulip="id: tulip\nplural: tulpen\n")
    (base / "sources.yaml").write_text("sources: [{id: other, title: Other}]\n", encoding="utf-8")
    found = [problem for problem in problems_of(base, shop) if "book_1990" in problem.message]
    assert {(p.file, p.line, p.field) for p in found} == {
        ("base/materials/tulip.yaml", 12, "vase_life.source"),
        ("base/materials/tulip.yaml", 14, "storage[0].source"),
    }


def test_a_problem_of_an_inherited_row_points_at_the_file_and_row_that_say_it(base, tmp_path):
    """Row 1 of the outcome is row 0 of the overlay and row 1 of the base: both must be found in their own file."""
    shop = overlay(
        tmp_path, rules__cutting="topic: cutting\nrules:\n" + RULE.replace("practice", "memory, source: nowhere")
    )
    text = toys.CUTTING.replace("basis: practice\n    asked_as", "basis: memory\n    source: lost\n    asked_as")
    (base / "rules" / "cutting.yaml").write_text(text, encoding="utf-8")
    by_file = {problem.file: problem for problem in problems_of(base, shop)}
    assert by_file["shop/rules/cutting.yaml"].field == "rules[0].source"
    assert by_file["shop/rules/cutting.yaml"].line == 3
    assert by_file["base/rules/cutting.yaml"].field == "rules[0].source"
    assert by_file["base/rules/cutting.yaml"].line == 8


def test_a_kind_changed_under_inherited_fields_is_refused(base, tmp_path):
    shop = overlay(tmp_path, materials__tulip="id: tulip\nkind: dried\n")
    text = said(problems_of(base, shop))
    assert "shop/materials/tulip.yaml" in text
    assert "remove vase_life" in text


def test_a_missing_overlay_folder_is_a_problem(base, tmp_path):
    assert "the shop's own folder was not found" in said(problems_of(base, tmp_path / "nowhere"))


def test_a_broken_overlay_does_not_hide_the_handbooks_problems(base, tmp_path):
    (base / "materials" / "anemone.yaml").write_text("id: [", encoding="utf-8")
    shop = overlay(tmp_path, materials__tulip="id: [")
    files = {problem.file for problem in problems_of(base, shop)}
    assert {"base/materials/anemone.yaml", "shop/materials/tulip.yaml"} <= files


def test_an_overlay_may_hold_a_file_that_is_not_ours(base, tmp_path):
    shop = overlay(tmp_path, prices="anything: goes\n", jobs__wedding="anything: goes\n")
    assert load_handbook(base, [shop]).materials.keys() == load_handbook(base).materials.keys()


def test_the_packaged_handbook_is_in_order(handbook):
    assert handbook.materials.keys() >= {"rose", "tulip"}
    assert all(handbook.origin[key].startswith("knowledge/") for key in (*handbook.materials, *handbook.rules))
