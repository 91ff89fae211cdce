"""YAML by the core rules of 1.2, with places in lines that only LF ends."""

from __future__ import annotations

import subprocess
import sys
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.basics.problems import Problem
from buildlog.reading.source import Source
from buildlog.reading.yaml_text import read_yaml
from buildlog.records.types import PLACE_KEY


def read(text: str) -> tuple[Any, list[Problem]]:
    document, problems = read_yaml(Source.of("a.yaml", text))
    return document.value, problems


@pytest.mark.parametrize(
    ("written", "value"),
    [
        ("1:30", "1:30"),
        ("3:15", "3:15"),
        ("012", "012"),
        ("0o14", "0o14"),
        ("no", "no"),
        ("yes", "yes"),
        ("on", "on"),
        ("off", "off"),
        ("1.10", "1.10"),
        ("1e3", "1e3"),
        (".inf", ".inf"),
        ("2026-07-04", "2026-07-04"),
        ("0x1F", "0x1F"),
        ("1_000", "1_000"),
        ("=", "="),
        ("<<", "<<"),
        ("true", True),
        ("False", False),
        ("TRUE", True),
        ("tRUE", "tRUE"),
        ("null", None),
        ("~", None),
        ("", None),
        ("'true'", "true"),
        ('"null"', "null"),
        ("''", ""),
        ("'~'", "~"),
        ("Null", None),
        ("N", "N"),
        ("y", "y"),
    ],
)
def test_only_null_true_and_false_are_more_than_text(written: str, value: object) -> None:
    found, problems = read(f"it: {written}\n")
    assert not problems
    assert found["it"] is value or found["it"] == value


def test_a_merge_key_merges_nothing() -> None:
    found, problems = read("<<: {a: 1}\nb: 2\n")
    assert not problems
    assert set(found) == {PLACE_KEY, "<<", "b"}


@pytest.mark.parametrize("odd", ["\u2028", "\u2029", "\u0085"])
def test_line_ends_of_yaml_1_1_end_no_line(odd: str) -> None:
    text = f"title: one{odd}two\ndate: x\ndate: y\n"
    found, problems = read(text)
    assert found["title"] == "one two"
    assert [(problem.name, problem.place.line, problem.place.column) for problem in problems] == [
        ("repeated-key", 3, 1)
    ]


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_places_are_the_same_whatever_ends_a_line(end: str, mark: str) -> None:
    source = Source.of("a.yaml", mark + "title: one\nparts:\n  - {item: Bolt}\nparts: two\n".replace("\n", end))
    document, problems = read_yaml(source)
    assert [(problem.name, problem.place.line, problem.place.column, problem.place.end) for problem in problems] == [
        ("repeated-key", 4, 1, 6)
    ]
    place = document.place(("parts", 0, "item"))
    assert (place.line, place.column, place.end) == (3, 12, 16)
    assert source.line(3)[place.column - 1 : place.end - 1] == "Bolt"


def test_places_count_characters_and_not_bytes() -> None:
    source = Source.of("a.yaml", "title: \U0001f6e9 \u00dcber\nit: {a: \u00e9, b: Bolt}\n")
    document, _ = read_yaml(source)
    for path, words in ((("title",), "\U0001f6e9 \u00dcber"), (("it", "b"), "Bolt")):
        place = document.place(path)
        assert source.line(place.line)[place.column - 1 : place.end - 1] == words


def test_the_place_of_what_is_missing_is_what_it_is_missing_from() -> None:
    document, _ = read_yaml(Source.of("a.yaml", "a: 1\nparts:\n  - {item: Bolt}\n"))
    assert document.place(("parts", 0, "cost")) == document.place(("parts", 0))
    assert document.place(("parts", 7)) == document.place(("parts",))
    assert document.place(("b",)).line == 1
    key = document.place(("parts", 0, "item"), key=True)
    assert (key.line, key.column, key.end) == (3, 6, 10)


@pytest.mark.parametrize(
    "text", ["a:\tb\n", "\ta: b\n", "  \ta: b\n", "-\ta\n", "a:\n\t- b\n", "- a:\tb\n", "a: {b:\tc}\n"]
)
def test_a_tab_is_told_where_it_stands(text: str) -> None:
    _, problems = read(text)
    assert problems
    if "{" not in text:
        assert {problem.name for problem in problems} == {"tab"}
        place = problems[0].place
        assert text.split("\n")[place.line - 1][place.column - 1] == "\t"


@pytest.mark.parametrize(
    ("line", "meant"),
    [
        ("- file: a.jpg   # by the clock", "file: a.jpg"),
        ("- file: a.jpg", "file: a.jpg"),
        ("- file: a#1.jpg", "file: a#1.jpg"),
        ('- file: "a # b"  # c', 'file: "a # b"'),
        ("- {file: a.jpg} # c", "{file: a.jpg}"),
    ],
)
def test_a_remark_after_something_is_no_part_of_it(line: str, meant: str) -> None:
    document, _ = read_yaml(Source.of("a.yaml", f"photos:\n  {line}\n    # alt: x\nlast: 1\n"))
    place = document.place(("photos", 0))
    assert (place.line, place.end - place.column) == (2, len(meant))


def test_a_tab_inside_a_text_is_left_alone() -> None:
    found, problems = read('a: one\ttwo\nb: "x:\ty"\nc: |\n  one\ttwo\n# a\tcomment\n')
    assert not problems
    assert (found["a"], found["b"], found["c"]) == ("one\ttwo", "x:\ty", "one\ttwo\n")


@pytest.mark.parametrize("odd", ["\x00", "\x07", "\x1b", "\x7f", "\x80", "\x9f", "\ufeff", "\ufffe", "\uffff"])
def test_a_character_nobody_sees_is_told_with_its_place(odd: str) -> None:
    _, problems = read(f"title: \u00dcber\nit: a{odd}b\n")
    assert [(problem.name, problem.place.line, problem.place.column) for problem in problems] == [
        ("odd-character", 2, 6)
    ]
    assert f"U+{ord(odd):04X}" in problems[0].message
    assert problems[0].message.isprintable()


def test_only_the_first_mark_at_the_head_is_dropped() -> None:
    assert read("\ufeffa: 1\n") == read("a: 1\n")
    assert [problem.name for problem in read("\ufeff\ufeffa: 1\n")[1]] == ["odd-character"]


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("a: &x 1\nb: *x\n", ["anchor", "anchor"]),
        ("a: !!str 1\n", ["tag"]),
        ("a: !x 1\n", ["tag"]),
        ("a: [&x 1]\n", ["anchor"]),
        ("a: &x {b: 1}\n", ["anchor"]),
        ('a: "&x *y !z"\n', []),
        ("a: Tom & Ann! 2 * 3\n", []),
        ("a: it's\n", []),
        ("? a\n: b\n", []),
        ("? [a]\n: b\n", ["odd-key"]),
        ("{a: 1}: b\n", ["odd-key"]),
        ("%YAML 1.1\n---\na: no\n", []),
    ],
)
def test_anchors_tags_and_keys(text: str, names: list[str]) -> None:
    assert [problem.name for problem in read(text)[1]] == names


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("a: b #3\n", ["cut-short"]),
        ("a: b # 3\n", []),
        ("a: b #\n", []),
        ('a: "b" #3\n', []),
        ("a: b#3\n", []),
        ("a: {b: c #d\n  }\n", ["cut-short"]),
        ("- b #3\n", ["cut-short"]),
        ("a: b ## c\n", []),
        ("a: |\n  b #3\n", []),
        ("#3\na: b\n", []),
        ("a: # c\n  b\n", []),
        ("a: '#3'\n", []),
    ],
)
def test_a_text_cut_short_by_a_number_sign(text: str, told: list[str]) -> None:
    assert [problem.name for problem in read(text)[1]] == told


def test_what_a_comma_in_braces_split_is_made_whole_again() -> None:
    found, problems = read("a: {caption: The box, lid off, file: b.jpg}\n")
    assert [problem.name for problem in problems] == ["comma-in-braces"]
    assert found["a"]["caption"] == "The box, lid off"
    assert found["a"]["file"] == "b.jpg"


@pytest.mark.parametrize("depth", [39, 40])
def test_forty_deep_is_deep_enough(depth: int) -> None:
    assert not read("a: " + "[" * (depth - 1) + "]" * (depth - 1) + "\n")[1]
    assert [problem.name for problem in read("a: " + "[" * 41 + "]" * 41 + "\n")[1]] == ["too-deep"]


def test_many_lists_are_not_deep_ones() -> None:
    found, problems = read("".join(f"- {{item: {n}, lines: [[a, b], {{c: d?}}]}}\n" for n in range(200)))
    assert not problems
    assert len(found) == 200


BOMBS = """
n = 100_000
bombs = ["[" * n, "{" * n, "{a: " * n, "- " * n, "? " * n, "- ? " * n, ": " * n, "a: " * n, '["]",' * n,
         "]" * n + "[" * n, "[ ? " * n, "\\n".join(" " * i + "a:" for i in range(1200)), "[\\n" * n,
         '"]"\\n' * 50 + '["]",' * n, "&a " * n, "*a " * n, "!a " * n, '"' * n, "'" * (n + 1), "|\\n" * n, "%" * n,
         "- - - - [[[[" * n, "a: |\\n" + " b\\n" * n, "[a: " * n, "\\t" * n, "-\\t" * n]
from buildlog.reading.source import Source
from buildlog.reading.yaml_text import read_yaml
for bomb in bombs:
    read_yaml(Source.of("a.yaml", bomb))
print("alive", len(bombs))
"""


def test_no_bomb_brings_the_parser_down() -> None:
    """In a process of its own, for a C parser that overruns its stack would take the tests with it."""
    run = subprocess.run([sys.executable, "-c", BOMBS], capture_output=True, text=True, timeout=60, check=False)
    assert run.stdout == "alive 26\n", run.stderr[-500:]


@given(st.text(alphabet="ab: -?[]{},&*!|>'\"%@`#\n\t\\~0", max_size=60) | st.text(max_size=40))
def test_any_text_is_read_or_told(text: str) -> None:
    source = Source.of("a.yaml", text)
    document, problems = read_yaml(source)
    for problem in problems:
        assert 1 <= problem.place.line <= len(source.lines())
        assert problem.place.column <= len(source.line(problem.place.line)) + 1
        assert problem.message
        assert problem.remedy
    if document.broken:
        assert problems
        assert document.value is None
