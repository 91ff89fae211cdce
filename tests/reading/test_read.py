"""What is read from a sound folder: values, order, and paths written from the project folder."""

from __future__ import annotations

from datetime import date, time
from decimal import Decimal
from pathlib import Path

from buildlog.reading.read import read_logbook
from tests.making import entry, write
from tests.reading.laying import held, lay, names
from tests.reading.test_robust import ENTRY, FILES, NAME

CANADIAN = """\
title: A small project
aircraft: {type: Halloran Dunlin, serial: 017, year: 1993}
units: {weight: kg, arm: mm, volume: litres, currency: cad}
people: {owner: {name: H. Arden, role: owner, rate: 20}, mechanic: {name: R. Thorne, role: mechanic}}
audiences: {public: {costs: full, hours: no, may_say: Rose}}
"""


def test_an_entry_with_nearly_everything(tmp_path: Path) -> None:
    reading = held(lay(tmp_path, {**FILES, NAME: ENTRY}))
    assert names(reading) == []
    entry = reading.logbook.entries[0]
    facts = entry.facts
    assert (entry.slug, entry.file, facts.title) == (
        "2026-07-04-battery",
        NAME,
        "Battery back on the shelf, in a new box",
    )
    assert (entry.first_day, entry.day, facts.time) == (date(2026, 7, 3), date(2026, 7, 4), time(14, 30))
    assert facts.hours == {"owner": 195, "mechanic": 45}
    assert [str(part.price()) for part in facts.parts] == ["212.00 USD", "34.65 USD"]
    assert [(line.sign, line.weight.to("lb"), line.basis) for line in facts.weight] == [
        (-1, Decimal("24.3"), "weighed"),
        (1, Decimal("5.1"), "published"),
    ]
    assert facts.weight_change is not None
    assert facts.weight_change.to("oz") == Decimal("-14.5")
    assert [(change.verb, change.key, change.state) for change in facts.components] == [
        ("removed", "battery-1", "scrapped"),
        ("installed", "battery-2", None),
        ("tagged", "battery-1", "sold"),
    ]
    assert [closing.key for closing in facts.closes] == ["F-21"]
    assert facts.meter == {"tach": Decimal("412.6")}
    assert facts.quotes[0].accepted is False
    assert (facts.signed[0].by, facts.signed[0].as_) == ("mechanic", "return-to-service")
    assert facts.photos[0].caption == "The new box, lid off"
    assert [(ref.target, ref.audience) for ref in entry.prose.references] == [
        ("photos/box.jpg", "public"),
        ("documents/receipt.jpg", "public"),
    ]


def test_every_record_knows_where_it_stands(tmp_path: Path) -> None:
    lay(tmp_path, {**FILES, NAME: ENTRY})
    reading = read_logbook(tmp_path)
    facts = reading.logbook.entries[0].facts
    for record, words in (
        (facts.parts[1], "{item: Cable"),
        (facts.weight[0], "{removed: Lead-acid"),
        (facts.orders[0], "{key: BOX"),
        (facts.signed[0], "{by: mechanic"),
        (reading.logbook.components["battery-2"], "{name: Lithium"),
        (reading.logbook.plan.jobs[0], "{key: battery"),
    ):
        line = reading.lines[record.place.file][record.place.line - 1]
        assert line[record.place.column - 1 :].startswith(words)
    assert str(reading.logbook.ledger[1].place) == "ledgers/before.csv:3"


def test_the_projects_currency_and_units(tmp_path: Path) -> None:
    lay(
        tmp_path,
        {
            "project.yaml": CANADIAN,
            "log/2026-07-04-a.md": "---\ntitle: A\ndate: 2026-07-04\ncost: 85\n---\n",
            "ledgers/a.csv": "date,cost,hours\n2026-02-01,5,\n2026-01-01,6 USD,0:30\n",
            "decisions/b.md": "---\nquestion: B?\noptions:\n"
            "  - {key: a, name: A, costs: [{item: x, cost: 7}], for: near}\n---\n",
        },
    )
    reading = held(tmp_path)
    assert names(reading) == []
    book = reading.logbook
    assert (book.project.units.currency, book.project.units.volume, book.project.aircraft.serial) == ("CAD", "L", "017")
    assert str(book.project.people["owner"].rate) == "20.00 CAD"
    assert book.project.audiences.public.may_say == ("Rose",)
    assert book.project.audiences.public.hours is False
    assert str(book.entries[0].facts.cost) == "85.00 CAD"
    assert [str(row.cost) for row in book.ledger] == ["6.00 USD", "5.00 CAD"]  # by day
    assert [(row.person, row.hours) for row in book.ledger] == [("owner", 30), ("owner", None)]
    option = book.decisions[0].facts.options[0]
    assert (str(option.costs[0].cost), option.for_) == ("7.00 CAD", ("near",))


def test_paths_are_written_from_the_project_folder(tmp_path: Path) -> None:
    lay(
        tmp_path,
        {
            "photos/a.jpg": b"",
            "photos/b.jpg": b"",
            "documents/c.pdf": b"",
            "log/x/beside.jpg": b"",
            "log/x/2026-07-04-a.md": "---\ntitle: A\ndate: 2026-07-04\npicture: ../../photos/b.jpg\n"
            "photos: [../../photos/a.jpg, photos/b.jpg, beside.jpg]\n"
            "parts: [{item: x, cost: 1 USD, receipt: ../../documents/c.pdf}]\n"
            "quotes: [{key: Q, item: x, cost: 1 USD, document: .\\documents\\c.pdf}]\n---\n",
            "pages/about.md": "---\ntitle: About\npicture: ../photos/a.jpg\n---\n![x](../photos/b.jpg)\n",
        },
    )
    reading = held(tmp_path)
    assert names(reading) == []
    facts = reading.logbook.entries[0].facts
    assert [photo.file for photo in facts.photos] == ["photos/a.jpg", "photos/b.jpg", "log/x/beside.jpg"]
    assert (facts.picture, facts.parts[0].receipt, facts.quotes[0].document) == (
        "photos/b.jpg",
        "documents/c.pdf",
        "documents/c.pdf",
    )
    page = reading.logbook.pages[0]
    assert (page.facts.picture, page.prose.references[0].target, page.slug) == ("photos/a.jpg", "photos/b.jpg", "about")


def test_nothing_at_all(tmp_path: Path) -> None:
    reading = read_logbook(tmp_path)
    assert names(reading) == ["no-project"]
    assert reading.logbook.last_day() is None
    assert len(reading.lines) == 0


def test_the_lines_of_what_was_read(tmp_path: Path) -> None:
    reading = read_logbook(lay(tmp_path, {NAME: ENTRY}))
    assert set(reading.lines) == {"project.yaml", NAME}
    assert "\n".join(reading.lines[NAME]) == ENTRY
    assert reading.lines.get("nowhere") is None


def test_lines_that_are_not_held_are_read_again(tmp_path: Path) -> None:
    write(tmp_path, {"log/2026-01-01-x.md": entry("title: x\ndate: 2026-01-01"), "log/2026-01-02-y.md": "no entry\n"})
    reading = read_logbook(tmp_path)
    lean = reading.lean({"log/2026-01-02-y.md"})
    assert [*lean.lines.sources] == ["log/2026-01-02-y.md"]
    assert dict(lean.lines) == dict(reading.lines)
    (tmp_path / "log/2026-01-01-x.md").unlink()
    assert lean.lines.get("log/2026-01-01-x.md") is None and lean.lines.get("never") is None
