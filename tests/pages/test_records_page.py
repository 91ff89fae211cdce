"""The records page, the page of directives, and what of it stands on the sheets of systems and components."""

from __future__ import annotations

from pathlib import Path

from buildlog.pages.components import component_sheets
from buildlog.pages.directives import directive_sheets
from buildlog.pages.records import record_sheets
from buildlog.pages.systems import system_sheets
from tests.making import entry
from tests.pages.laying import laid

FILES: dict[str, str | bytes] = {
    "components.yaml": 'engine: {name: Engine, system: engine, serial: "E-1"}\n',
    "history.yaml": """\
facts:
  - {about: engine, quantity: time_since_new, value: 361 h, on: 2004, basis: document, says: A carbon slip}
  - {about: engine, quantity: top_overhaul, on: 2001~, basis: statement, says: The brother}
questions:
  - {key: Q-1, about: engine, ask: When was it overhauled?}
""",
    "directives.yaml": "directives:\n"
    "  - {key: D-1, number: D 1, title: Look, about: engine, applies: unknown, because: Lot not seen}\n"
    "  - {key: D-2, number: D 2, title: Wait, kind: bulletin, about: engine, applies: yes, method: Waited}\n",
    "log/2026-01-01-x.md": entry("title: Day\ndate: 2026-01-01\nsystem: [engine]\nmeter: {tach: 412.6 h}"),
    "log/2026-01-02-x.md": entry("title: Run\ndate: 2026-01-02\nsystem: [engine]\nmeter: {tach: 413.6 h}"),
}


def test_the_engine_can_be_read_off_the_records_page(tmp_path: Path) -> None:
    view = laid(record_sheets, tmp_path, files=FILES)["records.html"].view
    rows = {row.anchor: row for table in view.tables for row in table.rows}
    (time,) = [line for line in rows["us-total-time"].lines if line.about.words == "Engine"]
    assert (time.standing, time.says) == ("reconstructed", "At least 362.0 h, by document")
    assert [fact.says for fact in time.facts] == ["A carbon slip"]
    (overhaul,) = rows["us-time-since-overhaul"].lines
    assert (overhaul.standing, overhaul.says) == (
        "unknown",
        "Time since overhaul unknown; not claimed to be overhauled",
    )
    assert [(fact.basis, fact.says) for fact in overhaul.facts] == [("statement", "The brother")]
    assert [question.ask for question in view.questions] == ["When was it overhauled?"]


def test_the_grid_says_what_the_rows_say_and_the_counts_add_up(tmp_path: Path) -> None:
    view = laid(record_sheets, tmp_path, files=FILES)["records.html"].view
    cells = [cell.standing for _, _, row in view.grid for cell in row if cell]
    lines = [line.standing for table in view.tables for row in table.rows for line in row.lines]
    assert sorted(cells) == sorted(lines)
    assert {name: number for name, number in view.tables[0].counts if number} == {
        one: lines.count(one) for one in lines
    }
    assert [link.words for link in view.columns][:2] == ["Aircraft", "Airframe"]


def test_sheets_of_system_and_component_carry_their_own_rows(tmp_path: Path) -> None:
    component = laid(component_sheets, tmp_path, files=FILES)["components/engine.html"].view
    assert [(time.since, time.hours) for time in component.times] == [
        ("since new", "at least 362.0 h"),
        ("since fitted in this log", "at least 1.0 h"),
    ]
    system = laid(system_sheets, tmp_path / "system", files=FILES)["systems/engine.html"].view
    assert system.asked == component.asked
    assert {line.standing for line in system.asked} == {"reconstructed", "unknown"}


def test_directives_by_what_wants_attention(tmp_path: Path) -> None:
    view = laid(directive_sheets, tmp_path, files=FILES)["directives.html"].view
    assert [(line.number, line.state, line.wants) for line in view.directives] == [("D 1", "not determined", True)]
    assert [(line.number, line.state, line.wants) for line in view.bulletins] == [("D 2", "done", False)]
    assert view.summary == "Considered: 1 not determined; 1 done."


def test_no_judgement_is_printed(tmp_path: Path) -> None:
    sheets = laid(record_sheets, tmp_path, files=FILES) | laid(directive_sheets, tmp_path / "d", files=FILES)
    text = " ".join(repr(sheet.view) for sheet in sheets.values()).casefold()
    for word in (" compliant", "approved", "is airworthy"):
        assert word not in text


def test_facts_that_cannot_both_be_true_stand_side_by_side(tmp_path: Path) -> None:
    more = "  - {about: engine, quantity: time_since_new, value: 300 h, on: 2008, basis: statement, says: The seller}\n"
    history = str(FILES["history.yaml"]).replace("questions:", more + "questions:")
    view = laid(record_sheets, tmp_path, files=FILES | {"history.yaml": history})["records.html"].view
    assert [[row.says for row in pair] for pair in view.conflicts] == [["A carbon slip", "The seller"]]
    assert {"A carbon slip", "The seller"} <= {row.says for row in view.facts}, "both are kept"
