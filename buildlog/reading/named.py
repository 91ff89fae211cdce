"""Every key by which one record names another, and where it is written."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import field
from functools import cache
from typing import Any

from buildlog.basics.frozen import frozen
from buildlog.basics.problems import Place
from buildlog.records.entry import Entry
from buildlog.records.logbook import Logbook
from buildlog.records.types import Record

Path = tuple[str | int, ...]
_LINES = ("costs", "parts", "weight", "findings", "orders", "measured")
# field of a line -> the sort of thing it names
_NAMES = {"system": "system", "component": "component", "order": "order", "quote": "quote", "about": "component"}


@frozen
class Named:
    """A key that something names: what sort of thing it is, and where it is named."""

    sort: str
    key: str
    file: str
    path: Path = ()
    """Where in its file's facts it stands; a row of a ledger has a place instead."""
    before_colon: bool = False
    """Whether it is the name before a colon there."""
    place: Place = field(default=Place(""))


def all_named(logbook: Logbook) -> Iterator[Named]:
    """Every key named in a logbook, with what it should be the key of."""
    for entry in logbook.entries:
        yield from _by_entry(entry)
    for key, component in logbook.components.items():
        yield from _maybe("system", component.system, component.place.file, (key, "system"))
        yield from _maybe("component", component.inside, component.place.file, (key, "in"))
    for name, records in (
        ("facts", logbook.history.facts),
        ("questions", logbook.history.questions),
        ("directives", logbook.directives.directives),
        ("checks", logbook.checks.checks),
    ):
        for record, path in rows(name, records):
            yield from _by_line(record, record.place.file, path)
    yield from _by_plan(logbook)
    if logbook.loading:
        for case, path in rows("cases", logbook.loading.cases):
            yield from (
                Named("station", key, case.place.file, (*path, "loads", key), before_colon=True) for key in case.loads
            )
    for row in logbook.ledger:
        if row.system is not None:
            yield Named("system", row.system, row.place.file, place=row.place)
        yield Named("person", row.person, row.place.file, place=row.place)
    yield from _by_decisions(logbook)


def rows(name: str, records: Iterable[Any]) -> Iterator[tuple[Any, Path]]:
    """Records of a register with their paths: each file that it is divided into counts its own."""
    counts: Counter[str] = Counter()
    for record in records:
        yield record, (name, counts[record.place.file])
        counts[record.place.file] += 1


def _maybe(sort: str, key: str | None, file: str, path: Path) -> Iterator[Named]:
    if key is not None:
        yield Named(sort, key, file, path)


def _by_line(line: Record, file: str, path: Path) -> Iterator[Named]:
    for name, sort in _names_of(type(line)):
        key = getattr(line, name)
        if key is not None:
            yield Named(sort, key, file, (*path, name))


@cache
def _names_of(kind: type[Record]) -> tuple[tuple[str, str], ...]:
    """The fields of a line that name something, and the sort of thing."""
    return tuple((name, sort) for name, sort in _NAMES.items() if name in kind.model_fields)


def _by_entry(entry: Entry) -> Iterator[Named]:
    facts, file = entry.facts, entry.file
    plain: list[tuple[str, str, Iterable[str]]] = [
        ("system", "system", facts.system),
        ("job", "job", facts.job),
        ("order", "received", facts.received),
        ("quote", "accepts", facts.accepts),
        ("quote", "declines", facts.declines),
        ("directive", "directives", facts.directives),
        ("question", "answers", facts.answers),
    ]
    yield from (Named(sort, key, file, (name, number)) for sort, name, keys in plain for number, key in enumerate(keys))
    yield from (Named("person", key, file, ("hours", key), before_colon=True) for key in facts.hours)
    yield from (
        Named("finding", closing.key, file, ("closes", number, "key")) for number, closing in enumerate(facts.closes)
    )
    yield from (
        Named("check", done.key, file, ("inspected", number, "key")) for number, done in enumerate(facts.inspected)
    )
    yield from (
        Named("person", signed.by, file, ("signed", number, "by")) for number, signed in enumerate(facts.signed)
    )
    for number, change in enumerate(facts.components):
        yield Named("component", change.key, file, ("components", number, change.verb))
        yield from _maybe("component", change.inside, file, ("components", number, "in"))
    for name in _LINES:
        for number, line in enumerate(getattr(facts, name)):
            yield from _by_line(line, file, (name, number))


def _by_plan(logbook: Logbook) -> Iterator[Named]:
    for job, path in rows("jobs", logbook.plan.jobs):
        yield from _maybe("system", job.system, job.place.file, (*path, "system"))
        yield from (
            Named("job", need, job.place.file, (*path, "needs", number)) for number, need in enumerate(job.needs)
        )
        if job.waits_for:
            yield from _maybe("order", job.waits_for.order, job.place.file, (*path, "waits_for", "order"))


def _by_decisions(logbook: Logbook) -> Iterator[Named]:
    for decision in logbook.decisions:
        yield from _maybe("system", decision.facts.system, decision.file, ("system",))
        for number, option in enumerate(decision.facts.options):
            path: Path = ("options", number)
            yield from (Named("job", job, decision.file, (*path, "jobs", at)) for at, job in enumerate(option.jobs))
            for name in ("weight", "costs"):
                for at, line in enumerate(getattr(option, name)):
                    yield from _by_line(line, decision.file, (*path, name, at))
