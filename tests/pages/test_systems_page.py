"""The table of systems adds up to the record; each sheet tells what was filed under its system (laying.py)."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from buildlog.pages.filed import filed
from buildlog.pages.systems import system_sheets
from buildlog.records.kept_back import NOT_SHOWN
from tests.making import entry, worked
from tests.pages.laying import laid, rules, spaced


def test_the_table_by_hand_with_what_names_no_system(tmp_path: Path) -> None:
    view = laid(system_sheets, tmp_path)["systems.html"].view
    assert [
        (line.tab.code, line.tab.name, line.entries, line.hours, line.cost, spaced(line.weight), line.open, line.closed)
        for line in view.lines
    ] == [
        ("08", "Weighing", 1, "7:15", "45.00", "", 0, 0),
        ("24", "Electrical", 2, "6:00", "266.50", "-19.2", 1, 1),
        ("25", "Cabin", 0, "", "", "+2.0", 0, 0),
        ("28", "Fuel", 1, "3:01", "7.50", "", 0, 0),
        ("34", "Navigation", 1, "", "", "", 0, 0),
        ("73", "Engine fuel", 2, "2:30", "908.25", "", 0, 0),
        ("80", "Starting", 0, "", "", "", 0, 0),
        ("85", "Engine", 0, "", "", "", 0, 0),
        ("", "No one system", 0, "0:44", "35.00", "", 0, 0),
    ]
    total = view.total
    assert (total.entries, total.hours, total.cost, total.ordered, spaced(total.weight), total.open, total.closed) == (
        4,
        "19:30",
        "1,262.25",
        "214.00",
        "-17.2",
        1,
        1,
    )
    assert (spaced(view.general.ledger.hours), spaced(view.general.ledger.money)) == ("0:44 h", "35.00 USD")


def test_a_system_that_is_only_named_has_its_sheet_so_that_no_tab_is_dead(tmp_path: Path) -> None:
    sheets = laid(system_sheets, tmp_path)
    assert set(sheets) == {"systems.html"} | {
        f"systems/{key}.html"
        for key in ("weighing", "electrical", "cabin", "fuel", "navigation", "carburettor", "starting", "engine")
    }
    for line in sheets["systems.html"].view.lines:
        assert not line.tab.path or line.tab.path in sheets


def test_a_sheet_shows_shares_that_add_up(tmp_path: Path) -> None:
    view = laid(system_sheets, tmp_path)["systems/carburettor.html"].view
    assert view.span == "2 entries, May 2\u2009\u2013\u2009Jul 20, 2026"
    assert [(row.title, row.path, spaced(row.hours), spaced(row.money), row.also) for row in view.work.rows] == [
        ("Ordered", "log/2026-05-02-order.html", "1:00 h", "274.23 USD", "Fuel"),
        ("Carburettor back", "log/2026-07-20-back.html", "1:30 h", "634.02 USD", ""),
    ]
    assert (spaced(view.work.hours), spaced(view.work.money)) == ("2:30 h", "908.25 USD")
    assert [(line.item, line.amount, line.whole) for line in view.costs] == [
        ("Ordered", "2.50", "10.00"),
        ("Overhaul, deposit", "271.73", ""),
        ("Overhaul, balance", "634.02", ""),
    ]
    assert [(line.kind, line.amount) for line in view.kinds] == [("parts", "2.50"), ("services", "905.75")]
    assert [(role.role, spaced(role.hours)) for role in view.roles] == [("owner", "2:30 h")]


def test_a_sheet_gathers_what_belongs_to_its_system(tmp_path: Path) -> None:
    view = laid(system_sheets, tmp_path)["systems/electrical.html"].view
    assert [(part.name, part.state, part.since) for part in view.fitted] == [
        ("New battery", "installed", "Jul 8, 2026")
    ]
    assert [(part.name, part.state, part.since) for part in view.gone] == [("Old battery", "scrapped", "Jul 9, 2026")]
    assert [(line.what, line.before, line.value) for line in view.measured] == [("Voltage", "11.0 V", "13.3 V")]
    assert [(line.key, line.open) for line in view.findings] == [("F-2", True), ("F-1", False)]
    assert [line.item for line in view.parts] == ["Battery", "Box", "Bracket"]
    assert [(line.item, spaced(line.weight)) for line in view.changes] == [
        ("Old battery", "-24.3"),
        ("New battery", "+5.1"),
    ]
    assert [(line.question, line.chosen, line.path) for line in view.decisions] == [
        ("Where to?", "Shelf", "decisions/place.html")
    ]
    assert [photo.file for photo in view.photos] == ["photos/battery.jpg"]


def test_what_is_known_and_asked_stands_on_its_sheet_or_on_the_table(tmp_path: Path) -> None:
    sheets = laid(system_sheets, tmp_path)
    engine, table = sheets["systems/engine.html"].view, sheets["systems.html"].view
    assert [(fact.what, fact.value, fact.when, fact.basis, fact.says) for fact in engine.known] == [
        ("Time since new", "at least 412.6 h", "about 2001", "inferred", "A meter")
    ]
    assert [(row.key, row.answered.path if row.answered else None) for row in engine.questions] == [
        ("Q-1", None),
        ("Q-2", "log/2026-07-08-battery.html"),
    ]
    assert [(fact.what, fact.when) for fact in table.facts] == [("Last flight", "autumn 2006")]


def test_an_entry_not_shown_is_a_weight_without_a_link(tmp_path: Path) -> None:
    view = laid(system_sheets, tmp_path)["systems/cabin.html"].view
    assert view.work.rows == ()
    assert spaced(view.work.weight) == "+2.0 lb"
    assert [(line.item, line.source.path) for line in view.changes] == [(NOT_SHOWN, "")]


def test_no_money_and_no_hours_leave_nothing_of_them(tmp_path: Path) -> None:
    none = laid(system_sheets, tmp_path / "a", "inspector")
    assert "USD" not in repr([sheet.view for path, sheet in none.items()]).replace("currency='USD'", "")
    blind = laid(system_sheets, tmp_path / "b", files=rules("costs: totals, hours: no"))
    for sheet in blind.values():
        assert "\u00a0h'" not in repr(sheet.view), sheet.path
    sheet = blind["systems/carburettor.html"].view
    assert (sheet.costs, spaced(sheet.work.money)) == ((), "908.25 USD")
    assert all(not row.money and not row.hours for row in sheet.work.rows)


@settings(max_examples=25, deadline=None)
@given(st.data())
def test_drawers_add_up_to_the_record_whatever_is_shared(tmp_path_factory: object, data: st.DataObject) -> None:
    systems = ["fuel", "engine", "oil", "wings"]
    files: dict[str, str | bytes] = {}
    for number in range(data.draw(st.integers(1, 4))):
        mine = data.draw(st.lists(st.sampled_from(systems), unique=True, max_size=4))
        cents, minutes = data.draw(st.integers(0, 99999)), data.draw(st.integers(1, 600))
        line = data.draw(st.sampled_from(["", ", system: radio", ", system: oil"]))
        files[f"log/2026-01-{number + 1:02d}-x.md"] = entry(
            f"title: x\ndate: 2026-01-{number + 1:02d}\nsystem: [{', '.join(mine)}]\nhours: {minutes} min\n"
            f"costs: [{{item: x, cost: {cents // 100}.{cents % 100:02d} USD{line}}}]\n"
            f"orders: [{{key: O{number}, item: y, cost: 9.99 USD}}]\n"
            f"weight: [{{installed: z, weight: {number} lb{line}}}]"
        )
    found = worked(tmp_path_factory.mktemp("any"), files)  # type: ignore[attr-defined]
    drawers = filed(found)
    assert sum(sum(drawer.minutes.values()) for drawer in drawers.values()) == found.labour.minutes()
    assert sum(sum(drawer.money.values()) for drawer in drawers.values()) == found.cost.net()
    assert sum(drawer.ordered for drawer in drawers.values()) == found.cost.ordered()
    assert (
        sum((sum(drawer.kg.values(), Fraction(0)) for drawer in drawers.values()), Fraction(0)) == found.weight.total()
    )
    assert {key: sum(d.minutes.values()) for key, d in drawers.items() if d.minutes} == found.labour.by_system()
