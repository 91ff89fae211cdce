"""Whether what a life-limited part has used of its life is shown."""

from __future__ import annotations

from buildlog.figures.components import ComponentState
from buildlog.figures.service import Hours, ServiceTime


def life_shown(state: ComponentState, times: ServiceTime) -> tuple[str, str, str]:
    """Standing, sentence and basis; the life used is never inferred, so it is documented or unknown."""
    life = state.record.life
    if life is None:
        return "not-applicable", "No life limit is written for it", ""
    hours = {"new": times.new, "overhaul": times.overhaul, "fitted": times.fitted}[life.since]
    if life.hours is not None and not _sure(hours):
        return "unknown", f"Limit {life.hours} h; used: {hours.bounds}", hours.basis
    begun = _begun(state)
    if life.months is not None and not begun:
        start = "when it was made" if life.since == "new" else f"when its life began ({life.since})"
        return "unknown", f"Limit {life.months} months; {start} is not written", "unknown"
    said = [f"{hours.bounds} used of {life.hours} h"] if life.hours is not None else []
    said += [f"{life.months} months, counted from {begun}"] if life.months is not None else []
    source = f" ({life.source})" if life.source else ""
    return "documented", f"{'; '.join(said)}{source}", "measured" if life.hours is not None else "marking"


def _sure(hours: Hours) -> bool:
    return hours.bounds.exact and hours.basis in {"measured", "document", "marking"}


def _begun(state: ComponentState) -> str:
    """The day from which its months count, as it is written; '' where it is not."""
    life = state.record.life
    if life is None or life.since == "new":
        first = state.record.made.earliest if state.record.made else None
        return first.isoformat() if first else ""  # an uncertain day counts from the first that it can mean
    verb = {"overhaul": "overhauled", "fitted": "installed"}[life.since]
    days = [event.day.isoformat() for event in state.events if event.verb == verb]
    return days[-1] if days else ""
