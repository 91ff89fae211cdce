"""Findings: those still open by what they hold up, then those that something ended."""

from __future__ import annotations

from buildlog.basics.names import counted
from buildlog.handover.document_binder import Binder
from buildlog.handover.document_nodes import (
    Line,
    Node,
    column,
    heading,
    line,
    linked,
    para,
    part,
    row,
    source,
    still_open,
    tab,
    table,
    under,
)
from buildlog.pages.lines import FindingLine

_OPEN = (column("Key"), column("Found", "3fr"), column("System"), column("Raised", "1.8fr"))
_CLOSED = (
    column("Key"),
    column("Found", "2.4fr"),
    column("Raised", "1.6fr"),
    column("Ended by", "2fr"),
    column("Closed", "1.6fr"),
)


def part_findings(binder: Binder) -> Node | None:
    """All findings, from the entry that raised each to the one that ended it."""
    view = binder.findings
    if not view.number:
        return None
    body = [para(f"{counted(view.number, 'finding')}, {view.number_open} of them open.", kind="lede")]
    for group in view.open:
        body += [heading(2, f"Open: {group.standing}"), *table(_OPEN, [_open(one) for one in group.rows])]
    if view.closed:
        body += [heading(2, "Closed"), *table(_CLOSED, [_closed(one) for one in view.closed])]
    return part("Findings", "findings.html", body)


def _open(one: FindingLine) -> Node:
    return row(still_open(one.key), _found(one), tab(one.tab), source(one.raised), target=f"findings.html#{one.anchor}")


def _found(one: FindingLine) -> Line:
    details = ", ".join(filter(None, (one.limits, one.lasted if one.open else "")))
    about = line("on ", linked(one.component)) if one.component else []
    return line(one.found, under(about), under(details))


def _closed(one: FindingLine) -> Node:
    closed = line(source(one.closed), under(one.lasted))
    return row(one.key, _found(one), source(one.raised), one.by, closed, target=f"findings.html#{one.anchor}")
