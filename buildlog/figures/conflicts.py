"""Facts of the history that cannot both be true: both are kept, and shown side by side."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from itertools import combinations

from buildlog.basics.problems import Misread
from buildlog.basics.quantities import Length, Volume, Weight
from buildlog.figures.service import AIRFRAME, HOURS_FACTS, SINCE_NEW, contradict, hours_of
from buildlog.records.history import Fact


def conflicts(facts: Iterable[Fact]) -> tuple[tuple[Fact, Fact], ...]:
    """The pairs that contradict one another, in the order they are written.

    Compared are hours (which only grow), the day of the last flight, and amounts or single words of one date.
    """
    groups: dict[tuple[str, str], list[Fact]] = {}
    for fact in facts:
        if fact.basis != "unknown":
            groups.setdefault(subject_of(fact), []).append(fact)
    return tuple(pair for group in groups.values() for pair in combinations(group, 2) if _conflict(*pair))


def subject_of(fact: Fact) -> tuple[str, str]:
    """What a fact is about; hours of the aircraft are the airframe's, and both words for hours since new mean the same."""
    hours = fact.quantity in HOURS_FACTS
    about = AIRFRAME if hours and fact.about == "aircraft" else fact.about
    return about, SINCE_NEW[0] if fact.quantity in SINCE_NEW else fact.quantity


def _conflict(one: Fact, other: Fact) -> bool:
    """Whether two facts on one subject cannot both be true."""
    if one.quantity in HOURS_FACTS:
        together = hours_of(one).meet(hours_of(other)).possible
        return contradict(one, other) or (one.on is not None and one.on == other.on and not together)
    if one.quantity == "last_flight":
        return _apart(one, other) or _apart(other, one)
    values = [_value(fact) for fact in (one, other)]
    return one.on == other.on and None not in values and values[0] != values[1]


def _apart(one: Fact, other: Fact) -> bool:
    """Whether the day of one fact is surely before that of the other."""
    last, first = one.on.latest if one.on else None, other.on.earliest if other.on else None
    return last is not None and first is not None and last < first


def _value(fact: Fact) -> tuple[str, Fraction] | str | None:
    """A value that can be compared: an amount, or a single word; else None."""
    if fact.value is None:
        return None
    for kind in (Weight, Length, Volume):
        try:
            return kind.kind, kind.read(fact.value).base
        except Misread:
            continue
    words = fact.value.split()
    return words[0].casefold() if len(words) == 1 else None
