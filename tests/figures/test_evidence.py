"""What rules ask and what is shown: documented, reconstructed, unknown, and never surer than the record."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.figures.evidence import Shown
from buildlog.figures.figures import figures
from buildlog.records.audience import seen_by
from buildlog.records.logbook import Logbook
from tests.making import PROJECT, entry, read, worked

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
        told.append({(one.row.key, one.subject): one.standing for one in seen.shown})
    assert told[0] == told[1] == told[2]
    assert told[0]["identity", "engine"] == "reconstructed"


INK = ", paper: documents/page.pdf"
WHOLE = f"by: bob, as: condition-inspection, date: 2026-02-01, total_time: 10 h, words: 'SECRET {SAFE}'{INK}"
PROJECT_OF_BOB = PROJECT.replace("mechanic: {name", "bob: {name")


def inspected(root: Path, signed: str, audience: str, more: str = "") -> Logbook:
    files: dict[str, str | bytes] = {
        "project.yaml": PROJECT_OF_BOB,
        "components.yaml": COMPONENTS,
        "documents/page.pdf": "ink",
        "log/2026-02-01-y.md": entry(
            f"title: SECRET\ndate: 2026-02-01\naudience: {audience}\n{more}\nsigned: {{{signed}}}"
        ),
        "log/2026-02-02-z.md": entry("title: Next\ndate: 2026-02-02"),
    }
    return read(root, files).logbook


@pytest.mark.parametrize("audience", ["public", "handover", "private"])
@pytest.mark.parametrize(
    ("signed", "standing", "lacking"),
    [
        (WHOLE, "documented", ""),
        (WHOLE.replace(INK, ""), "unknown", "the signature in ink"),
        (WHOLE.replace("by: bob", "by: owner"), "unknown", "the number of the certificate, the kind"),
        (WHOLE.replace("total_time: 10 h, ", ""), "unknown", "the total time in service"),
        (WHOLE.replace("condition for", "state for"), "unknown", "the statement"),
        (WHOLE.replace("SECRET", "Airworthy, and"), "unknown", "the statement"),
        (WHOLE.replace("appendix D", "the book"), "unknown", "how far it went"),
        (WHOLE.replace("appendix D", "the book") + ", extent: SECRET", "documented", ""),
        (WHOLE.replace("condition-inspection", "work"), "unknown", ""),
        (WHOLE + ", certificate: {kind: SECRET}", "unknown", "the number of the certificate"),
    ],
)
def test_a_signed_inspection_stands_for_every_audience_as_for_the_builder(
    signed: str, standing: str, lacking: str, audience: str, tmp_path: Path
) -> None:
    book = inspected(tmp_path, signed, audience)
    for eyes in ("builder", "buyer", "inspector", "public"):
        seen = seen_by(book, eyes)
        worked = figures(seen)[0]
        (one,) = (one for one in worked.shown if one.row.key == "inspection-entries")
        assert one.standing == standing, eyes
        assert lacking in one.found.says
        assert ("2026-02-01" in one.found.says) == ("condition-inspection" in signed)
        may = audience == "public" or (audience == "handover" and eyes != "public") or eyes == "builder"
        assert len(worked.signatures) == may
        if not may:
            assert "SECRET" not in repr((seen.entries, worked.shown))
        if eyes == "public":
            assert not any(word in repr((seen.entries, worked.signatures)) for word in ("bob", "998877", "page.pdf"))


PARTS_OF_A_DAY = (
    "inspected: [check]",
    "directives: [again]",
    "hours: {mechanic: 2:00}",
    "components: [{overhauled: engine, by: shop, paper: documents/page.pdf}]",
    "components: [{removed: engine}]",
    "meter: {tach: %d h}",
    "closes: [F-%d]",
    "weight: [{installed: Box, weight: 2 lb, arm: 10 in}]",
    f"signed: {{{WHOLE.replace('bob', 'mechanic')}}}",
    f"signed: {{{WHOLE.replace('bob', 'mechanic').replace(INK, '')}}}",
    "",
)
DAYS = st.lists(
    st.tuples(st.sampled_from(PARTS_OF_A_DAY), st.sampled_from(["public", "handover", "private"])),
    min_size=1,
    max_size=6,
)


def standing_told(book: Logbook, audience: str) -> tuple[object, ...]:
    """The rows of standing: of the records, and of what falls due."""
    worked = figures(seen_by(book, audience))[0]
    rows = {(one.table.key, one.row.key, one.subject): one.standing for one in worked.shown}
    return rows, [(item.kind, item.key, item.state, item.due, item.left, item.last) for item in worked.due]


@given(DAYS, st.booleans())
def test_whatever_is_kept_back_every_audience_is_told_the_same(days: list[tuple[str, str]], hours: bool) -> None:
    """No finding is raised in what is kept back: a finding is told, or it is not there."""
    import tempfile

    raised = ", ".join(
        f"{{key: F-{number}, found: A, standing: deferred, until: 2026-06-01}}" for number in range(1, 8)
    )
    files: dict[str, str | bytes] = {
        "project.yaml": PROJECT.replace("costs: full", f"hours: {'yes' if hours else 'no'}"),
        "components.yaml": COMPONENTS.replace("engine: {", "engine: {life: {hours: 50 h, since: overhaul}, "),
        "documents/page.pdf": "ink",
        "checks.yaml": "checks:\n  - {key: check, name: Check, every: [10 h, 12 calendar months]}\n"
        "  - {key: named, name: Named, every: 1 year, last: 2026-02-01-x.md}\n",
        "directives.yaml": "directives:\n"
        "  - {key: again, number: N, title: A, about: engine, applies: yes, method: A, recurring: 20 h}\n",
        "log/2026-01-01-first.md": entry(f"title: First\ndate: 2026-01-01\nfindings: [{raised}]"),
    }
    for number, (facts, audience) in enumerate(days, 1):
        said = facts % number if "%d" in facts else facts
        files[f"log/2026-02-{number:02d}-x.md"] = entry(
            f"title: x\ndate: 2026-02-{number:02d}\nsystem: engine\naudience: {audience}\n{said}"
        )
    with tempfile.TemporaryDirectory() as folder:
        book = read(Path(folder), files).logbook
    whole = standing_told(book, "builder")
    for audience in ("public", "inspector", "buyer"):
        assert standing_told(book, audience) == whole, audience
