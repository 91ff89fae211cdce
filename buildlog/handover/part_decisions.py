"""Decisions: what was weighed against what, the way taken, and why."""

from __future__ import annotations

from buildlog.handover.document_binder import Binder
from buildlog.handover.document_nodes import (
    Node,
    Said,
    column,
    heading,
    line,
    of_file,
    para,
    part,
    points,
    row,
    source,
    still_open,
    strong,
    tab,
    table,
    terms,
    under,
)
from buildlog.pages.decisions import DecisionView, OptionView


def part_decisions(binder: Binder) -> Node | None:
    """Every decision with its options side by side and its reasons."""
    view = binder.decisions
    files = {binder.desk.at.file(decision.file): decision.file for decision in binder.desk.worked.logbook.decisions}
    body = [
        node
        for one in (*view.open, *view.taken)
        for node in of_file(files[one.path], _one(binder.decision(one.path), binder))
    ]
    return part("Decisions", "decisions.html", body)


def _one(view: DecisionView, binder: Binder) -> list[Node]:
    found = view.row
    pairs: list[tuple[str, Said]] = [
        ("Taken", strong(found.chosen) if found.chosen else still_open("not decided yet")),
        ("Decided", found.decided),
        ("System", tab(found.tab)),
        ("Told in", line(*(part for one in view.entries for part in (source(one),)))),
    ]
    return [
        heading(2, found.question, found.path),
        *terms(pairs),
        *_options(view),
        *_arguments(view.options),
        *binder.text(view.prose, 3, found.question),
    ]


def _options(view: DecisionView) -> list[Node]:
    columns = (
        column("Option", "2.2fr"),
        column("Cost", right=True),
        column("Hours", right=True),
        column("Weight", right=True),
        column(f"Empty, {view.weight_unit}", right=True),
        column(f"CG, {view.arm_unit}", right=True),
        column("Least margin", "1.8fr"),
    )
    return table(columns, [_option(option) for option in view.options])


def _option(option: OptionView) -> Node:
    name = line(strong(option.name), under("the way taken")) if option.chosen else line(option.name)
    margin = line(strong(option.margin) if option.outside else option.margin, under(option.case))
    cost = line(option.cost, *(under(f"and {apart}") for apart in option.apart))
    empty = option.empty.rpartition("\u00a0")[0]
    return row(name, cost, option.hours, option.weight, empty, option.arm.rpartition("\u00a0")[0], margin)


def _arguments(options: tuple[OptionView, ...]) -> list[Node]:
    """What speaks for and against each option; nothing where nothing was written."""
    made: list[Node] = []
    for option in options:
        said = [f"For: {words}" for words in option.speaks_for] + [f"Against: {words}" for words in option.against]
        if said:
            made += [para(strong(option.name), kind="facts", sticky=True), *points(said)]
    return made
