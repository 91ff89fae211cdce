"""In what order problems are told, what a check explains, and what its message says."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from buildlog.audit.run import CHECKS, by_weight, name_of
from buildlog.basics.problems import Place, Problem, Severity
from buildlog.cli import main
from tests.audit.test_checks import BOX, DAY, LATER, MAGNETO, OFF, SHOWN, SURVEYED, Files, jpeg, png_head, problems
from tests.making import entry, read

HOURS = "about: engine, quantity: time_since_new, basis: document, says: z"
SINCE = "about: engine, quantity: time_since_overhaul, basis: document, says: z"
SHEET = "about: aircraft, quantity: empty_weight, basis: document, says: z"
FLOWN = "about: aircraft, quantity: last_flight, basis: statement, says: z"


def found(root: Path, files: Files, name: str) -> list[Problem]:
    """What one check finds in a project."""
    return [problem for problem in problems(root, files) if problem.name == name]


def conflicts(root: Path, *facts: str) -> list[Problem]:
    """The conflicts of a history of these facts."""
    history = "facts:\n" + "".join(f"  - {{{fact}}}\n" for fact in facts)
    files = {"components.yaml": "engine: {name: Engine}\n", "history.yaml": history}
    return found(root, files | {"log/2026-07-04-x.md": entry(DAY)}, "facts-conflict")


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (f"{HOURS}, value: 412 h, on: 2004-06-14", f"{HOURS}, at_most: 400 h, on: 2005-01-20"),
        (f"{HOURS}, value: 412 h, on: 2004", f"{HOURS.replace('since_new', 'in_service')}, value: 361 h, on: 2005"),
        (f"{SINCE}, value: 12 h, on: 2004-06-14", f"{SINCE}, value: 30 h, on: 2004-06-14"),
        (f"{SHEET}, value: 748 lb, on: 1993", f"{SHEET}, value: 749 lb, on: 1993"),
        (f"{SHEET}, value: 748 lb", f"{SHEET}, value: 12 in"),
        (f"{FLOWN}, on: 2004", f"{FLOWN}, on: 2006-23"),
        (SHEET.replace("empty_weight", "serial, value: M-1"), SHEET.replace("empty_weight", "serial, value: M-2")),
    ],
)
def test_facts_that_cannot_both_be_true(tmp_path: Path, one: str, other: str) -> None:
    (conflict,) = conflicts(tmp_path, one, other)
    assert (conflict.severity, conflict.place.line) == ("note", 3)
    assert [place.line for place in conflict.also] == [2]


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (f"{HOURS}, value: 361 h, on: 2004-06-14", f"{HOURS}, at_least: 361 h, on: 2005-01-20"),
        (f"{HOURS}, value: 412 h, on: 2004", f"{HOURS.replace('engine', 'airframe')}, value: 361 h, on: 2005"),
        (f"{HOURS}, value: 412 h, on: 2004", f"{HOURS.replace('document', 'unknown')}, value: 361 h, on: 2005"),
        (f"{SINCE}, value: 412 h, on: 2004-06-14", f"{SINCE}, value: 3 h, on: 2005-06-14"),
        (f"{SHEET}, value: 748 lb, on: 1993", f"{SHEET}, value: 748.0 lbs, on: 1993"),
        (f"{SHEET}, value: 748 lb, on: 1993", f"{SHEET}, value: 760 lb, on: 2001"),
        (f"{FLOWN}, on: 2006", f"{FLOWN}, on: 2006-23"),
        (
            SHEET.replace("empty_weight", "work, value: new seals"),
            SHEET.replace("empty_weight", "work, value: new rings"),
        ),
    ],
)
def test_facts_that_can_both_be_true(tmp_path: Path, one: str, other: str) -> None:
    assert not conflicts(tmp_path, one, other)


def test_a_hidden_margin_names_what_carries_most_of_it(tmp_path: Path) -> None:
    (hidden,) = found(tmp_path, SURVEYED | {"log/2026-07-04-x.md": entry(DAY + BOX)}, "tolerance-hides-margin")
    assert hidden.message.startswith("Solo: 0.05 in inside the forward limit, and good to \u00b1 0.25 in")
    assert "% of that is Box (estimated)" in hidden.message
    assert "weigh it" in hidden.remedy
    assert [place.file for place in hidden.also] == ["log/2026-07-04-x.md"]


@pytest.mark.parametrize(
    "later",
    [
        "components: [{tagged: magneto, state: scrapped}]",
        "components: [{repaired: magneto}]",
        "findings: [{key: F, found: z, standing: cosmetic, component: magneto}]",
    ],
)
def test_a_fate_is_an_event_or_a_finding(tmp_path: Path, later: str) -> None:
    files = MAGNETO | {"log/2026-07-04-x.md": entry(DAY + OFF), "log/2026-12-04-y.md": entry(LATER + later)}
    assert not found(tmp_path, files, "unserviceable-without-fate")


def test_a_finding_that_is_closed_has_no_day_to_keep(tmp_path: Path) -> None:
    deferred = (
        "findings: [{key: F, found: z, standing: deferred}, {key: G, found: z, standing: deferred, until: 2026-08-01}]"
    )
    files = {"log/2026-07-04-x.md": entry(DAY + deferred)}
    files["log/2026-12-04-y.md"] = entry(LATER + "closes: [{key: F, by: paint}, {key: G, by: paint}]")
    assert not found(tmp_path, files, "finding-past-its-day")
    assert not found(tmp_path, files, "finding-deferred-without-limit")


def test_a_picture_with_too_many_pixels_is_huge_and_not_unreadable(tmp_path: Path) -> None:
    files = SHOWN | {"photos/a.jpg": png_head(40_000, 40_000)}
    (huge,) = found(tmp_path, files, "photo-huge")
    assert "too many pixels to open" in huge.message
    assert not found(tmp_path, files, "photo-unreadable")


def test_48_million_pixels_are_told_and_may_stay(tmp_path: Path) -> None:
    (huge,) = found(tmp_path, SHOWN | {"photos/a.jpg": png_head(8_000, 6_000)}, "photo-huge")
    assert huge.severity == "note"
    assert "48 million pixels" in huge.message
    assert "leave it if the detail counts" in huge.remedy


def test_a_film_is_no_picture_that_cannot_be_read(tmp_path: Path) -> None:
    films = {"log/2026-07-04-x.md": entry(DAY + "photos: [photos/run.mp4]")}
    good, bad = (
        films | {"photos/run.mp4": b"\0\0\0\x14ftypisom" + bytes(8)},
        films | {"photos/run.mp4": b"no film at all"},
    )
    assert not found(tmp_path / "good", good, "photo-unreadable")
    assert not found(tmp_path / "good", good, "photo-huge")
    (trouble,) = found(tmp_path / "bad", bad, "photo-unreadable")
    assert trouble.message == "photos/run.mp4: this is not a film of a kind that can be shown"


def test_a_long_film_is_told(tmp_path: Path) -> None:
    long = b"\0\0\0\x14ftypisom" + bytes(100_000_000)
    files = {"log/2026-07-04-x.md": entry(DAY + "photos: [photos/run.mp4]"), "photos/run.mp4": long}
    (huge,) = found(tmp_path, files, "photo-huge")
    assert huge.message == "photos/run.mp4: a film of 100 MB"


@pytest.mark.parametrize("broken", [b"", b"text", jpeg()[:3], jpeg()[:30]])
def test_a_broken_picture_is_told_without_a_path_of_this_machine(tmp_path: Path, broken: bytes) -> None:
    (trouble,) = found(tmp_path, SHOWN | {"photos/a.jpg": broken}, "photo-unreadable")
    assert trouble.message.startswith("photos/a.jpg: ")
    assert str(tmp_path) not in trouble.message + trouble.remedy


@pytest.mark.parametrize("day", ["0000:00:00 00:00:00", "2026:13:45 00:00:00", "soon"])
def test_a_camera_without_a_clock_is_no_problem(tmp_path: Path, day: str) -> None:
    assert not found(tmp_path, SHOWN | {"photos/a.jpg": jpeg(day)}, "photo-dated-far")


def test_an_old_picture_shown_again_is_not_far_from_its_own_entry(tmp_path: Path) -> None:
    files = SHOWN | {"photos/a.jpg": jpeg("2026:07:04 12:00:00")}
    again = {"log/2026-12-04-y.md": entry(LATER, "![A](../photos/a.jpg)\n")}
    assert not found(tmp_path, files | again, "photo-dated-far")


def test_the_command_looks_into_the_pictures(tmp_path: Path) -> None:
    read(tmp_path, SHOWN | {"photos/a.jpg": "x"})
    told = CliRunner().invoke(main, ["audit", "--strict", "--project", str(tmp_path)])
    assert told.exit_code == 1
    assert "photo-unreadable" in told.output


def test_the_weightiest_come_first() -> None:
    def made(name: str, severity: Severity, file: str = "a.md") -> Problem:
        return Problem(Place(file, 1), name, "m", "r", severity)

    first, last = name_of(CHECKS[1]), name_of(CHECKS[-1])
    right = [
        made("broken-date", Severity.ERROR, "z.md"),
        made("unknown-field", Severity.WARNING, "z.md"),
        made(first, Severity.WARNING, "b.md"),
        made(first, Severity.WARNING, "c.md"),
        made(last, Severity.WARNING),
        made(last, Severity.NOTE),
    ]
    assert by_weight(reversed(right)) == right


def test_the_command_tells_warnings_before_notes(tmp_path: Path) -> None:
    facts = "findings: [{key: F, found: z, standing: deferred}]\nparts: [{item: Hose}]"
    read(tmp_path, {"log/2026-07-04-x.md": entry(DAY + facts)})
    told = CliRunner().invoke(main, ["audit", "--project", str(tmp_path)])
    assert told.exit_code == 0
    assert told.output.index("finding-deferred-without-limit") < told.output.index("part-not-weighed")


@pytest.mark.parametrize("check", CHECKS, ids=name_of)
def test_a_check_is_explained_without_a_project(check: object) -> None:
    name = name_of(check)  # type: ignore[arg-type]
    told = CliRunner().invoke(main, ["audit", "--explain", name])
    assert told.exit_code == 0
    assert all(word in told.output for word in (name, "Why:", "Wrong:", "Right:"))


@pytest.mark.parametrize(("wrong", "near"), [("fact-conflict", "facts-conflict"), ("zzz", "checks: secret-in-words")])
def test_a_wrong_name_is_answered_with_the_near_ones(wrong: str, near: str) -> None:
    told = CliRunner().invoke(main, ["audit", "--explain", wrong])
    assert told.exit_code == 2
    assert near in told.output
