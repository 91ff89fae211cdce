"""Months as figures name them, ``2026-07``: their days, and where their lines stand."""

from __future__ import annotations

import calendar
from datetime import date


def first_day(month: str) -> date:
    """The first day of a month."""
    return date.fromisoformat(f"{month}-01")


def last_day(month: str) -> date:
    """The last day of a month."""
    first = first_day(month)
    return first.replace(day=calendar.monthrange(first.year, first.month)[1])


def month_anchor(month: str) -> str:
    """Where the lines of a month stand."""
    return f"m-{month}"
