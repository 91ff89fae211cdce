"""Whatever stands in a file: no traceback, a place and a remedy for every problem, and all other files still read."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from buildlog.reading.read import Reading
from buildlog.reading.validate import _field, _model_at
from buildlog.records.entry import EntryFacts
from tests.reading.laying import held, lay, names

CONTENT = Path(__file__).parents[2] / "content"
MORE = settings().max_examples // 100  # 1, or 30 when HYPOTHESIS_PROFILE=search

# One entry that uses nearly everything, as a builder might write it.
FACTS: dict[str, Any] = {
    "title": '"Battery back on the shelf, in a new box"',
    "dates": "2026-07-03/2026-07-04",
    "time": "14:30",
    "system": "[electrical, structure]",
    "share": "{electrical: 4, structure: 1}",
    "job": "battery",
    "milestone": "Lights on",
    "summary": "A week of wanting the firewall.",
    "picture": "photos/box.jpg",
    "hours": "{owner: 3:15, mechanic: 45 min}",
    "costs": [{"item": "Return of the first box", "kind": "refund", "cost": "18.50 USD", "supplier": "Tarn Valley"}],
    "parts": [
        {
            "item": '"Lithium battery, 8 Ah"',
            "cost": "212.00 USD",
            "receipt": "documents/receipt.jpg",
            "component": "battery-2",
        },
        {"item": "Cable", "quantity": "9", "each": "3.85 USD", "weight": "included"},
    ],
    "weight": [
        {"removed": "Lead-acid battery", "weight": "24.3 lb", "basis": "weighed", "arm": "73.0 in"},
        {
            "installed": "Lithium battery",
            "weight": "5.1 lb",
            "basis": "published",
            "plus_minus": "0.1 lb",
            "arm": "73.0 in",
        },
    ],
    "weight_change": "-14.5 oz",
    "components": [
        {"removed": "battery-1", "state": "scrapped"},
        {"installed": "battery-2"},
        {"tagged": "battery-1", "state": "sold"},
    ],
    "findings": [{"key": "F-21", "found": "Bracket cracked", "standing": "deferred", "until": "2027-03-31"}],
    "closes": "[F-21]",
    "photos": [{"file": "photos/box.jpg", "caption": '"The new box, lid off"'}],
    "orders": [{"key": "BOX", "item": "Box", "cost": "30 USD", "deposit": "5 USD", "lead": "11 weeks"}],
    "received": "[BOX]",
    "quotes": [{"key": "Q", "item": "Box", "cost": "31 USD", "until": "2026-08-01", "accepted": "no"}],
    "meter": "{tach: 412.6 h}",
    "inspected": "[condition]",
    "measured": [{"what": "Voltage", "value": "13.3 V", "limits": '"over 13.2 V"'}],
    "documents": [{"file": "documents/receipt.jpg", "title": "Receipt", "kind": "receipt"}],
    "signed": [{"by": "mechanic", "as": "return-to-service", "date": "2026-07-04"}],
}
PROSE = """It fits.[^1] ![The box](../photos/box.jpg "Lid off")

| what | where |
| --- | ---: |
| [the receipt](../documents/receipt.jpg) | here |

::: handover
- [x] for the package only
:::

[^1]: Nearly.
"""
FILES: dict[str, str | bytes] = {
    "components.yaml": "battery-1: {name: Lead-acid battery}\nbattery-2: {name: Lithium battery, system: electrical}\n",
    "plan.yaml": "jobs: [{key: battery, name: Battery, hours: {low: 4 h, likely: 6 h, high: 10 h}}]\n",
    "checks.yaml": "checks: [{key: condition, name: Condition inspection, every: 12 calendar months}]\n",
    "photos/box.jpg": b"\xff\xd8",
    "documents/receipt.jpg": b"\xff\xd8",
    "log/2026-07-05-other.md": "---\ntitle: Another day\ndate: 2026-07-05\nhours: 1:00\n---\nWords.\n",
    "ledgers/before.csv": 'date,item,cost,hours\n2026-01-24,"Fuel, and a sandwich",46.20 USD,\n2026-01-25,,,3:15\n',
    "decisions/place.md": "---\nquestion: Where?\noptions: [{key: shelf, name: Shelf}, {key: nose, name: Nose}]\n"
    "chosen: shelf\n---\nBack.\n",
}
NAME = "log/2026-07-04-battery.md"


def written(facts: dict[str, Any], prose: str = PROSE) -> str:
    """The entry of some facts, a line for each item of a list."""
    lines = ["---"]
    for name, value in facts.items():
        if isinstance(value, list):
            lines += [
                f"{name}:",
                *(f"  - {{{', '.join(f'{key}: {held}' for key, held in item.items())}}}" for item in value),
            ]
        else:
            lines.append(f"{name}: {value}")
    return "\n".join([*lines, "---", prose])


ENTRY = written(FACTS)


@pytest.fixture(scope="module")
def root() -> Iterator[Path]:
    """A project whose entry each example writes anew."""
    with tempfile.TemporaryDirectory() as folder:
        yield lay(Path(folder), {**FILES, NAME: ENTRY})


def with_file(root: Path, name: str, content: str | bytes) -> Reading:
    """The project read with other content in one file, and everything beside it found as it was."""
    raw = content if isinstance(content, bytes) else content.encode("utf-8", "surrogatepass")
    original = FILES.get(name, ENTRY) if name != "project.yaml" else (root / name).read_text()
    try:
        (root / name).write_bytes(raw)
        reading = held(root)
    finally:
        (root / name).write_bytes(original if isinstance(original, bytes) else original.encode())
    slugs = [entry.slug for entry in reading.logbook.entries]
    assert "2026-07-05-other" in slugs
    if name != NAME:
        assert "2026-07-04-battery" in slugs
    if name != "decisions/place.md":
        assert len(reading.logbook.decisions) == 1
    if name != "ledgers/before.csv":
        assert len(reading.logbook.ledger) == 2
    if name != "components.yaml":
        assert set(reading.logbook.components) == {"battery-1", "battery-2"}
    return reading


def test_the_entry_is_sound(root: Path) -> None:
    reading = held(root)
    assert names(reading) == []
    assert set(FACTS) - {"date"} <= {field.alias or name for name, field in EntryFacts.model_fields.items()}


ANY_FILE = [
    NAME,
    "project.yaml",
    "components.yaml",
    "plan.yaml",
    "checks.yaml",
    "ledgers/before.csv",
    "decisions/place.md",
]


@pytest.mark.parametrize("name", ANY_FILE)
@settings(max_examples=60 * MORE)
@given(raw=st.binary(max_size=200))
def test_bytes(root: Path, name: str, raw: bytes) -> None:
    with_file(root, name, raw)


YAML_BITS = st.lists(
    st.sampled_from(
        [
            "title",
            "date",
            ": ",
            ":",
            "\n",
            "\n  ",
            "- ",
            "{",
            "}",
            "[",
            "]",
            ", ",
            "'",
            '"',
            "#",
            "&a",
            "*a",
            "!x",
            "|",
            ">",
            "2026-07-04",
            "3:15",
            "~",
            "@",
            "key",
            "true",
            "\t",
            "\u2028",
            "\u0085",
            "---\n",
            "weight",
            "parts",
            "hours",
            "é",
            "\x00",
            "%",
            "? ",
            "costs",
            "0",
            "-1",
        ]
    ),
    max_size=30,
)


@pytest.mark.parametrize("name", ANY_FILE)
@settings(max_examples=60 * MORE)
@given(text=st.text(max_size=120) | YAML_BITS.map("".join))
def test_text(root: Path, name: str, text: str) -> None:
    with_file(root, name, text)


@settings(max_examples=150 * MORE)
@given(front=YAML_BITS.map("".join), body=st.text(max_size=80))
@example(front="- - - a", body="::: private")
@example(front="'@': 1", body="")
@example(front="@: 1", body="")
@example(front="title: a\ndate: 2026-07-04\n'@': {file: x}", body="")
def test_text_between_the_dashes(root: Path, front: str, body: str) -> None:
    with_file(root, NAME, f"---\n{front}\n---\n{body}")


MARKDOWN_BITS = st.lists(
    st.sampled_from(
        [
            "\n",
            "\n\n",
            "- ",
            "> ",
            "# ",
            "[a](",
            ")",
            "![",
            "](../photos/box.jpg)",
            "::: private\n",
            ":::\n",
            "[^1]",
            "\n[^1]: ",
            "^[",
            "]",
            "`",
            "```\n",
            "| a |\n| - |\n",
            "<b>",
            "<!--",
            "-->",
            "<div>",
            "**",
            "~~",
            "    ",
            "\t",
            "1. ",
            "[ ] ",
            "[x] ",
            "%20",
            "&amp;",
            "\\",
            "\x00",
            "\u2028",
            "https://dunlin.example",
            "<https://a>",
            "\r",
            "word ",
        ]
    ),
    max_size=40,
)


@settings(max_examples=200 * MORE)
@given(body=MARKDOWN_BITS.map("".join))
def test_any_markdown(root: Path, body: str) -> None:
    reading = with_file(root, NAME, ENTRY.replace(PROSE, body))
    assert len(reading.logbook.entries) == 2  # the facts stand, whatever the words are


NASTY = "\t:{}[],'\"#&*!|>%@`-\u2028\u0085\ufeff\x00\r\n é0"


def damaged(text: str, data: st.DataObject) -> str:
    """A text with a few accidents: a line gone, doubled or cut short, signs put in, lines swapped."""
    lines = text.split("\n")
    for _ in range(data.draw(st.integers(1, 3))):
        at = data.draw(st.integers(0, len(lines) - 1))
        column = data.draw(st.integers(0, len(lines[at])))
        accident = data.draw(st.sampled_from(["delete", "double", "cut", "insert", "swap", "indent"]))
        if accident == "delete":
            del lines[at]
            lines = lines or [""]
        elif accident == "double":
            lines.insert(at, lines[at])
        elif accident == "cut":
            lines[at] = lines[at][:column]
        elif accident == "insert":
            lines[at] = lines[at][:column] + data.draw(st.text(NASTY, min_size=1, max_size=3)) + lines[at][column:]
        elif accident == "swap":
            lines[at], lines[-at] = lines[-at], lines[at]
        else:
            lines[at] = data.draw(st.sampled_from(["  ", " ", "\t"])) + lines[at]
    return "\n".join(lines)


@settings(max_examples=300 * MORE)
@given(data=st.data())
def test_accidents_to_an_entry(root: Path, data: st.DataObject) -> None:
    with_file(root, NAME, damaged(ENTRY, data))


@pytest.mark.parametrize(
    "name", ["components.yaml", "plan.yaml", "checks.yaml", "ledgers/before.csv", "decisions/place.md"]
)
@settings(max_examples=40 * MORE)
@given(data=st.data())
def test_accidents_to_other_files(root: Path, name: str, data: st.DataObject) -> None:
    with_file(root, name, damaged(str(FILES[name]), data))


@pytest.mark.skipif(not (CONTENT / "log").is_dir(), reason="the demo project is not here")
@settings(max_examples=80 * MORE)
@given(data=st.data())
def test_accidents_to_the_demo(data: st.DataObject) -> None:
    files = sorted([*CONTENT.glob("log/**/*.md"), *CONTENT.glob("*.yaml"), *CONTENT.glob("decisions/*.md")])
    chosen = data.draw(st.sampled_from(files))
    name = chosen.relative_to(CONTENT).as_posix()
    with tempfile.TemporaryDirectory() as folder:
        held(lay(Path(folder), {name: damaged(chosen.read_text("utf-8"), data)}))


@pytest.mark.parametrize("number", range(len(ENTRY.split("\n"))))
def test_a_line_less_or_twice(root: Path, number: int) -> None:
    lines = ENTRY.split("\n")
    with_file(root, NAME, "\n".join(lines[:number] + lines[number + 1 :]))
    with_file(root, NAME, "\n".join([*lines[:number], lines[number], *lines[number:]]))


@pytest.mark.parametrize("place", range(0, len(ENTRY), 37))
def test_a_file_that_ends_too_early(root: Path, place: int) -> None:
    with_file(root, NAME, ENTRY[:place])


REQUIRED = [
    (name, number, key)
    for name, value in FACTS.items()
    if isinstance(value, list)
    for number, item in enumerate(value)
    for key in item
    if (field := _field(_model_at(EntryFacts, (name, number)) or EntryFacts, key)) is not None and field.is_required()
]
ONE_VERB = [("weight", 0, "removed"), ("components", 1, "installed"), ("components", 2, "state")]


def test_the_required_fields_are_found() -> None:
    assert {("findings", 0, "standing"), ("orders", 0, "key"), ("signed", 0, "as"), ("weight", 0, "weight")} <= set(
        REQUIRED
    )
    assert len(REQUIRED) > 20


@pytest.mark.parametrize(("name", "number", "key"), REQUIRED + ONE_VERB)
def test_a_required_word_left_out(root: Path, name: str, number: int, key: str) -> None:
    items = [dict(item) for item in FACTS[name]]
    del items[number][key]
    text = written(FACTS | {name: items})
    line = text.split("\n").index(f"{name}:") + 2 + number
    reading = with_file(root, NAME, text)
    told = [problem for problem in reading.problems if problem.place.file == NAME]
    assert told, f"{name}: {key} can be left out in silence"
    assert all(problem.place.line == line for problem in told)
    assert any(key in problem.remedy + problem.message for problem in told)
    for problem in told:  # what the remedy says to type is taken
        addition = re.fullmatch(r"add  (\w+: .*)", problem.remedy)
        if problem.name == "missing-field":
            assert addition
            extra, value = addition[1].split(": ", 1)
            items[number][extra] = value
    if told[0].name == "missing-field":
        assert not {"missing-field", "wrong-shape"} & set(names(with_file(root, NAME, written(FACTS | {name: items}))))


@pytest.mark.parametrize("name", ["title", "dates"])
def test_title_and_date_left_out(root: Path, name: str) -> None:
    reading = with_file(root, NAME, written({key: value for key, value in FACTS.items() if key != name}))
    assert names(reading) == [{"title": "missing-field", "dates": "entry-date"}[name]]
    assert name[:4] in reading.problems[0].remedy


@pytest.mark.parametrize("name", [NAME, "components.yaml", "plan.yaml", "checks.yaml", "project.yaml"])
@pytest.mark.parametrize("fault", ["a: b: c\n", "\xff", "[", "- a\n", "\ttitle: x\n"])
def test_one_fault_is_not_told_in_other_files(root: Path, name: str, fault: str) -> None:
    raw = fault.encode("latin-1")
    reading = with_file(root, name, b"---\n" + raw + b"\n---\n" if name == NAME else raw)
    assert reading.problems
    assert {problem.place.file for problem in reading.problems} == {name}


def test_long_texts_of_one_sign(root: Path) -> None:
    """Signs that a parser must remember, a thousand times over."""
    n = 1000
    for body in (
        "[" * n,
        "![" * n,
        "]" * n,
        "*a" * n,
        "`" * n,
        "<" * n,
        "<!--" * n,
        "[^" * n,
        ":::\n" * n,
        "> " * n,
        "- " * 400,
        "| a " * 2000 + "\n" + "| - " * 2000 + "\n",
        "\\" * n,
        "&" * n,
        "^[" * 200,
        "http:" * n,
    ):
        with_file(root, NAME, f"---\ntitle: A\ndate: 2026-07-04\n---\n{body}")
