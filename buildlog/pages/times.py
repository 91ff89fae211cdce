"""Times in service in words: exactly, at least, at most, between; and how each is known."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from buildlog.basics.bounds import Bounds
from buildlog.basics.frozen import frozen
from buildlog.figures.figures import Figures
from buildlog.figures.service import Hours
from buildlog.pages.words import Words


@frozen
class TimeLine:
    """A time in service: what it counts from, the hours, and how they are known."""

    since: str
    hours: str
    basis: str
    conflict: bool


def hours_words(bounds: Bounds, words: Words) -> str:
    """Hours as far as they are known."""
    low = f"{words.number(bounds.low, 1)} h" if bounds.low is not None else ""
    high = f"{words.number(bounds.high, 1)} h" if bounds.high is not None else ""
    if bounds.exact:
        return low
    if low and high:
        return f"between {low} and {high}"
    return f"at least {low}" if low else f"at most {high}" if high else "unknown"


def time_lines(key: str, worked: Figures, words: Words) -> Iterator[TimeLine]:
    """A component's times (or the airframe's); of what is not known only that it is not."""
    times = worked.times.of.get(key)
    if times is None or not worked.times.clock.readings:
        return
    named = (("since new", times.new), ("since overhaul", times.overhaul), ("since fitted in this log", times.fitted))
    for since, hours in named:
        if hours.bounds.known or since == "since new":
            yield TimeLine(since, hours_words(hours.bounds, words), hours.basis, hours.conflict)


def hours_record(hours: Hours) -> dict[str, Any] | None:
    """Hours for the JSON; null where nothing is known."""
    bounds = hours.bounds
    if not bounds.known:
        return None
    if bounds.exact:
        return {"exactly": str(bounds.low), "basis": hours.basis}
    said = {"at_least": bounds.low, "at_most": bounds.high}
    return {**{name: str(value) for name, value in said.items() if value is not None}, "basis": hours.basis}


def times_record(key: str, worked: Figures) -> dict[str, Any]:
    """The times of a component, or of the airframe, by the names that JSON gives them."""
    times = worked.times.of[key]
    named = {
        "time_since_new": times.new,
        "time_since_overhaul": times.overhaul,
        "time_since_fitted": times.fitted,
    }
    return {name: hours_record(hours) for name, hours in named.items()}
