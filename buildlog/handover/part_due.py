"""Directives and bulletins considered, and what falls due."""

from __future__ import annotations

from buildlog.handover.document_binder import Binder
from buildlog.handover.document_nodes import (
    Node,
    column,
    heading,
    line,
    linked,
    of_file,
    para,
    part,
    row,
    source,
    still_open,
    strong,
    table,
    under,
)
from buildlog.pages.directives import DirectiveLine
from buildlog.pages.due import DueRow

_DIRECTIVES = (
    column("Number, and title", "2fr"),
    column("About", "1fr"),
    column("State", "1fr"),
    column("How, or why not", "2.4fr"),
)
_DUE = (
    column("What", "1.8fr"),
    column("Due", "1fr"),
    column("Left", "1fr"),
    column("Last done", "1.6fr"),
    column("Every, and by what", "1.8fr"),
)


def part_directives(binder: Binder) -> Node | None:
    """Directives first, then bulletins."""
    view = binder.directives
    if view is None:
        return None
    body = [para(f"{view.summary} The list may be incomplete; ask the authority and the makers.", kind="lede")]
    for title, lines in (("Directives", view.directives), ("Bulletins", view.bulletins)):
        made = table(_DIRECTIVES, [_directive(one) for one in lines])
        body += [heading(2, title), *made] if made else []
    return part("Directives and bulletins", "directives.html", of_file("directives.yaml", body))


def _directive(one: DirectiveLine) -> Node:
    state = line(still_open(one.state)) if one.wants else line(one.state)
    how = line(one.method or one.because or one.status)
    more = ", ".join(filter(None, (one.every, one.status if one.method or one.because else "", one.missing)))
    name = line(strong(one.number), under(one.title))
    return row(name, linked(one.about), state, line(how, under(more)), target=f"directives.html#{one.anchor}")


def part_due(binder: Binder) -> Node | None:
    """What falls due, the most pressing first."""
    view = binder.due
    if view is None:
        return None
    read = f"; hours by the meter as last read on {view.read}" if view.read else ""
    words = f"As of {view.on}{read}. {view.summary} Days are computed as an aid: verify each before relying on it."
    body = [para(words, kind="lede")]
    for group in view.groups:
        body += [heading(2, group.state), *table(_DUE, [_due(one, pressing=group.pressing) for one in group.rows])]
    return part("Falling due", "due.html", body)


def _due(one: DueRow, *, pressing: bool) -> Node:
    name = line(still_open(linked(one.name))) if pressing else linked(one.name)
    last = line(one.last, under(source(one.done, day=False))) if one.last else source(one.done)
    basis, notes = ", ".join(filter(None, (one.basis, one.source))), under("; ".join(one.notes))
    every = line(one.every, under(basis), notes) if one.every else line(basis, notes)
    return row(line(name, under(one.kind)), one.due, one.left, last, every)
