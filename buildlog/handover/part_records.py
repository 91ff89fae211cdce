"""What is known of the aircraft from before the log and how, and what is not known."""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.handover.document_binder import Binder
from buildlog.handover.document_nodes import (
    Line,
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
    to,
    under,
)
from buildlog.pages.known import WHOLE, FactRow, QuestionRow, facts_about, questions_about

_KNOWN = (
    column("Of what, and what", "1.5fr"),
    column("As known", "2.2fr"),
    column("When", "1fr"),
    column("How"),
    column("Who or what says so", "3fr"),
)
_NOT_KNOWN = (
    column("Key"),
    column("Of what", "1fr"),
    column("Question", "2.4fr"),
    column("What would settle it", "2fr"),
)
_ANSWERED = (column("Key"), column("Of what", "1fr"), column("Question", "2.4fr"), column("Answered by", "1.6fr"))


def part_records(binder: Binder) -> Node | None:
    """The facts and the questions of history.yaml."""
    desk = binder.desk
    about = {*WHOLE, *desk.worked.logbook.components}
    facts = facts_about(desk.worked, desk.words, desk.at, desk.papers, about)
    asked = questions_about(desk.sources, desk.worked.logbook, desk.at, about)
    known = [fact for fact in facts if fact.basis != "unknown"]
    unknown = [fact for fact in facts if fact.basis == "unknown"]
    body = [
        *_section("Known, and how", fact_table(known, binder)),
        *_section("Not known", [*fact_table(unknown, binder), *_questions(asked)]),
        *_section("Asked and answered", table(_ANSWERED, [_answered(one) for one in asked if one.answered])),
    ]
    if body:
        body.insert(
            0, para("What papers, markings, measurements and people say of the time before this log.", kind="lede")
        )
    return part("What is known of the aircraft", "records", of_file("history.yaml", body))


def _section(title: str, body: list[Node]) -> list[Node]:
    return [heading(2, title), *body] if body else []


def fact_table(facts: list[FactRow], binder: Binder) -> list[Node]:
    """Facts as a table, each with how it is known."""
    return table(_KNOWN, [row(*_cells(fact, binder)) for fact in facts])


def _cells(fact: FactRow, binder: Binder) -> Iterator[Line]:
    yield line(
        strong(_upper(fact.about.words)) if not fact.about.path else [strong(linked(fact.about))], under(fact.what)
    )
    yield line(fact.value)
    yield line(fact.when)
    yield line(fact.basis)
    papers: Line = []
    for paper in fact.papers:
        papers += [*line("; " if papers else ""), *to(paper.words, binder.paper(paper.file))]
    yield line(fact.says, under(papers))


def _upper(words: str) -> str:
    return words[:1].upper() + words[1:]


def _questions(asked: tuple[QuestionRow, ...]) -> list[Node]:
    rows = [
        row(still_open(one.key), linked(one.about), one.ask, one.would_settle, target=f"question {one.key}")
        for one in asked
        if not one.answered
    ]
    return table(_NOT_KNOWN, rows)


def _answered(one: QuestionRow) -> Node:
    return row(one.key, linked(one.about), one.ask, source(one.answered))
