"""The draft of an entry for one working session: its pictures and films in order, and what is only guessed as comments."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

from buildlog.basics.names import counted
from buildlog.records.entry import TO_BE_WRITTEN
from buildlog.starter.pictures_found import Found
from buildlog.starter.sessions import Session

_TEXT = """\
---
# A draft, seen by nobody but you. When it is written, take out the line  audience: private .
title: {title}
{day}
audience: private
{hours}
{photos}---

<!-- What was done? Write it here; a picture or film stands where you write  ![what it shows](its file) . -->
"""

Copied = Sequence[tuple[Found, str]]
"""Pictures and films with the paths they have in the project."""


def draft(session: Session, copied: Copied) -> str:
    """The text of the draft."""
    films = sum(found.film for found, _ in copied)
    first, last = session.first_day, session.last_day
    return _TEXT.format(
        title=json.dumps(f"{TO_BE_WRITTEN} {_what(len(copied) - films, films)} of {first}"),
        day=f"date: {first}" if first == last else f"dates: {first}/{last}",
        hours=guess(session),
        photos="photos:\n" + "".join(map(_photo, copied)),
    )


def _what(pictures: int, films: int) -> str:
    said = [counted(pictures, "picture")] if pictures or not films else []
    return " and ".join(said + ([counted(films, "film")] if films else []))


def guess(session: Session) -> str:
    """The hours guessed, as a comment: they count only once the builder takes the # off."""
    first, last = session.pictures[0], session.pictures[-1]
    if session.minutes == 0:
        return "# hours: 1:00   # no guess: the pictures are of one moment; write what it was, and take the first # off"
    clocks = sorted({first.clock, last.clock})
    return (
        f"# hours: {session.minutes // 60}:{session.minutes % 60:02d}   # a guess, not counted: from the first picture "
        f"({_time(first.taken)}) to the last ({_time(last.taken)}), by {' and '.join(clocks)}\n"
        "#   if it is right, take the first # off; if not, write what it was"
    )


def _photo(pair: tuple[Found, str]) -> str:
    found, name = pair
    return (
        f"  - file: {name}   # {_time(found.taken)}, by {found.clock}\n"
        "    # alt: What it shows\n"
        '    # caption: "A line under it"\n'
    )


def _time(taken: datetime) -> str:
    """Day, hour and minute as the clock showed them, with the offset where the picture gives it."""
    return taken.isoformat(" ", "minutes")


def begin_draft(root: Path, session: Session, copied: Copied, taken: set[str], *, by_year: bool) -> str:
    """Write the draft under a name that no entry has; its path from the project's folder."""
    folder = f"log/{session.first_day.year}" if by_year else "log"
    (root / folder).mkdir(parents=True, exist_ok=True)
    name = numbered = f"{session.first_day}-pictures"
    number = 2
    while numbered in taken or (root / folder / f"{numbered}.md").exists():
        numbered, number = f"{name}-{number}", number + 1
    taken.add(numbered)
    file = f"{folder}/{numbered}.md"
    text = draft(session, copied)
    with (root / file).open("x", encoding="utf-8", newline="\n") as stream:
        stream.write(text)
    return file


def plain_name(name: str) -> str:
    """A file's name with nothing in it that YAML, Markdown or another system would stumble over."""
    stem, dot, ending = name.rpartition(".")
    return (re.sub(r"[^A-Za-z0-9_-]+", "-", stem).strip("-") or "picture")[:80] + dot + ending
