"""Labour: minutes worked, by person, role, system, job and month; estimate against actual for jobs.

Assumptions: whole minutes. An entry with several systems (or jobs) shares each person's minutes between them, in the
shares the entry says (jobs: equally), in whole minutes, so that every breakdown adds up to the total.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from fractions import Fraction

from buildlog.basics.frozen import frozen
from buildlog.basics.numbers import shared
from buildlog.basics.problems import Place
from buildlog.figures.cost import split, summed
from buildlog.records.logbook import Logbook
from buildlog.records.registers import Job


@frozen
class Work:
    """One person's time in one entry or ledger row, in minutes, split by system and by job."""

    day: date
    person: str
    minutes: int
    parts: tuple[tuple[str, int], ...]
    jobs: tuple[tuple[str, int], ...]
    what: str
    place: Place
    entry: str = ""


@frozen
class JobRecord:
    """A job of the plan: minutes estimated (likely), minutes worked, and whether it is finished."""

    job: Job
    estimated: int | None
    worked: int


@frozen
class Labour:
    """All the work of a record."""

    work: tuple[Work, ...]
    roles: tuple[tuple[str, str], ...]
    jobs: tuple[JobRecord, ...]

    def minutes(self) -> int:
        """All of it."""
        return sum(line.minutes for line in self.work)

    def by_person(self) -> dict[str, int]:
        """Minutes by person's key."""
        return self._by(lambda line: line.person)

    def by_role(self) -> dict[str, int]:
        """Minutes by role: owner, mechanic, helper."""
        roles = dict(self.roles)
        return self._by(lambda line: roles.get(line.person, line.person))

    def by_system(self) -> dict[str, int]:
        """Minutes by system's key; '' for what names none."""
        return summed(part for line in self.work for part in line.parts)

    def by_job(self) -> dict[str, int]:
        """Minutes by job's key; '' for what names none."""
        return summed(part for line in self.work for part in line.jobs)

    def by_month(self) -> dict[str, int]:
        """Minutes by month, ``2026-07``."""
        return self._by(lambda line: f"{line.day:%Y-%m}")

    def by_entry(self) -> dict[str, int]:
        """Minutes by entry's address; '' for the ledgers."""
        return self._by(lambda line: line.entry)

    def _by(self, name: Callable[[Work], str]) -> dict[str, int]:
        return summed((name(line), line.minutes) for line in self.work)


def labour(logbook: Logbook) -> Labour:
    """All work of a logbook, oldest first."""
    lines = [
        Work(
            row.date,
            row.person,
            row.hours,
            ((row.system or "", row.hours),),
            (("", row.hours),),
            row.what or row.item or "no name",
            row.place,
        )
        for row in logbook.ledger
        if row.hours is not None
    ]
    for entry in logbook.entries:
        facts, shares = entry.facts, entry.shares()
        for person, minutes in facts.hours.items():
            lines.append(
                Work(
                    entry.day,
                    person,
                    minutes,
                    split(minutes, None, shares),
                    _jobs(facts.job, minutes),
                    facts.title,
                    facts.place,
                    entry.slug,
                )
            )
    lines.sort(key=lambda line: (line.day, line.place))
    roles = {"owner": "owner"} | {key: person.role for key, person in logbook.project.people.items()}
    draft = Labour(tuple(lines), tuple(roles.items()), ())
    worked = draft.by_job()
    jobs = tuple(
        JobRecord(job, job.hours.likely if job.hours else None, worked.get(job.key, 0)) for job in logbook.plan.jobs
    )
    return Labour(draft.work, draft.roles, jobs)


def _jobs(jobs: tuple[str, ...], minutes: int) -> tuple[tuple[str, int], ...]:
    if not jobs:
        return (("", minutes),)
    return tuple(zip(jobs, shared(minutes, [Fraction(1)] * len(jobs)), strict=True))
