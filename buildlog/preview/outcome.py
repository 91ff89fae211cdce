"""What came of one build of the site, as the preview needs to know it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import field

from buildlog.basics.frozen import frozen
from buildlog.basics.problems import Problem, Severity

Progress = Callable[[int, int], None]
"""Told how far a build has come; it raises `StoppedError` when the preview is ending."""


class StoppedError(Exception):
    """The preview is ending, so the build that is under way is of no use to anybody."""


@frozen
class Outcome:
    """One build: its problems with the lines they stand in, and the names of the site's files by what became of them.

    ``made`` says whether the site is now that of the folder; ``failure`` is the last word of a fault in the program.
    """

    problems: tuple[Problem, ...] = ()
    lines: Mapping[str, list[str]] = field(default_factory=dict)
    written: tuple[str, ...] = ()
    removed: tuple[str, ...] = ()
    unchanged: tuple[str, ...] = ()
    made: bool = True
    failure: str = ""

    def count(self, severity: Severity) -> int:
        """How many problems there are of a weight."""
        return sum(problem.severity is severity for problem in self.problems)

    @property
    def good(self) -> bool:
        """Whether the site was made."""
        return self.made and not self.failure


Glimpse = Callable[[str], bool]
"""Makes one page of the site ahead of a build, by its name; whether it is another than before."""
Build = Callable[[Progress, Callable[[], None]], Outcome]
"""Builds the site once; the second thing it is given is called often, and breaks the build off by `StoppedError`.

Whatever else it raises is a fault of the program, which the preview survives.
"""
