"""The requirement table: what rules ask of an aircraft's records, and where this record stands on each."""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.handover.document_binder import Binder
from buildlog.handover.document_nodes import (
    Line,
    Node,
    column,
    group,
    heading,
    line,
    linked,
    para,
    part,
    row,
    still_open,
    strong,
    table,
    to,
    under,
)
from buildlog.handover.part_records import fact_table
from buildlog.pages.records import AskedRow, ShownLine, TableView

_COLUMNS = (column("Of what", "1fr"), column("Where it stands", "1fr"), column("What the record shows", "3fr"))


def part_requirements(binder: Binder) -> Node | None:
    """Every table of rules that the project is held against."""
    view = binder.records
    if view is None or not view.tables:
        return None
    words = "What rules ask, and what this record shows of it. It says where something stands, not that a rule is met."
    body = [para(words, kind="lede")]
    if view.conflicts:
        body.append(heading(2, "What cannot all be true"))
        body += [node for pair in view.conflicts for node in fact_table(list(pair), binder)]
        words = "Both stay on record until something settles it; figures are as wide as what is said."
        body.append(para(words, kind="note"))
    return part(
        "What rules ask of the records", "records.html", [*body, *(n for t in view.tables for n in _table(t, binder))]
    )


def _table(one: TableView, binder: Binder) -> list[Node]:
    counts = binder.desk.words.listed(f"{number} {name}" for name, number in one.counts if number)
    rows = [made for asked in one.rows for made in _rows(asked, binder)]
    about = f"As of {one.of_date}. {one.about}".strip() if one.of_date else one.about
    return [heading(2, one.name), para(about, kind="note"), para(counts, kind="facts"), *table(_COLUMNS, rows)]


def _rows(asked: AskedRow, binder: Binder) -> Iterator[Node]:
    memory = " Written from memory of the rule." if asked.memory else ""
    yield group(line(strong(asked.asks), under(" ".join(filter(None, (asked.cite, f"{asked.note}{memory}".strip()))))))
    for one in asked.lines:
        yield row(linked(one.about), one.standing, _shows(one, binder))


def _shows(one: ShownLine, binder: Binder) -> Line:
    """What the record says, with the papers and entries it says it by."""
    named: Line = []
    for paper in one.papers:
        named += line("; " if named else "", to(paper.words, binder.paper(paper.file)))
    for entry in one.entries:
        named += line("; " if named else "", to(entry.title, entry.path))
    said = ", ".join(filter(None, (one.says, one.basis)))
    return line(said, under(named)) if said else line(named) or line(still_open("nothing"))
