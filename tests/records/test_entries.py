"""Entries as the program carries them, and systems by name and number."""

from __future__ import annotations

import re
from datetime import date
from fractions import Fraction
from typing import Any

import pytest

from buildlog.records.entry import Entry, EntryFacts
from buildlog.records.logbook import Logbook, system_order
from buildlog.records.project import Aircraft, Project, SystemName
from buildlog.records.prose import Prose
from buildlog.records.purchases import Part
from buildlog.records.registers import Directive
from buildlog.records.systems import BUILT_IN, GENERAL


def entry(**facts: Any) -> Entry:
    written = {"title": "A day", "date": "2026-07-04"} | facts
    return Entry(
        EntryFacts.model_validate(written, context={"currency": "USD"}), Prose(), "log/2026-07-04-a.md", "2026-07-04-a"
    )


def test_an_entry_of_several_days_is_told_under_its_last() -> None:
    several = Entry(
        EntryFacts.model_validate({"title": "A", "dates": "2026-07-03/2026-07-05"}), Prose(), "log/a.md", "a"
    )
    assert (several.first_day, several.day) == (date(2026, 7, 3), date(2026, 7, 5))
    assert entry().first_day == entry().day == date(2026, 7, 4)


def test_shares() -> None:
    assert entry().shares() == [("", Fraction(1))]
    assert entry(system="fuel").shares() == [("fuel", Fraction(1))]
    assert entry(system=["fuel", "engine"]).shares() == [("fuel", Fraction(1)), ("engine", Fraction(1))]
    shared = entry(system=["fuel", "engine", "oil"], share={"engine": "2.5", "fuel": "1"})
    assert shared.shares() == [("fuel", Fraction(1)), ("engine", Fraction(5, 2)), ("oil", Fraction(0))]
    assert shared.main_system == "fuel"
    assert entry().main_system is None


def test_hours_alone_are_the_owners() -> None:
    assert entry(hours="3:15").facts.hours == {"owner": 195}
    assert entry(hours={"mechanic": "45 min"}).facts.hours == {"mechanic": 45}


def test_a_part_costs_each_times_its_quantity() -> None:
    part = Part.model_validate({"item": "Cable", "quantity": "9", "each": "3.85"}, context={"currency": "USD"})
    assert str(part.price()) == "34.65 USD"
    third = Part.model_validate({"item": "Wire", "quantity": "0.5", "each": "0.67 USD"})
    assert str(third.price()) == "0.34 USD"  # 0.335, half to even
    assert Part.model_validate({"item": "Gift"}).price() is None


def test_a_one_verb_line_knows_its_verb() -> None:
    change = entry(components=[{"sent": "carburettor", "to": "A shop"}]).facts.components[0]
    assert (change.verb, change.key) == ("sent", "carburettor")
    off = entry(weight=[{"removed": "Battery", "weight": "24.3 lb"}]).facts.weight[0]
    assert (off.sign, off.item, off.basis) == (-1, "Battery", "estimated")


@pytest.mark.parametrize(
    ("written", "word"),
    [("yes", "yes"), (True, "yes"), (False, "no"), ("No", "no"), ("UNKNOWN", "unknown")],
)
def test_yes_and_true_are_one_word(written: object, word: str) -> None:
    directive = {"key": "SB-3", "number": "3", "title": "Oil pump key", "about": "engine", "applies": written}
    assert Directive.model_validate(directive).applies == word


@pytest.mark.parametrize("written", ["return-to-service", "Return to service", "return_to_service"])
def test_words_of_several_parts_are_written_as_one_likes(written: str) -> None:
    signed = {"by": "mechanic", "as": written, "date": "2026-07-04"}
    assert entry(signed=[signed]).facts.signed[0].as_ == "return-to-service"


def project(**systems: SystemName) -> Logbook:
    return Logbook(Project(title="A", aircraft=Aircraft(type="B"), systems=systems))


def test_built_in_systems() -> None:
    """Numbers after the chapters of the FAA's JASC code table (2008), with 05 and 08 from ATA's list."""
    table = {
        "records": "05",
        "weighing": "08",
        "placards": "11",
        "electrical": "24",
        "fuel": "28",
        "gear": "32",
        "structure": "51",
        "wings": "57",
        "propeller": "61",
        "carburettor": "73",
        "ignition": "74",
        "exhaust": "78",
        "oil": "79",
        "engine": "85",
    }
    assert {key: BUILT_IN[key].code for key in table} == table
    codes = [system.code for system in BUILT_IN.values()]
    assert len(set(codes)) == len(codes)
    assert all(re.fullmatch(r"\d\d", code) for code in codes)
    assert all(system.key == key and system.name[0].isupper() for key, system in BUILT_IN.items())


def test_a_project_renames_and_adds_systems() -> None:
    logbook = project(
        gear=SystemName(name="Floats"), skis=SystemName(name="Skis", code="33"), paint=SystemName(name="Paint")
    )
    assert (logbook.system("gear").name, logbook.system("gear").code) == ("Floats", "32")
    assert logbook.system("skis").code == "33"
    assert logbook.system("nowhere").name == "nowhere"
    assert logbook.system("") == GENERAL
    ordered = sorted([logbook.system(key) for key in ("paint", "", "skis", "gear")], key=system_order)
    assert [system.key for system in ordered] == ["gear", "skis", "paint", ""]
    assert logbook.systems()[-1].key == "paint"
