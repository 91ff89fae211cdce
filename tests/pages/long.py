"""A project whose ledgers are too long for one page: three years of small entries, weighed once in the second year."""

from __future__ import annotations

from buildlog.pages.years import LONGEST
from tests.making import PROJECT, entry

YEARS = (2020, 2021, 2022)
EACH = LONGEST // len(YEARS) + 1
"""Entries of a year; each has a line of hours (1:00), of money (2.00 USD) and of weight (1.0 lb)."""
FACTS = """
title: E{number} of {year}
date: {year}-{month:02}-{day:02}
system: wings
hours: 1:00
cost: 2.00 USD
weight: [{{installed: Thing {number}, weight: 1.0 lb, basis: weighed, arm: 10 in}}]
"""
WEIGHED = "weighing: {points: [{at: all, reading: 500 lb, arm: 20 in}]}\n"


def long_project(each: int = EACH) -> dict[str, str | bytes]:
    """Its files."""
    files: dict[str, str | bytes] = {"project.yaml": PROJECT}
    for year in YEARS:
        for number in range(each):
            month, day = number // 28 + 1, number % 28 + 1
            facts = FACTS.format(year=year, number=number, month=month, day=day)
            weighed = WEIGHED if (year, number) == (2021, 5) else ""
            files[f"log/{year}-{month:02}-{day:02}-e{number}.md"] = entry(facts + weighed)
    return files
