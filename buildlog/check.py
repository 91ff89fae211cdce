"""The first half of every job: a folder read, worked out and checked."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

from buildlog.audit.run import audit
from buildlog.basics.problems import Problem, in_order
from buildlog.figures.figures import Figures, figures
from buildlog.reading.memory import Memory
from buildlog.reading.read import Reading, read_logbook
from buildlog.reading.survey import survey
from buildlog.records.pictures import pictures_of
from buildlog.site.prose import laid_out


def check(
    root: Path,
    on: date | None = None,
    audience: str = "public",
    *,
    pictures: bool = False,
    texts: Memory | None = None,
    between: Callable[[], None] = lambda: None,
) -> tuple[Reading, Figures, list[Problem]]:
    """The logbook of a folder, all its figures as of a day, and every problem in order.

    With ``pictures`` the files of the pictures are looked into as well, which takes longer; ``texts`` is what was read
    the last time, and is told what is read now; ``between`` is called many times and may break it off.
    """
    reading = read_logbook(root, texts, laid_out if texts is not None else None)
    between()
    worked, impossible = figures(reading.logbook, on)
    seen = survey(root, pictures_of(worked.logbook)) if pictures else None
    problems = [*reading.problems, *impossible, *audit(worked, audience, seen, between)]
    return reading, worked, in_order(problems)
