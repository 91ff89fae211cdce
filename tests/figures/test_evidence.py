"""What rules ask and what is shown: documented, reconstructed, unknown, and never surer than the record."""

from __future__ import annotations

from pathlib import Path

import pytest

from buildlog.figures.evidence import Shown
from buildlog.figures.figures import figures
from buildlog.records.audience import seen_by
from tests.making import entry, read, worked

COMPONENTS = (
    'engine: {name: Engine, system: engine, serial: "E-1"}\nhose: {name: Hose, system: fuel, life: {months: "60"}}\n'
)
SAFE = "inspected to the scope and detail of appendix D to part 43, found to be in a condition for safe operation"


def standing(root: Path, history: str = "", more: dict[str, str | bytes] | None = None) -> dict[tuple[str, str], Shown]:
    files: dict[str, str | bytes] = {
        "components.yaml": COMPONENTS,
        "log/2026-01-01-x.md": entry("title: Day\ndate: 2026-01-01\nsystem: [engine]\nmeter: {tach: 10 h}"),
    }
    if history:
        files["history.yaml"] = "facts:\n" + history
    return {(one.row.key, one.subject): one for one in worked(root, files | (more or {})).shown}


@pytest.mark.parametrize(
    ("fact", "expected"),
    [
        ("", "unknown"),
        ("basis: unknown, says: Nobody", "unknown"),
        ("value: 361 h, on: 2026-01-01, basis: document, says: A slip", "documented"),
        ("value: 361 h, on: 2026-01-01, basis: statement, says: Hearsay", "reconstructed"),
        ("at_least: 361 h, on: 2026-01-01, basis: document, says: A slip", "reconstructed"),
        ("value: 361 h, on: 2004, basis: document, says: An old slip", "reconstructed"),
    ],
)
def test_total_time_is_documented_only_where_it_is_exact_and_can_be_held_up(
    fact: str, expected: str, tmp_path: Path
) -> None:
    history = f"  - {{about: engine, quantity: time_since_new, {fact}}}\n" if fact else ""
    one = standing(tmp_path, history)["total-time", "engine"]
    assert one.standing == expected
    assert one.found.says


def test_a_life_is_never_inferred(tmp_path: Path) -> None:
    assert standing(tmp_path)["life-limited-parts", "hose"].standing == "unknown"
    made = {"components.yaml": COMPONENTS.replace("system: fuel,", "system: fuel, made: 2026-01,")}
    assert standing(tmp_path / "made", more=made)["life-limited-parts", "hose"].standing == "documented"


def test_an_inspection_is_shown_only_by_a_signed_entry_with_all_that_is_asked(tmp_path: Path) -> None:
    assert standing(tmp_path)["inspection-entries", "aircraft"].standing == "unknown"
    signed = f"by: mechanic, as: condition-inspection, date: 2026-02-01, total_time: 10 h, words: '{SAFE}'"
    day = "title: Day\ndate: 2026-02-01\nsystem: [engine]\nsigned: {%s}"
    half = standing(tmp_path / "half", more={"log/2026-02-01-y.md": entry(day % signed)})
    assert half["inspection-entries", "aircraft"].standing == "unknown"
    assert "signature in ink" in half["inspection-entries", "aircraft"].found.says
    whole: dict[str, str | bytes] = {
        "log/2026-02-01-y.md": entry(day % (signed + ", paper: documents/page.pdf")),
        "documents/page.pdf": "ink",
    }
    assert standing(tmp_path / "whole", more=whole)["inspection-entries", "aircraft"].standing == "documented"


@pytest.mark.parametrize(
    ("written", "state", "expected"),
    [
        ("applies: unknown", "not-determined", "unknown"),
        ("applies: yes", "open", "unknown"),
        ("applies: yes, method: Looked at", "done", "reconstructed"),
        ("applies: yes, method: Looked at, revision: 2019-03-04", "done", "documented"),
        ("applies: yes, method: Looked at, revision: 2019-03-04, recurring: 100 h", "recurring", "documented"),
        ("applies: no, because: Serial out of range", "not-applicable", "reconstructed"),
    ],
)
def test_directives(written: str, state: str, expected: str, tmp_path: Path) -> None:
    text = f"directives:\n  - {{key: D-1, number: D-1, title: Look, about: engine, {written}}}\n"
    one = standing(tmp_path, more={"directives.yaml": text})
    assert one["directives", "engine"].standing == expected
    assert one["directives", "airframe"].standing == "unknown"
    files: dict[str, str | bytes] = {"components.yaml": COMPONENTS, "directives.yaml": text}
    (found,) = worked(tmp_path / "again", files).directives
    assert found.state == state


def test_every_audience_is_told_the_same_standing(tmp_path: Path) -> None:
    history = "  - {about: engine, quantity: time_since_new, value: 3 h, basis: document, says: Slip, evidence: [documents/a.pdf]}\n"
    files: dict[str, str | bytes] = {
        "components.yaml": COMPONENTS,
        "documents/a.pdf": "paper",
        "history.yaml": "facts:\n" + history,
        "log/2026-01-01-x.md": entry(
            "title: Day\ndate: 2026-01-01\nsystem: [engine]\naudience: handover\nmeter: {tach: 10 h}\n"
            "components: [{overhauled: engine, by: shop, paper: documents/a.pdf}]"
        ),
    }
    book = read(tmp_path, files).logbook
    told = []
    for audience in ("public", "inspector", "buyer"):
        seen, _ = figures(seen_by(book, audience))
        told.append({(one.row.key, one.subject): one.standing for one in seen.shown if one.row.key != "work-records"})
    assert told[0] == told[1] == told[2]
    assert told[0]["identity", "engine"] == "reconstructed"
