"""Keys given twice to things of one sort, and things that need or hold one another in a circle."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from graphlib import CycleError, TopologicalSorter

from buildlog.basics.problems import Place, Problem, shown
from buildlog.records.logbook import Logbook

Pairs = Iterable[tuple[str, Place]]


def repeats(logbook: Logbook) -> Iterator[Problem]:
    """Keys given twice, capitals or not, and two files with one address."""
    for sort, pairs in _given(logbook):
        seen: dict[str, Place] = {}
        for key, place in pairs:
            if key.casefold() in seen:
                yield _twice(sort, key, place, seen[key.casefold()])
            seen.setdefault(key.casefold(), place)


def _twice(sort: str, key: str, place: Place, first: Place) -> Problem:
    if sort == "address":
        return Problem(
            place,
            "repeated-key",
            f"there is another file called {shown(key)}, and the name is the address",
            "give this one another name",
            also=(first,),
        )
    return Problem(
        place, "repeated-key", f"the {sort} {shown(key)} is given twice", "give this one another key", also=(first,)
    )


def _given(logbook: Logbook) -> Iterator[tuple[str, Pairs]]:
    facts = [entry.facts for entry in logbook.entries]
    loading = logbook.loading
    yield "order", ((order.key, order.place) for fact in facts for order in fact.orders)
    yield "quote", ((quote.key, quote.place) for fact in facts for quote in fact.quotes)
    yield "finding", ((finding.key, finding.place) for fact in facts for finding in fact.findings)
    yield "job", ((job.key, job.place) for job in logbook.plan.jobs)
    yield "check", ((check.key, check.place) for check in logbook.checks.checks)
    yield "directive", ((item.key, item.place) for item in logbook.directives.directives)
    for table in logbook.requirements:
        yield "requirement", ((row.key, row.place) for row in table.rows)
    yield "question", ((item.key, item.place) for item in logbook.history.questions)
    yield "station", ((station.key, station.place) for station in loading.stations) if loading else ()
    yield "loading case", ((case.key, case.place) for case in loading.cases) if loading else ()
    for decision in logbook.decisions:
        yield "option", ((option.key, option.place) for option in decision.facts.options)
    yield (
        "address",
        ((entry.slug, Place(entry.file)) for entry in sorted(logbook.entries, key=lambda entry: entry.file)),
    )
    yield "address", ((page.slug, Place(page.file)) for page in logbook.pages)
    yield "address", ((decision.slug, Place(decision.file)) for decision in logbook.decisions)


def circles(logbook: Logbook) -> Iterator[Problem]:
    """A component that sits in itself, a job that must be done before it can begin."""
    parts = {key: [part.inside] if part.inside else [] for key, part in logbook.components.items()}
    found = _circle(parts)
    if found:
        yield Problem(
            logbook.components[found[0]].place,
            "component-in-itself",
            " in ".join(found) + ": a component cannot sit in itself",
            "take one of the  in:  out",
        )
    jobs = {job.key: job for job in logbook.plan.jobs}
    found = _circle({key: list(job.needs) for key, job in jobs.items()})
    if found:
        yield Problem(
            jobs[found[0]].place,
            "job-needs-itself",
            " needs ".join(found) + ": none of these can ever begin",
            "take one of the  needs:  out",
        )


def _circle(graph: Mapping[str, list[str]]) -> list[str]:
    """The keys of a circle, beginning and ending with the first of them, or nothing."""
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        keys = list(reversed(error.args[1]))[:-1]
        begin = keys.index(min(keys))
        return [*keys[begin:], *keys[:begin], keys[begin]]
    return []
