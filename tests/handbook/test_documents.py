"""YAML that remembers where things stood, and refuses what a reader could not follow."""

import pytest

from assistant.handbook.documents import MAX_DEPTH, Problem, dotted, parse_document, read_document


def parsed(text):
    document, problems = parse_document(text, "x.yaml")
    assert problems == []
    return document


def only_problem(text):
    _, problems = parse_document(text, "x.yaml")
    assert len(problems) == 1, problems
    return problems[0]


def test_every_value_has_a_line_and_a_column():
    document = parsed("id: rose\nstorage:\n  - degC: [0, 2]\n    days: [3, 7]\n")
    assert document.marks[("id",)] == (1, 1)
    assert document.marks[("storage", 0, "days")] == (4, 5)
    assert document.marks[("storage", 0, "degC", 1)] == (3, 15)


def test_a_problem_without_a_place_of_its_own_takes_its_parents():
    problem = parsed("a:\n  b: {c: 1}\n").problem(("a", "b", "missing"), "is missing")
    assert str(problem) == "x.yaml:2:3: a.b.missing: is missing"


def test_a_duplicate_key_is_an_error_that_names_both_lines():
    problem = only_problem("id: rose\nname: rose\nid: tulip\n")
    assert (problem.line, problem.column) == (3, 1)
    assert "first on line 1" in problem.message


def test_the_first_of_two_keys_is_kept():
    assert parse_document("a: 1\na: 2\n", "x")[0].data == {"a": 1}


@pytest.mark.parametrize("text", ["a: &x 1\nb: *x\n", "a: &x {b: 1}\nc: [*x]\n"])
def test_aliases_are_refused(text):
    assert "aliases" in only_problem(text).message


def test_a_merge_key_is_refused():
    assert "aliases" in only_problem("base: &b {a: 1}\nother: {<<: *b}\n").message


@pytest.mark.parametrize(
    ("said", "value"),
    [
        ("yes", "yes"), ("No", "No"), ("on", "on"), ("12:30", "12:30"), ("2026-11-25", "2026-11-25"), ("0x1F", "0x1F"),
        ("1_000", "1_000"), ("True", "True"), (".inf", ".inf"), ("true", True), ("null", None), ("~", None), ("", None),
        ("-7", -7), ("007", 7), ("2.50", 2.5), (".5", 0.5), ("1.5e3", 1500.0), ("'7'", "7"), ('"true"', "true"),
    ],
)  # fmt: skip
def test_only_plain_numbers_and_true_false_null_are_more_than_text(said, value):
    found = parsed(f"a: {said}\n").data["a"]
    assert found == value
    assert type(found) is type(value)


@pytest.mark.parametrize("number", ["9" * 5000, "-" + "1" * 40, "1.0e999"])
def test_a_number_beyond_all_measure_is_an_error_and_no_crash(number):
    assert "too long" in only_problem(f"a: {number}\n").message


def test_bad_utf8_is_named_with_the_byte(tmp_path):
    path = tmp_path / "x.yaml"
    path.write_bytes(b"name: caf\xe9\n")
    document, problems = read_document(path, "shown.yaml")
    assert document is None
    assert str(problems[0]) == "shown.yaml: not UTF-8 text (byte 9); save the file as UTF-8"


def test_a_byte_order_mark_is_no_part_of_the_first_key(tmp_path):
    path = tmp_path / "x.yaml"
    path.write_bytes(b"\xef\xbb\xbfid: rose\r\nname: rose\r\n")
    assert read_document(path)[0].data == {"id": "rose", "name": "rose"}


@pytest.mark.parametrize("text", ["", "\n\n", "# only a comment\n", "---\n"])
def test_an_empty_file_is_said_to_be_empty(text):
    document, problems = parse_document(text, "x.yaml")
    if document is None:
        assert "empty" in problems[0].message
    else:  # three dashes begin a document whose value is nothing
        assert document.data is None


def test_a_missing_file_and_a_folder_are_one_problem_each(tmp_path):
    for path in (tmp_path / "none.yaml", tmp_path):
        document, problems = read_document(path)
        assert document is None
        assert problems[0].message.startswith("cannot be read")


@pytest.mark.parametrize("levels", [MAX_DEPTH + 5, 900, 50_000])
@pytest.mark.parametrize(("opening", "closing"), [("[", "]"), ("{a: ", "}")])
def test_deep_nesting_is_refused_and_no_crash(levels, opening, closing):
    _, problems = parse_document(opening * levels + closing * levels, "x.yaml")
    assert len(problems) == 1
    assert "deep" in problems[0].message or "depth" in problems[0].message


@pytest.mark.parametrize("text", ["a: [1, 2\n", "a: 'x\n", "a: 1\n b: 2\n", "\tx: 1\n", "a: 1\n---\nb: 2\n"])
def test_broken_yaml_is_one_problem_with_a_line(text):
    document, problems = parse_document(text, "x.yaml")
    assert document is None
    assert len(problems) == 1
    assert problems[0].line >= 1
    assert problems[0].message.startswith("not valid YAML")


def test_a_tag_is_never_acted_on():
    document, problems = parse_document("a: !!python/name:os.sep x\nb: !!python/object/apply:os.getcwd []\n", "x.yaml")
    assert document.data["a"] is None
    assert "tag" in problems[0].message
    assert document.data["b"] == []  # an empty list, whatever the tag asks for


def test_a_key_that_is_a_list_is_refused():
    assert only_problem("? [a, b]\n: c\n").message == "a key must be plain text"


def test_an_escape_sequence_in_a_key_is_shown_and_not_sent():
    problem = only_problem('"\\e[31mred": 1\n"\\e[31mred": 2\n')
    assert "\x1b" not in str(problem)
    assert "\\x1b[31mred" in str(problem)


def test_dotted_paths_read_like_the_file():
    assert dotted(("storage", 0, "degC")) == "storage[0].degC"
    assert dotted(()) == ""


def test_a_problem_without_a_line_names_the_file_only():
    assert str(Problem("x.yaml", 0, 0, "", "cannot be read")) == "x.yaml: cannot be read"
