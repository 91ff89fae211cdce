"""What a check is given, and how it tells what it found."""

from __future__ import annotations

from dataclasses import field

from buildlog.basics.frozen import frozen
from buildlog.basics.problems import Place, Problem, Severity
from buildlog.figures.figures import Figures
from buildlog.records.pictures import Survey


@frozen
class Case:
    """The figures of the whole record, and the audience whose site is to be made of it."""

    worked: Figures
    audience: str
    pictures: Survey = field(default_factory=Survey)
    """What the files of the pictures hold; nothing where nobody looked."""


def warn(place: Place, name: str, message: str, remedy: str) -> Problem:
    """A warning: publishing goes on."""
    return Problem(place, name, message, remedy, Severity.WARNING)


def note(place: Place, name: str, message: str, remedy: str) -> Problem:
    """A note: something the record would be better for."""
    return Problem(place, name, message, remedy, Severity.NOTE)
