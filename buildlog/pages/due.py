"""What falls due, by how pressing it is: on its page, in the terminal, in the record of figures and as calendar events."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from datetime import date
from decimal import Decimal
from typing import Any

from buildlog.basics.bounds import Bounds
from buildlog.basics.frozen import frozen
from buildlog.basics.names import counted
from buildlog.figures.due import DueItem
from buildlog.figures.due_dates import NOT_FITTED, SOON_DAYS, SOON_HOURS, STATES
from buildlog.figures.figures import Figures
from buildlog.pages.known import hazy_words
from buildlog.pages.lines import Desk
from buildlog.pages.sheet import Addresses, Link, Sheet
from buildlog.pages.sources import Source
from buildlog.pages.words import Words

PATH = "due.html"
CALENDAR = "due.ics"
STATE_WORDS = dict(zip(STATES, ("Overdue", "Due soon", "Later", "Never done", "Not known", "Not fitted"), strict=True))
"""Where something stands, as readers are told it."""
KIND_WORDS = {"check": "", "life": "life limit", "directive": "directive or bulletin", "finding": "deferred finding"}


@frozen
class DueRow:
    """Something that falls due. ``due`` and ``left`` are '' where no day or no hours count or nobody knows them."""

    name: Link
    kind: str
    due: str
    left: str
    last: str
    done: Source | None
    every: str
    basis: str
    source: str
    notes: tuple[str, ...]


@frozen
class DueGroup:
    """All that stand alike; ``pressing`` for what wants somebody's attention."""

    state: str
    pressing: bool
    rows: tuple[DueRow, ...]


@frozen
class DueView:
    """The page of what falls due."""

    groups: tuple[DueGroup, ...]
    summary: str
    on: str
    read: str
    """The day of the meter's last reading; '' where it was never read."""
    calendar: str
    """The calendar beside the page; '' where there is none."""
    soon: str


@frozen
class DueEvent:
    """A day for somebody's calendar."""

    key: str
    day: date
    summary: str
    description: str


def due_sheets(worked: Figures, words: Words, at: Addresses) -> Iterator[Sheet]:
    """The page of what falls due, if anything does."""
    if not worked.due or worked.on is None:
        return
    desk, read = Desk.of(worked, words, at), worked.times.clock.last
    view = DueView(
        due_groups(worked.due, desk),
        due_told(worked),
        words.day(worked.on),
        words.day(read.day) if read else "",
        CALENDAR if due_events(worked, words) else "",
        f"{SOON_DAYS} days or {SOON_HOURS} h",
    )
    yield Sheet(
        PATH,
        PATH,
        "Falling due",
        view,
        PATH,
        description=f"What falls due as of {view.on}. {view.summary}",
        worked_from=counted(len(worked.due), "item"),
        name="due",
        updated=worked.on,
    )


def due_groups(items: Iterable[DueItem], desk: Desk) -> tuple[DueGroup, ...]:
    """Some of what falls due, by how pressing it is."""
    listed = tuple(items)
    return tuple(
        DueGroup(STATE_WORDS[state], state not in {"due", NOT_FITTED}, rows)
        for state in STATES
        if (rows := tuple(_row(item, desk) for item in listed if item.state == state))
    )


def due_told(worked: Figures) -> str:
    """How many stand where, in a sentence."""
    counts = Counter(item.state for item in worked.due)
    told = ", ".join(f"{counts[state]} {STATE_WORDS[state].lower()}" for state in STATES if counts[state])
    return f"{told[:1].upper()}{told[1:]}." if told else "Nothing is written down."


def due_lines(worked: Figures, words: Words) -> list[str]:
    """What falls due, for the terminal."""
    lines = [f"Falling due: {due_told(worked)}"]
    for item in worked.due:
        parts = [
            STATE_WORDS[item.state].lower(),
            *filter(None, (_due_words(item, words), hours_words(item.left, words))),
        ]
        lines.append(f"  {item.key}  {', '.join(parts)}: {item.name}")
    return lines


def due_record(worked: Figures) -> list[dict[str, Any]]:
    """What falls due, for the record of figures; ``hours_left`` is null where no hours count or nobody knows them."""
    return [
        {
            "kind": item.kind,
            "key": item.key,
            "due": item.due.isoformat() if item.due else None,
            "state": item.state,
            "hours_left": {"at_least": _said(item.left.low), "at_most": _said(item.left.high)}
            if item.left.known
            else None,
            "last": item.last.text if item.last else None,
            "reason": item.reason or None,
        }
        for item in worked.due
    ]


def due_events(worked: Figures, words: Words) -> list[DueEvent]:
    """Every day on which something fitted falls due; none where this audience may not see days."""
    if not words.exact_dates:
        return []
    return [
        DueEvent(
            f"{item.kind} {item.key}",
            item.due,
            f"Due: {item.name}",
            "; ".join(filter(None, (KIND_WORDS[item.kind], f"every {item.every}" * bool(item.every), item.source))),
        )
        for item in worked.due
        if item.due is not None and item.state != NOT_FITTED
    ]


def hours_words(left: Bounds, words: Words) -> str:
    """Hours left as far as they are known: ``12.3 h left``, ``at most 4.0 h left``, ``2.0 h over``; '' for nothing."""
    low, high = left.low, left.high
    if low is not None and high is not None:
        if low == high:
            return _left(low, words)
        if (low < 0) == (high < 0):
            ends = sorted((abs(low), abs(high)))
            return f"between {_hours(ends[0], words)} and {_left(ends[1] if low >= 0 else -ends[1], words)}"
        return f"between {_left(low, words)} and {_left(high, words)}"
    if high is not None:
        return f"at {'most' if high >= 0 else 'least'} {_left(high, words)}"
    return f"at {'least' if low >= 0 else 'most'} {_left(low, words)}" if low is not None else ""


def _left(hours: Decimal, words: Words) -> str:
    return f"{_hours(abs(hours), words)} {'over' if hours < 0 else 'left'}"


def _hours(hours: Decimal, words: Words) -> str:
    """To the tenth of meters, or as exactly as it was read."""
    return f"{words.number(hours, max(1, -int(hours.normalize().as_tuple().exponent)))}\u00a0h"


def _said(hours: Decimal | None) -> str | None:
    return None if hours is None else str(hours)


def _due_words(item: DueItem, words: Words) -> str:
    return words.brief_day(item.due) if item.due else ""


def _row(item: DueItem, desk: Desk) -> DueRow:
    words, at = desk.words, desk.at
    path = at.component(item.about) if item.about else at.system(item.system)
    done = desk.sources.of(item.last_entry, _day(item)) if item.last_entry else None
    booked = f"booked for {words.day(item.appointment)}" if item.appointment else ""
    return DueRow(
        Link(item.name, path),
        KIND_WORDS[item.kind],
        _due_words(item, words),
        hours_words(item.left, words),
        hazy_words(item.last, words) if item.last and not done else "",
        done,
        item.every,
        item.basis,
        item.source,
        tuple(filter(None, (item.reason, booked, item.note))),
    )


def _day(item: DueItem) -> date:
    """The day of an item that an entry did, which is exact."""
    return (item.last.latest if item.last else None) or date.min
