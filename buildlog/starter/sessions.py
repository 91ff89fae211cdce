"""Pictures put into working sessions by the pauses between them, and what can be guessed of the time worked."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from buildlog.basics.frozen import frozen
from buildlog.starter.pictures_found import Found

THROUGH_MIDNIGHT = timedelta(hours=1)
"""Somebody worked through midnight if the pictures before and after it are no further apart than this."""


@frozen
class Session:
    """Pictures and films of one stretch of work, in the order they were taken."""

    pictures: tuple[Found, ...]

    @property
    def first_day(self) -> date:
        """The day it began."""
        return min(found.taken.date() for found in self.pictures)

    @property
    def last_day(self) -> date:
        """The day it ended; another one only where the work went through midnight."""
        return max(found.taken.date() for found in self.pictures)

    @property
    def minutes(self) -> int:
        """Whole minutes from the first picture to the last: a guess of the time worked, and at most that."""
        return int((self.pictures[-1].instant - self.pictures[0].instant).total_seconds() // 60)


def sessions(found: Iterable[Found], gap: timedelta) -> list[Session]:
    """The pictures in order of time, a new session after each pause longer than ``gap`` and where a day ends idle."""
    parts: list[list[Found]] = []
    for picture in sorted(found, key=lambda each: (each.instant, each.path.name, each.path)):
        if not parts or _apart(parts[-1][-1], picture, gap):
            parts.append([])
        parts[-1].append(picture)
    return [Session(tuple(part)) for part in parts]


def _apart(before: Found, after: Found, gap: timedelta) -> bool:
    pause = after.instant - before.instant
    overnight = before.taken.date() != after.taken.date() and pause > THROUGH_MIDNIGHT
    return pause > gap or overnight
