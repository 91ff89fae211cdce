"""A small project with a signed entry that names files of every sort, sealed as the command does it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from buildlog.reading.read import read_logbook
from buildlog.records.logbook import Logbook
from buildlog.starter.seal import Sealed, entry_named, seal
from tests.making import PROJECT, entry, write

ENTRY = "log/2026-07-04-x.md"
FILES: dict[str, str | bytes] = {
    "project.yaml": PROJECT.replace("costs: full", "costs: full, receipts: yes"),
    "components.yaml": "pump: {name: Pump}\n",
    "history.yaml": "facts: []\n",
    "photos/a.jpg": b"\xff\xd8\xff a",
    "photos/in text.jpg": b"\xff\xd8\xff t",
    "documents/tag.txt": b"tag\n",
    "documents/receipt.pdf": b"receipt",
    "documents/signed.pdf": b"ink",
    "documents/quote.pdf": b"quote",
    "documents/linked.pdf": b"linked",
    "documents/other.pdf": b"named by nobody",
    "decisions/d.md": "---\nquestion: Which?\nsystem: engine\noptions: [{key: a, name: A}, {key: b, name: B}]\n---\n",
    ENTRY: entry(
        """
title: Signed
date: 2026-07-04
system: engine
photos: [../photos/a.jpg]
parts: [{item: Hose, cost: 9 USD, receipt: documents/receipt.pdf}]
quotes: [{key: Q, item: Pump, cost: 90 USD, document: documents/quote.pdf}]
components: [{removed: pump, tag: ../documents/tag.txt}, {repaired: pump, paper: "number 7"}]
signed: {by: mechanic, as: work, date: 2026-07-04, words: Timed, paper: ../documents/signed.pdf}
""",
        "As [decided](../decisions/d.md), [here](../documents/linked.pdf).\n\n![T](<../photos/in text.jpg>)\n",
    ),
    "log/2026-07-05-y.md": entry("title: Not signed\ndate: 2026-07-05"),
}
NAMED = (
    "documents/linked.pdf",
    "documents/quote.pdf",
    "documents/receipt.pdf",
    "documents/signed.pdf",
    "documents/tag.txt",
    "photos/a.jpg",
    "photos/in text.jpg",
)
"""What the entry names."""


def sealed(root: Path, *names: str, on: date = date(2026, 7, 6), again: bool = False, unsigned: bool = False) -> Sealed:
    """Entries of a project sealed on a day."""
    reading = read_logbook(root)
    faults = [problem for problem in reading.problems if problem.severity == "error"]
    chosen = [entry_named(name, root, reading.logbook) for name in names or ("2026-07-04-x",)]
    return seal(root, reading.logbook, chosen, on, faults, again=again, unsigned=unsigned)


def project(root: Path, files: dict[str, str | bytes] | None = None) -> Path:
    """The project laid out and its signed entry sealed."""
    write(root, FILES | (files or {}))
    done = sealed(root)
    assert done.problems == (), done.problems
    assert done.made == (("2026-07-04-x", len(NAMED)),)
    return root


def book(root: Path) -> Logbook:
    """The logbook of a project as it is now."""
    return read_logbook(root).logbook
