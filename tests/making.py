"""Small project folders for tests, written out and read back by the program's own reader."""

from __future__ import annotations

from pathlib import Path

from buildlog.basics.problems import Problem, as_text
from buildlog.figures.figures import Figures, figures
from buildlog.reading.read import Reading, read_logbook

PROJECT = """\
title: A test aircraft
aircraft: {type: Test type, mark: N0000T, serial: "SER-0001"}
people:
  owner: {name: Ann Sample, role: owner}
  mechanic: {name: Bob Example, role: mechanic, certificate: {kind: mechanic, number: "998877"}}
audiences:
  public: {costs: full}
"""


def entry(facts: str, text: str = "Words.\n") -> str:
    """An entry's file."""
    return f"---\n{facts.strip()}\n---\n{text}"


def write(root: Path, files: dict[str, str | bytes]) -> Path:
    """The files written below ``root``, with a project.yaml if none is given."""
    for name, content in ({"project.yaml": PROJECT} | files).items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return root


def read(root: Path, files: dict[str, str | bytes]) -> Reading:
    """A project read, which must have no error."""
    reading = read_logbook(write(root, files))
    errors = [problem for problem in reading.problems if problem.severity == "error"]
    assert not errors, told(reading, errors)
    return reading


def worked(root: Path, files: dict[str, str | bytes]) -> Figures:
    """A project's figures, which must be possible."""
    found, impossible = figures(read(root, files).logbook)
    assert not impossible, impossible
    return found


def told(reading: Reading, problems: list[Problem]) -> str:
    """Problems as they would be printed."""
    return "\n".join(as_text(problem, reading.lines) for problem in problems)
