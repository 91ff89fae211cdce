"""Checks of what is told of components."""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.audit.case import Case, note
from buildlog.basics.problems import Problem


def unserviceable_without_fate(case: Case) -> Iterator[Problem]:
    """What became of a component that was called unserviceable is told, or a finding is about it.

    Why: a part that nobody knows the whereabouts of finds its way back onto an aircraft.
    Wrong: {removed: magneto-left, state: unserviceable} and never a word of it after that
    Right: later {sent: magneto-left, to: a shop}, {repaired: magneto-left} or {tagged: magneto-left, state: scrapped}
    """
    about = {state.line.component for state in case.worked.findings}
    for key, state in case.worked.components.items():
        last = state.events[-1].line if state.events else None
        if last is not None and last.state == "unserviceable" and key not in about:
            yield note(
                last.place,
                "unserviceable-without-fate",
                f"{key}: unserviceable ({state.record.name}), and nothing tells what became of it",
                f"write it in the entry where it happens, as in  {{sent: {key}, to: a shop}},  {{repaired: {key}}}\n"
                f"or  {{tagged: {key}, state: scrapped}};  or raise a finding with  component: {key}",
            )


def overhauled_without_paper(case: Case) -> Iterator[Problem]:
    """An overhaul names the paper that says so.

    The time since overhaul counts from it; without a paper it is somebody's word. 14 CFR 43.2(a) says when a record
    may use the word.

    Why: "overhauled" on its own has sold many an engine.
    Wrong: {overhauled: cylinder-3, by: the cylinder shop}
    Right: {overhauled: cylinder-3, by: the cylinder shop, paper: documents/work_order_cylinder.pdf}
    """
    for key, state in case.worked.components.items():
        for event in state.events:
            if event.verb == "overhauled" and not event.line.paper:
                yield note(
                    event.line.place,
                    "overhauled-without-paper",
                    f"{key}: overhauled ({state.record.name}), and no paper is named that says so",
                    f"add  paper: documents/name.pdf ; if there is none and less was done, write  {{repaired: {key}}}",
                )
