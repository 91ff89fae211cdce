"""When each component was fitted to the aircraft, with all that it sits in, in entries of the log."""

from __future__ import annotations

from collections.abc import Mapping

from buildlog.basics.frozen import frozen
from buildlog.figures.components import GONE, ComponentState
from buildlog.records.logbook import Logbook

BEFORE = -1
"""The number that stands for the time before the first entry."""
END = 1 << 60
"""The number that stands for the time after the last one."""


@frozen
class Span:
    """Fitted from one entry to another, by their numbers from 0; ``end`` None: still fitted."""

    start: int
    end: int | None

    def within(self, other: Span) -> Span | None:
        """The part of it that lies in another; None where they do not meet."""
        start = max(self.start, other.start)
        ends = [end for end in (self.end, other.end) if end is not None]
        end = min(ends, default=None)
        return Span(start, end) if end is None or start < end else None


WHOLE = Span(BEFORE, None)
"""All the time there was: the airframe's."""


def numbers(logbook: Logbook) -> dict[str, int]:
    """The number of each entry by its address."""
    return {entry.slug: number for number, entry in enumerate(logbook.entries)}


def fitted_spans(states: Mapping[str, ComponentState], numbered: Mapping[str, int]) -> dict[str, tuple[Span, ...]]:
    """The spans in which each component was fitted to the aircraft, itself and what it sat in."""
    own = {key: _own(state, numbered) for key, state in states.items()}
    done: dict[str, tuple[Span, ...]] = {}

    def effective(key: str, above: tuple[str, ...]) -> tuple[Span, ...]:
        if key in done:
            return done[key]
        found: list[Span] = []
        for span, inside in own[key]:
            if inside in own and inside not in above:  # a circle is the reader's problem, not an endless one
                held = (span.within(other) for other in effective(inside, (*above, key)))
                found += [part for part in held if part is not None]
            else:
                found.append(span)
        return done.setdefault(key, tuple(found))

    return {key: effective(key, (key,)) for key in own}


def _own(state: ComponentState, numbered: Mapping[str, int]) -> list[tuple[Span, str]]:
    """Each span in which a component was fitted, with what it was fitted in ('' for the airframe)."""
    spans: list[tuple[Span, str]] = []
    inside = state.record.inside or ""
    since: int | None = BEFORE if state.begins == "fitted" else None
    for event in state.events:
        number, line = numbered[event.entry], event.line
        ends = event.verb in {"installed", "removed", "sent", "received"} or line.state in GONE
        if ends and since is not None:
            spans.append((Span(since, number), inside))
            since = None
        if event.verb == "installed":
            since, inside = number, line.inside or state.record.inside or ""
    return [*spans, (Span(since, None), inside)] if since is not None else spans
