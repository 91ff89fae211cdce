"""All checks, in one visible tuple."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from buildlog.audit.case import Case
from buildlog.audit.leaks import price_in_words, secret_in_words
from buildlog.audit.money import currency_without_rate, order_overdue, order_paid_twice, quote_open, receipt_missing
from buildlog.audit.stories import (
    entry_without_system,
    file_not_used,
    finding_closed_without_words,
    job_done_without_hours,
    photo_without_words,
)
from buildlog.audit.weights import part_not_weighed, weight_without_arm
from buildlog.basics.problems import Problem
from buildlog.figures.figures import Figures

CHECKS: tuple[Callable[[Case], Iterator[Problem]], ...] = (
    secret_in_words,
    price_in_words,
    weight_without_arm,
    part_not_weighed,
    receipt_missing,
    currency_without_rate,
    order_paid_twice,
    order_overdue,
    quote_open,
    finding_closed_without_words,
    photo_without_words,
    file_not_used,
    job_done_without_hours,
    entry_without_system,
)
"""Every check, the weightiest first. Its name in messages is the function's name with hyphens."""


def audit(worked: Figures, audience: str = "public") -> list[Problem]:
    """What the checks find in a record."""
    case = Case(worked, audience)
    return [problem for check in CHECKS for problem in check(case)]


def name_of(check: Callable[[Case], Iterator[Problem]]) -> str:
    """A check's name in messages."""
    return check.__name__.replace("_", "-")
