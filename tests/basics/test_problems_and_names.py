"""Problems as they are printed, and the nearest right name."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.basics.names import counted, nearest, slug, suggestion
from buildlog.basics.problems import Place, Problem, Severity, as_text, in_order, shown


def test_a_problem_in_print() -> None:
    line = "  - {installed: Box and cables, weight: 2.2 lb}"
    problem = Problem(
        Place("log/a.md", 14, 5, 30),
        "weight-arm",
        "an installed weight needs an arm",
        "write the distance from the datum,\nas in  arm: 73.0 in",
        Severity.WARNING,
        (Place("log/b.md", 2, 1),),
    )
    assert (
        as_text(problem, {"log/a.md": [""] * 13 + [line]})
        == """\
log/a.md:14:5: warning weight-arm: an installed weight needs an arm
   14 |   - {installed: Box and cables, weight: 2.2 lb}
      |     ^^^^^^^^^^^^^^^^^^^^^^^^^
      write the distance from the datum,
      as in  arm: 73.0 in
      see also log/b.md:2:1"""
    )


def test_a_problem_of_a_whole_file() -> None:
    problem = Problem(Place("log/a.md"), "huge-file", "the file is huge", "split it")
    assert as_text(problem, {"log/a.md": ["title"]}) == "log/a.md: error huge-file: the file is huge\n      split it"


def test_a_long_line_is_cut_to_a_window_round_the_mark() -> None:
    line = "x" * 300 + "HERE" + "y" * 300
    told = as_text(Problem(Place("a", 1, 301, 305), "n", "m"), {"a": [line]}).split("\n")
    assert len(told[1]) < 110
    assert told[1][told[2].index("^") :][:4] == "HERE"
    assert told[2].count("^") == 4


@given(st.text(alphabet="ab\t\x1b\u2028\u0085é", max_size=300), st.integers(0, 320), st.integers(0, 340))
def test_any_place_can_be_printed(line: str, column: int, end: int) -> None:
    told = as_text(Problem(Place("a", 1, column, end), "n", "m", "r"), {"a": [line]})
    assert len(told.splitlines()) == (4 if column else 3)  # no control character of the line gets through
    assert "\x1b" not in told


def test_problems_are_told_once_and_in_order() -> None:
    one, two, three = (Problem(Place("a", line), "n", "m") for line in (1, 2, 10))
    assert in_order([three, two, one, two]) == [one, two, three]


@pytest.mark.parametrize(
    ("value", "words"),
    [
        ("it's", "'it's'"),
        (None, "an empty field"),
        (True, "'true'"),
        ([1], "a list"),
        ({"a": 1}, "a group of lines"),
        ("a\nb\x00", "'a\\nb\\x00'"),
        ("C:\\photos", "'C:\\photos'"),
        ("x" * 99, "'" + "x" * 59 + "\u2026'"),
    ],
)
def test_what_was_written_in_a_message(value: object, words: str) -> None:
    assert shown(value) == words


@pytest.mark.parametrize(
    ("wrong", "known", "right"),
    [
        ("hour", ["hours", "cost"], "hours"),
        ("part-no", ["part_no", "parts"], "part_no"),
        ("Part No", ["part_no"], "part_no"),
        ("IMG_0412.JPG", ["IMG_0412.jpg", "IMG_0413.jpg"], "IMG_0412.jpg"),
        ("xyz", ["hours"], None),
        ("", ["hours"], None),
        ("saturday", ["sat", "sun"], "sat"),
        ("mag", ["magneto-left-hand-side"], "magneto-left-hand-side"),
        ("mag", ["magneto-left-hand-side", "magneto-right-hand-side"], None),
        ("a", [], None),
    ],
)
def test_nearest(wrong: str, known: list[str], right: str | None) -> None:
    assert nearest(wrong, known) == right
    assert nearest(wrong, reversed(known)) == right


def test_suggestions() -> None:
    assert suggestion("hour", ["hours", "cost"]) == "did you mean  hours ?"
    assert suggestion("xyz", ["b", "a"]) == "known here: a, b"
    assert suggestion("xyz", [], "write it") == "write it"
    assert suggestion("xyz", [f"name-{n}" for n in range(20)], "write it") == "write it"


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("Battery back on the shelf!", "battery-back-on-the-shelf"),
        ("  Été à Zürich ", "ete-a-zurich"),
        ("..", "untitled"),
        ("../../etc", "etc"),
        ("", "untitled"),
        ("Straße", "strasse"),
        ("_x_", "x"),
    ],
)
def test_slugs(words: str, name: str) -> None:
    assert slug(words) == name


@given(st.text(max_size=40))
def test_a_slug_is_a_safe_file_name(words: str) -> None:
    name = slug(words)
    assert name
    assert not set(name) & set("/\\\x00")
    assert not name.startswith((".", "-"))
    assert slug(name) == name


def test_counted() -> None:
    assert [counted(n, "entry", "entries") for n in (0, 1, 2)] == ["0 entries", "1 entry", "2 entries"]
    assert counted(3, "part") == "3 parts"
