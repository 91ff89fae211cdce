"""The table of system codes, what it says of a number, and the built-in systems held against it."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from buildlog.audit.run import audit
from buildlog.cli import main
from buildlog.figures.figures import figures
from buildlog.records.jasc import CODES, is_code, matching, name_of
from buildlog.records.systems import BUILT_IN
from tests.making import PROJECT, read

# Read from the table of 2008-10-27: the chapter that each built-in system, whatever we call it, is filed under.
CHAPTERS = {
    "placards": "Placards and Markings",
    "servicing": "Servicing",
    "hardware": "Hardware",
    "heating": "Air Conditioning",
    "autopilot": "Auto Flight",
    "radio": "Communications",
    "electrical": "Electrical Power",
    "cabin": "Equipment/Furnishings",
    "fire": "Fire Protection",
    "controls": "Flight Controls",
    "fuel": "Fuel",
    "hydraulics": "Hydraulic Power",
    "ice": "Ice and Rain Protection",
    "instruments": "Instruments",
    "gear": "Landing Gear",
    "lights": "Lights",
    "navigation": "Navigation",
    "oxygen": "Oxygen",
    "vacuum": "Vacuum",
    "structure": "Standard Practices/Structures",
    "doors": "Doors",
    "fuselage": "Fuselage",
    "nacelles": "Nacelles/Pylons",
    "tail": "Stabilizers",
    "windows": "Windows",
    "wings": "Wings",
    "propeller": "Propellers",
    "cowling": "Powerplant",
    "carburettor": "Engine Fuel and Control",
    "ignition": "Ignition",
    "cooling": "Air",
    "engine-controls": "Engine Controls",
    "engine-instruments": "Engine Indicating",
    "exhaust": "Exhaust",
    "oil": "Engine Oil (airframe)",
    "starting": "Starting",
    "turbocharging": "Turbocharging",
    "engine": "Reciprocating Engine",
}
NOT_IN_JASC = {"records", "weighing"}


def test_the_built_in_systems_are_filed_under_their_chapters() -> None:
    assert {key: name_of(system.code) for key, system in BUILT_IN.items() if key not in NOT_IN_JASC} == CHAPTERS
    assert [name_of(BUILT_IN[key].code) for key in sorted(NOT_IN_JASC)] == ["", ""]


def test_every_code_stands_under_its_chapter_once_and_in_order() -> None:
    assert len(CODES) > 150
    assert all(is_code(code) and code[:2] in CODES and name for code, name in CODES.items())
    assert list(CODES) == sorted(CODES)
    assert len(set(CODES.values())) == len(CODES), "a name alone says which it is"


@pytest.mark.parametrize(
    ("code", "name"),
    [
        ("2432", "Battery/Charger"),
        ("2562", "Emergency Locator Beacon"),
        ("3244", "Tire"),
        ("7414", "Magneto/Distributor"),
        ("8530", "Engine Cylinder"),
        ("24", "Electrical Power"),
        ("2400", "Electrical Power (general)"),
        ("2497", "Electrical Power Wiring"),
    ],
)
def test_codes_of_the_table(code: str, name: str) -> None:
    assert name_of(code) == name


@pytest.mark.parametrize("code", ["8400", "84", "8497", "2499", "", "00", "97", "243", "24320", "\u0662\u0664"])
def test_codes_that_are_none(code: str) -> None:
    assert name_of(code) == ""


def test_a_word_finds_names_and_the_beginning_of_numbers() -> None:
    assert ("2432", "Battery/Charger") in matching(" BATTERY ")
    assert [code for code, _ in matching("742")] == ["7420", "7421"]
    assert matching() == list(CODES.items())
    assert matching("zeppelin") == []


def test_a_system_without_a_name_has_the_one_of_its_number(tmp_path: Path) -> None:
    systems = (
        'systems: {battery: {code: "2432"}, paint: {name: Paint}, electrical: {name: Volts}, fuel: {code: "2800"}}\n'
    )
    book = read(tmp_path, {"project.yaml": PROJECT + systems}).logbook
    assert [(book.system(key).code, book.system(key).name) for key in ("battery", "paint", "electrical", "fuel")] == [
        ("2432", "Battery/Charger"),
        ("", "Paint"),
        ("24", "Volts"),
        ("2800", "Fuel (general)"),
    ]


def test_a_code_of_ones_own_is_noted_once_where_it_is_first_written(tmp_path: Path) -> None:
    files = {
        "project.yaml": PROJECT + 'systems: {floats: {name: Floats, code: "36"}}\n',
        "components.yaml": 'a: {name: A, code: "8400"}\nb: {name: B, code: "8400"}\nc: {name: C, code: "36"}\n',
    }
    worked, _ = figures(read(tmp_path, files).logbook)
    notes = [problem for problem in audit(worked) if problem.name == "unknown-system-code"]
    assert [(problem.place.file, problem.severity) for problem in notes] == [
        ("project.yaml", "note"),
        ("components.yaml", "note"),
    ]
    assert notes[1].place.line == 1
    assert "8400" in notes[1].message and "own" in notes[1].remedy


def run(*words: str) -> Result:
    return CliRunner().invoke(main, ["schema", *words])


def test_the_table_is_listed_whole_or_by_a_word() -> None:
    whole, some, none = run("--codes"), run("--codes", "magneto"), run("--codes", "zeppelin")
    assert whole.exit_code == some.exit_code == 0
    assert whole.output.count("\n") == len(CODES) + 1
    assert "2008-10-27" in some.output.splitlines()[0]
    assert some.output.splitlines()[1:] == ["7414  Magneto/Distributor"]
    assert "nothing with 'zeppelin'" in none.output
