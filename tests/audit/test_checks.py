"""Every check has a case that fires and one that does not; the manual of checks and the field reference are current."""

from __future__ import annotations

from pathlib import Path

import pytest

from buildlog.audit.run import CHECKS, audit, name_of
from buildlog.figures.figures import figures
from buildlog.reference import FOLDER, pages
from tests.making import PROJECT, entry, read

DAY = "title: x\ndate: 2026-07-04\nsystem: electrical\n"
LATER = "title: y\ndate: 2026-12-04\nsystem: electrical\n"
RECEIPTS = {"project.yaml": PROJECT + "receipts_from: 50 USD\n", "documents/r.pdf": "paper"}
ORDER = "orders: [{key: O, item: Thing, supplier: Shop, cost: 90 USD, deposit: 10 USD, lead: 2 weeks}]"
JOBS = "jobs: [{key: brakes, name: Brakes, done: 2026-07-04}]\n"

CASES: dict[str, tuple[dict[str, str], dict[str, str]]] = {
    "secret-in-words": (
        {"log/2026-07-04-x.md": entry(DAY, "Then Bob Example came.\n")},
        {"log/2026-07-04-x.md": entry(DAY, "Then the mechanic came.\n\n::: handover\nBob Example.\n:::\n")},
    ),
    "price-in-words": (
        {
            "project.yaml": PROJECT.replace("costs: full", "costs: none"),
            "log/2026-07-04-x.md": entry(DAY, "It cost 574.25 USD.\n"),
        },
        {"log/2026-07-04-x.md": entry(DAY, "It cost 574.25 USD.\n")},
    ),
    "weight-without-arm": (
        {"log/2026-07-04-x.md": entry(DAY + "weight: [{installed: Box, weight: 2 lb}]")},
        {"log/2026-07-04-x.md": entry(DAY + "weight: [{installed: Box, weight: 2 lb, arm: 73 in}]")},
    ),
    "part-not-weighed": (
        {"log/2026-07-04-x.md": entry(DAY + "parts: [{item: Hose}]")},
        {"log/2026-07-04-x.md": entry(DAY + "parts: [{item: Hose, weight: none}]")},
    ),
    "receipt-missing": (
        RECEIPTS | {"log/2026-07-04-x.md": entry(DAY + "parts: [{item: Hose, cost: 50 USD}]")},
        RECEIPTS
        | {
            "log/2026-07-04-x.md": entry(
                DAY + "parts: [{item: Hose, cost: 50 USD, receipt: documents/r.pdf}, {item: Clip, cost: 49.99 USD}]"
            )
        },
    ),
    "currency-without-rate": (
        {"log/2026-07-04-x.md": entry(DAY + "cost: 3 CAD")},
        {"log/2026-07-04-x.md": entry(DAY + "cost: 3 USD")},
    ),
    "order-paid-twice": (
        {
            "log/2026-07-04-x.md": entry(DAY + ORDER),
            "log/2026-07-14-y.md": entry(
                "title: y\ndate: 2026-07-14\nreceived: [O]\ncosts: [{item: Thing it is, cost: 80 USD, supplier: Shop}]"
            ),
        },
        {
            "log/2026-07-04-x.md": entry(DAY + ORDER),
            "log/2026-07-14-y.md": entry(
                "title: y\ndate: 2026-07-14\nreceived: [O]\ncosts: [{item: Thing it is, cost: 80 USD, supplier: Shop, order: O}]"
            ),
        },
    ),
    "order-overdue": (
        {"log/2026-07-04-x.md": entry(DAY + ORDER), "log/2026-12-04-y.md": entry(LATER)},
        {"log/2026-07-04-x.md": entry(DAY + ORDER), "log/2026-12-04-y.md": entry(LATER + "received: [O]")},
    ),
    "quote-open": (
        {
            "log/2026-07-04-x.md": entry(DAY + "quotes: [{key: Q, item: z, cost: 9 USD, until: 2026-08-01}]"),
            "log/2026-12-04-y.md": entry(LATER),
        },
        {
            "log/2026-07-04-x.md": entry(DAY + "quotes: [{key: Q, item: z, cost: 9 USD, until: 2026-08-01}]"),
            "log/2026-12-04-y.md": entry(LATER + "declines: [Q]"),
        },
    ),
    "finding-closed-without-words": (
        {"log/2026-07-04-x.md": entry(DAY + "findings: [{key: F, found: z, standing: cosmetic}]\ncloses: [F]")},
        {
            "log/2026-07-04-x.md": entry(
                DAY + "findings: [{key: F, found: z, standing: cosmetic}]\ncloses: [{key: F, by: paint}]"
            )
        },
    ),
    "photo-without-words": (
        {"photos/a.jpg": "x", "log/2026-07-04-x.md": entry(DAY, "![](../photos/a.jpg)\n")},
        {"photos/a.jpg": "x", "log/2026-07-04-x.md": entry(DAY, "![A box](../photos/a.jpg)\n")},
    ),
    "file-not-used": (
        {"documents/a.pdf": "x", "log/2026-07-04-x.md": entry(DAY)},
        {
            "documents/a.pdf": "x",
            "log/2026-07-04-x.md": entry(DAY + "documents: [{file: documents/a.pdf, title: A, kind: tag}]"),
        },
    ),
    "job-done-without-hours": (
        {"plan.yaml": JOBS, "log/2026-07-04-x.md": entry(DAY)},
        {"plan.yaml": JOBS, "log/2026-07-04-x.md": entry(DAY + "job: brakes\nhours: 1:00")},
    ),
    "entry-without-system": (
        {"log/2026-07-04-x.md": entry("title: x\ndate: 2026-07-04\nhours: 1:00")},
        {"log/2026-07-04-x.md": entry(DAY + "hours: 1:00")},
    ),
}


def found(root: Path, files: dict[str, str]) -> list[str]:
    return [problem.name for problem in audit(figures(read(root, dict(files)).logbook)[0])]


@pytest.mark.parametrize("check", CHECKS, ids=name_of)
def test_a_check_fires_and_does_not(tmp_path: Path, check: object) -> None:
    name = name_of(check)  # type: ignore[arg-type]
    wrong, right = CASES[name]
    assert name in found(tmp_path / "wrong", wrong)
    assert name not in found(tmp_path / "right", right)


@pytest.mark.parametrize("check", CHECKS, ids=name_of)
def test_a_check_explains_itself(check: object) -> None:
    doc = check.__doc__ or ""  # type: ignore[attr-defined]
    assert all(word in doc for word in ("Why:", "Wrong:", "Right:"))


@pytest.mark.parametrize("name", sorted(pages()))
def test_the_reference_is_current(name: str) -> None:
    assert (FOLDER / name).read_text("utf-8") == pages()[name], "run  make reference"
