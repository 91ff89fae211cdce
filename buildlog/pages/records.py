"""The records page: the aircraft's whole standing on one screen, and below it what is known, by whom, and what is not."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from datetime import date

from buildlog.basics.frozen import frozen
from buildlog.basics.names import counted
from buildlog.figures.conflicts import conflicts
from buildlog.figures.evidence import AIRCRAFT, STANDINGS, Shown
from buildlog.figures.figures import Figures
from buildlog.figures.service import AIRFRAME
from buildlog.pages.directives import directives_told
from buildlog.pages.known import WHOLE, FactRow, Paper, QuestionRow, facts_about, in_words, questions_about
from buildlog.pages.lines import Desk
from buildlog.pages.sheet import Addresses, Link, Sheet
from buildlog.pages.signatures import signatures_path, signatures_told
from buildlog.pages.sources import Source
from buildlog.pages.words import Words
from buildlog.records.history import Fact

PATH = "records.html"
STANDING_WORDS = {
    "documented": "documented",
    "reconstructed": "reconstructed",
    "unknown": "unknown",
    "not-applicable": "not applicable",
}


@frozen
class ShownLine:
    """One thing that a rule asks, of one thing: where it stands and why."""

    asks: str
    cite: str
    note: str
    about: Link
    standing: str
    says: str
    basis: str
    facts: tuple[FactRow, ...]
    papers: tuple[Paper, ...]
    entries: tuple[Source, ...]
    memory: bool
    """Whether the row was written from memory of its rule."""


@frozen
class AskedRow:
    """One row of a table of rules, with a line for each thing it is asked of."""

    anchor: str
    asks: str
    cite: str
    note: str
    memory: bool
    lines: tuple[ShownLine, ...]


@frozen
class TableView:
    """One authority's list."""

    name: str
    authority: str
    of_date: str
    about: str
    rows: tuple[AskedRow, ...]
    counts: tuple[tuple[str, int], ...]


@frozen
class Cell:
    """A square of the table on one screen."""

    standing: str
    path: str


@frozen
class RecordsView:
    """The whole standing."""

    tables: tuple[TableView, ...]
    columns: tuple[Link, ...]
    grid: tuple[tuple[str, str, tuple[Cell | None, ...]], ...]
    facts: tuple[FactRow, ...]
    conflicts: tuple[tuple[FactRow, ...], ...]
    questions: tuple[QuestionRow, ...]
    directives: str
    signatures: str
    signatures_path: str


def record_sheets(worked: Figures, words: Words, at: Addresses) -> Iterator[Sheet]:
    """The records page; without rules to hold the record against, what is known stands alone."""
    desk, book = Desk.of(worked, words, at), worked.logbook
    if not (worked.shown or book.history.facts or book.history.questions):
        return
    every = {*book.components, *WHOLE}
    columns = list(dict.fromkeys(one.subject for one in worked.shown))
    columns.sort(key=lambda key: (key != AIRCRAFT, key != AIRFRAME))
    view = RecordsView(
        tuple(_tables(desk)),
        tuple(subject_link(key, desk) for key in columns),
        tuple(_grid(columns, worked)),
        tuple(fact_rows(desk).values()),
        conflicts_told(desk),
        questions_about(desk.sources, book, at, every),
        directives_told(worked),
        signatures_told(worked) if signatures_path(worked) else "",
        signatures_path(worked),
    )
    told = ", ".join(f"{number} {name}" for name, number in counts(worked.shown) if number)
    yield Sheet(
        PATH,
        "records.html",
        "Records",
        view,
        PATH,
        description=f"What is known of this aircraft and how: {told or 'facts and questions'}.",
        worked_from=counted(len(book.history.facts), "fact"),
        name="records",
        updated=worked.on,
    )


def counts(shown: Iterable[Shown]) -> tuple[tuple[str, int], ...]:
    """How many things stand where, in the order of certainty."""
    found = [one.standing for one in shown]
    return tuple((STANDING_WORDS[name], found.count(name)) for name in STANDINGS)


def shown_lines(keys: Iterable[str], desk: Desk) -> tuple[ShownLine, ...]:
    """What rules ask of some things, for the sheets of systems and components."""
    wanted, known = set(keys), fact_rows(desk)
    return tuple(_line(one, known, desk) for one in desk.worked.shown if one.subject in wanted)


def fact_rows(desk: Desk) -> dict[Fact, FactRow]:
    """Each fact of the history as it is listed."""
    every = {*desk.worked.logbook.components, *WHOLE}
    rows = facts_about(desk.worked, desk.words, desk.at, desk.papers, every)
    return dict(zip(desk.worked.logbook.history.facts, rows, strict=True))


def _line(one: Shown, known: Mapping[Fact, FactRow], desk: Desk) -> ShownLine:
    """One thing asked, with the papers that show it."""
    found = one.found
    papers = desk.papers.of(file for fact in found.facts for file in fact.evidence)
    entries = [entry for slug in found.entries if (entry := desk.sources.entry(slug)) is not None]
    return ShownLine(
        one.row.asks,
        one.row.cite,
        one.row.note or "",
        subject_link(one.subject, desk),
        STANDING_WORDS[one.standing],
        _dated(found.says, desk.words),
        found.basis if found.basis and found.basis != one.standing else "",
        tuple(row for fact, row in known.items() if fact in found.facts),
        papers,
        tuple(desk.sources.whole(entry) for entry in entries),
        one.row.source_seen == "memory",
    )


def _dated(says: str, words: Words) -> str:
    """A sentence with its days as this project and audience write them."""

    def written(found: re.Match[str]) -> str:
        try:
            return words.day(date.fromisoformat(found[0]))
        except ValueError:  # a builder's own words, which only look like a day
            return found[0]

    return re.sub(r"\b\d{4}-\d\d-\d\d\b", written, says)


def subject_link(key: str, desk: Desk) -> Link:
    """What a row is asked of."""
    if key in {AIRCRAFT, AIRFRAME}:
        return Link(key.capitalize(), "")
    part = desk.worked.logbook.components[key]
    return Link(part.name, desk.at.component(key))


def conflicts_told(desk: Desk) -> tuple[tuple[FactRow, ...], ...]:
    """Facts that cannot both be true, side by side; both stay."""
    rows = fact_rows(desk)
    return tuple((rows[one], rows[other]) for one, other in conflicts(rows))


def _tables(desk: Desk) -> Iterator[TableView]:
    known = fact_rows(desk)
    for table in desk.worked.logbook.requirements:
        mine = [one for one in desk.worked.shown if one.table.key == table.key]
        rows = []
        for row in table.rows:
            lines = tuple(_line(one, known, desk) for one in mine if one.row.key == row.key)
            seen = row.source_seen == "memory"
            rows.append(AskedRow(_anchor(table.key, row.key), row.asks, row.cite, row.note or "", seen, lines))
        yield TableView(table.name, table.authority, table.of_date, table.about, tuple(rows), counts(mine))


def _grid(columns: list[str], worked: Figures) -> Iterator[tuple[str, str, tuple[Cell | None, ...]]]:
    for table in worked.logbook.requirements:
        for row in table.rows:
            path = f"#{_anchor(table.key, row.key)}"
            of = {
                one.subject: Cell(STANDING_WORDS[one.standing], path)
                for one in worked.shown
                if one.table.key == table.key and one.row.key == row.key
            }
            yield in_words(row.key.replace("-", "_")), path, tuple(of.get(key) for key in columns)


def _anchor(table: str, row: str) -> str:
    return f"{table}-{row}"
