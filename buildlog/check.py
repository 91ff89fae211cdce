"""The first half of every job: a folder read, worked out and checked."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from buildlog.audit.run import audit
from buildlog.basics.problems import Problem, in_order
from buildlog.figures.figures import Figures, figures
from buildlog.reading.read import Reading, read_logbook


def check(root: Path, on: date | None = None, audience: str = "public") -> tuple[Reading, Figures, list[Problem]]:
    """The logbook of a folder, all its figures as of a day, and every problem in order."""
    reading = read_logbook(root)
    worked, impossible = figures(reading.logbook, on)
    problems = [*reading.problems, *impossible, *audit(worked, audience)]
    return reading, worked, in_order(problems)
