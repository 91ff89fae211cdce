"""All checks, in one visible tuple."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterable, Iterator

from buildlog.audit.case import Case
from buildlog.audit.claims import claim_without_evidence, facts_conflict
from buildlog.audit.codes import unknown_system_code
from buildlog.audit.findings import finding_deferred_without_limit, finding_past_its_day
from buildlog.audit.leaks import price_in_words, secret_in_words
from buildlog.audit.loads import seat_over_maximum, tolerance_hides_margin
from buildlog.audit.money import currency_without_rate, order_overdue, order_paid_twice, quote_open, receipt_missing
from buildlog.audit.parts import overhauled_without_paper, unserviceable_without_fate
from buildlog.audit.photos import photo_dated_far, photo_huge, photo_unreadable, same_photo_twice
from buildlog.audit.signatures import sealed_entry_changed, signature_incomplete, signature_missing
from buildlog.audit.stories import (
    entry_to_be_written,
    entry_without_system,
    file_not_used,
    finding_closed_without_words,
    job_done_without_hours,
    photo_without_words,
)
from buildlog.audit.weights import part_not_weighed, weight_without_arm
from buildlog.basics.problems import Problem, Severity
from buildlog.figures.figures import Figures
from buildlog.records.pictures import Survey

CHECKS: tuple[Callable[[Case], Iterator[Problem]], ...] = (
    secret_in_words,
    price_in_words,
    seat_over_maximum,
    tolerance_hides_margin,
    weight_without_arm,
    part_not_weighed,
    receipt_missing,
    currency_without_rate,
    order_paid_twice,
    order_overdue,
    quote_open,
    finding_past_its_day,
    finding_deferred_without_limit,
    finding_closed_without_words,
    unserviceable_without_fate,
    overhauled_without_paper,
    facts_conflict,
    claim_without_evidence,
    photo_unreadable,
    photo_without_words,
    entry_to_be_written,
    photo_huge,
    photo_dated_far,
    same_photo_twice,
    file_not_used,
    job_done_without_hours,
    entry_without_system,
    unknown_system_code,
    sealed_entry_changed,
    signature_incomplete,
    signature_missing,
)
"""Every check, the weightiest first. Its name in messages is the function's name with hyphens."""


def audit(
    worked: Figures,
    audience: str = "public",
    pictures: Survey | None = None,
    between: Callable[[], None] = lambda: None,
) -> list[Problem]:
    """What the checks find in a record, and in the files of its pictures where these were looked at.

    ``between`` is called before each check and may break it off.
    """
    case = Case(worked, audience, pictures or Survey())
    found: list[Problem] = []
    for check in CHECKS:
        between()
        found += check(case)
    return found


def name_of(check: Callable[[Case], Iterator[Problem]]) -> str:
    """A check's name in messages."""
    return check.__name__.replace("_", "-")


def explained() -> dict[str, str]:
    """What each check holds to, why, and a wrong and a right example, by the check's name."""
    return {name_of(check): inspect.getdoc(check) or "" for check in CHECKS}


def by_weight(problems: Iterable[Problem]) -> list[Problem]:
    """Errors, then warnings, then notes; in each what reading found, then check by check, each by place."""
    order = {name_of(check): number for number, check in enumerate(CHECKS)}
    severities = list(Severity)
    return sorted(
        problems, key=lambda found: (severities.index(found.severity), order.get(found.name, -1), found.sort_key())
    )
