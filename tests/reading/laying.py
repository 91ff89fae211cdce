"""Project folders for the reader's tests: written out, read, and every problem held to the house's rules."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

from buildlog.basics.problems import as_text
from buildlog.reading.read import Reading, read_logbook
from tests.casefile import PROJECT

LONGEST_MESSAGE = 400
ENTRY = "---\ntitle: Battery back on the shelf\ndate: 2026-07-04\n---\nIt fits.\n"


def lay(root: Path, files: Mapping[str, str | bytes]) -> Path:
    """The files below ``root``, with a small project.yaml if there is none."""
    for name, content in ({"project.yaml": PROJECT} | dict(files)).items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return root


def held(root: Path) -> Reading:
    """The folder read, and each problem found to have a place in a file, a message, a remedy and a printed form."""
    reading = read_logbook(root)
    for problem in reading.problems:
        place = problem.place
        assert os.path.lexists(root / place.file) or problem.name in {"no-project", "odd-name"}, place
        if place.line:
            lines = (root / place.file).read_bytes().replace(b"\r\n", b"\n").replace(b"\r", b"\n").split(b"\n")
            assert 1 <= place.line <= len(lines), (place, problem)
            if place.column and place.file in reading.lines:
                assert place.column <= len(reading.lines[place.file][place.line - 1]) + 1, (place, problem)
                assert place.end == 0 or place.end > place.column
        assert problem.message, problem
        assert problem.message.isprintable(), problem
        assert len(problem.message) < LONGEST_MESSAGE, problem
        assert problem.remedy, problem
        as_text(problem, reading.lines).encode()
    return reading


def names(reading: Reading) -> list[str]:
    """The names of the problems, in order."""
    return [problem.name for problem in reading.problems]
