"""An entry kept back leaves weights and events behind, and not one of its words."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from buildlog.records.audience import seen_by
from buildlog.records.logbook import Logbook
from tests.reading.laying import held, lay, names

SECRETS = """\
---
title: SECRET-title
date: 2026-07-04
audience: {audience}
milestone: SECRET-milestone
summary: SECRET-summary
hours: 3:15
cost: 8765 USD
costs: [{{item: SECRET-cost, cost: 5432 USD, supplier: SECRET-supplier, note: SECRET-note}}]
parts: [{{item: SECRET-part, part_no: SECRET-no, serial: SECRET-serial, cost: 4321 USD, note: SECRET-remark}}]
weight: [{{removed: SECRET-item, weight: 24.3 lb, arm: 73 in, note: SECRET-why}}]
components: [{{removed: engine, state: sold, because: SECRET-because, tag: SECRET-tag, note: SECRET-event}},
  {{sent: engine, to: SECRET-shop}}, {{repaired: engine, by: SECRET-hand, paper: SECRET-paper}}]
findings: [{{key: F-1, found: SECRET-found, standing: deferred, limit: SECRET-limit}}]
orders: [{{key: O, item: SECRET-order, cost: 3210 USD, supplier: SECRET-seller}}]
quotes: [{{key: Q, item: SECRET-quote, cost: 2109 USD, supplier: SECRET-quoter}}]
weighing:
  attitude: SECRET-attitude
  points: [{{at: SECRET-at, reading: 365 lb, arm: 22.5 in}}, {{at: tail, reading: 50 lb, arm: 192 in}}]
  on_board: [{{item: SECRET-aboard, weight: 12 lb, arm: 15 in}}]
  missing: [{{item: SECRET-missing, weight: 9.5 lb, arm: -10 in}}]
  scale: {{make_and_serial: SECRET-scale}}
  oil: SECRET-oil
measured: [{{what: SECRET-what, value: SECRET-value}}]
signed: {{by: mechanic, as: work, date: 2026-07-04, words: SECRET-words}}
---
SECRET-prose
"""


def seen(root: Path, audience: str, eyes: str) -> Logbook:
    lay(
        root,
        {
            "log/2026-07-04-a.md": SECRETS.format(audience=audience),
            "components.yaml": "engine: {name: Engine}\n",
            "log/2026-07-05-b.md": "---\ntitle: Another\ndate: 2026-07-05\n---\n::: "
            + audience
            + "\nSECRET-block\n:::\n",
        },
    )
    reading = held(root)
    assert names(reading) == []
    assert "SECRET-scale" in words(reading.logbook)
    return seen_by(reading.logbook, eyes)


def words(logbook: Logbook) -> str:
    prose = [token.content + repr(token.children) for entry in logbook.entries for token in entry.prose.tokens]
    return repr(logbook) + "".join(entry.prose.source for entry in logbook.entries) + "".join(prose)


@pytest.mark.parametrize(
    ("audience", "eyes"),
    [("private", "public"), ("private", "inspector"), ("private", "buyer"), ("handover", "public")],
)
def test_no_word_of_an_entry_kept_back_is_left(tmp_path: Path, audience: str, eyes: str) -> None:
    book = seen(tmp_path, audience, eyes)
    assert set(re.findall(r"SECRET-\w+", words(book))) == set()
    assert not re.search(r"8765|5432|4321|3210|2109", words(book))


def test_its_weights_and_events_are_left(tmp_path: Path) -> None:
    (entry,) = (entry for entry in seen(tmp_path, "private", "public").entries if entry.hidden)
    assert [str(line.weight) for line in entry.facts.weight] == ["24.3 lb"]
    assert [(change.verb, change.key, change.state) for change in entry.facts.components] == [
        ("removed", "engine", "sold"),
        ("sent", "engine", None),
        ("repaired", "engine", None),
    ]
    weighing = entry.facts.weighing
    assert weighing is not None
    assert [(str(point.reading), str(point.arm)) for point in weighing.points] == [
        ("365 lb", "22.5 in"),
        ("50 lb", "192 in"),
    ]
    assert [str(item.weight) for item in (*weighing.on_board, *weighing.missing)] == ["12 lb", "9.5 lb"]


def test_the_package_shows_what_is_for_it(tmp_path: Path) -> None:
    book = seen(tmp_path, "handover", "buyer")
    assert {"SECRET-title", "SECRET-prose", "SECRET-block", "SECRET-serial"} <= set(
        re.findall(r"SECRET-\w+", words(book))
    )
