"""The README's example is what the program does."""

from __future__ import annotations

import re
from pathlib import Path

from buildlog.basics.problems import as_text
from buildlog.reading.read import read_logbook
from tests.making import write
from tests.whole.conftest import ROOT

README = (ROOT / "README.md").read_text("utf-8")


def block(info: str) -> str:
    found = re.search(rf"^```{info}\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)
    assert found
    return found[1]


def files(text: str) -> dict[str, str | bytes]:
    return {"log/2026-07-04-battery.md": text, "documents/battery.jpg": "x", "photos/box.jpg": "x"}


def test_the_entry_reads_without_a_problem(tmp_path: Path) -> None:
    assert read_logbook(write(tmp_path, files(block("markdown")))).problems == ()


def test_the_problem_is_told_as_it_is_printed_there(tmp_path: Path) -> None:
    wrong = block("markdown").replace("weight: 24.3 lb", "weight: 24.3")
    reading = read_logbook(write(tmp_path, files(wrong)))
    assert [as_text(problem, reading.lines) for problem in reading.problems] == [block("text").strip("\n")]


def test_every_command_is_named() -> None:
    from buildlog.cli import WORDS

    assert set(re.findall(r"^\| `buildlog (\w+)", README, re.MULTILINE)) == set(WORDS)
