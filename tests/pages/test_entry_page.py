"""An entry's page by hand: the margin, the tables and their sums, both ends of a correction (laying.py)."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.pages.entry import EntryView, entry_sheets
from buildlog.pages.ruled import span_of
from buildlog.pages.words import Words
from tests.making import entry, worked
from tests.pages.laying import FILES, laid, rules, spaced

BATTERY, ORDER, BACK = "log/2026-07-08-battery.html", "log/2026-05-02-order.html", "log/2026-07-20-back.html"


def facts(view: EntryView) -> dict[str, tuple[str, list[str]]]:
    """The margin as plain words: figure and lines by name."""
    return {
        fact.name: (spaced(fact.figure), [spaced(f"{line.words} {line.note}".strip()) for line in fact.lines])
        for fact in view.facts
    }


def test_the_margin_by_hand(tmp_path: Path) -> None:
    view = laid(entry_sheets, tmp_path)[BATTERY].view
    told = facts(view)
    assert told["Work"] == ("6:00 h", [])
    assert told["Money"] == (
        "266.50 USD",
        ["285.00 paid, 18.50 back"],
    )  # 212.00 and 100 CAD at 0.73, less 18.50
    assert told["Weight"] == ("-19.2 lb", ["at 73.00 in"])
    # 765.0 lb and 24,246.75 lb in, less 19.2 lb at 73 in: 745.8 lb, 22,845.15 lb in.
    assert told["Empty after this"] == ("745.8 lb", ["centre of gravity 30.63 in"])
    assert told["Out"] == ("", ["Old battery, 24.3 lb"])
    assert told["In"] == ("", ["New battery, 5.1 lb"])
    assert told["Components"] == ("", ["Old battery: removed", "New battery: installed"])
    assert told["Found"] == ("", ["Scratch cosmetic, still open"])
    assert told["Closed"] == ("", ["Terminal loose new terminal"])
    assert told["Answers"] == ("", ["What oil?"])
    assert told["Job"] == ("", ["Battery 6:00 h in all, 6:00 h expected, done July 8, 2026"])
    paths = {line.words: line.path for fact in view.facts for line in fact.lines}
    assert paths["Terminal loose"] == "findings.html#F-1"
    assert paths["What oil?"] == "components/engine.html#k-Q-2"
    assert paths["Old battery, 24.3\u00a0lb"] == "components/battery-1.html"
    assert [line.basis for fact in view.facts for line in fact.lines if line.basis] == [
        "weighed",
        "published",
    ]


def test_what_was_bought_adds_up(tmp_path: Path) -> None:
    tables = laid(entry_sheets, tmp_path)[BATTERY].view.tables
    rows = [
        (row.item, row.quantity, spaced(row.price), [spaced(text) for text in row.details]) for row in tables.bought
    ]
    assert rows == [
        ("Bracket", "", "", []),
        ("Battery", "", "212.00 USD", ["part number V-8"]),
        ("Box", "2", "100.00 CAD", ["73.00 USD at the stated rate", "50.00 CAD each", "material"]),
        ("Box back", "", "-18.50 USD", ["refund"]),
    ]
    assert spaced(tables.net) == "266.50 USD"
    assert tables.refunds
    assert not tables.suppliers
    assert all(row.receipt is None for row in tables.bought)
    assert [(row.what, row.before, row.value, row.limits) for row in tables.measured] == [
        ("Voltage", "11.0 V", "13.3 V", "over 13.2 V")
    ]
    assert [(row.item, spaced(row.weight), row.basis, row.arm, spaced(row.moment)) for row in tables.weights] == [
        ("Old battery", "-24.3", "weighed", "73.00", "-1,773.9"),
        ("New battery", "+5.1", "published", "73.00", "372.3"),
    ]
    assert spaced(tables.weights_sum) == "-19.2 lb"
    assert spaced(tables.moments_sum) == "-1,401.6 lb in"


def test_whoever_may_see_them_sees_suppliers_and_receipts(tmp_path: Path) -> None:
    tables = laid(entry_sheets, tmp_path, "buyer")[BATTERY].view.tables
    battery = next(row for row in tables.bought if row.item == "Battery")
    assert tables.suppliers
    assert battery.supplier == "Some shop"
    assert battery.receipt is not None
    assert battery.receipt.path == "documents/receipt.pdf"


def test_orders_are_told_where_they_are_made_and_where_they_end(tmp_path: Path) -> None:
    sheets = laid(entry_sheets, tmp_path)
    made = [
        (row.what, row.item, spaced(row.price), row.terms, row.fate, row.path, row.open)
        for row in sheets[ORDER].view.tables.orders
    ]
    assert [(what, item, spaced(price), fate, path, still) for what, item, price, _, fate, path, still in made] == [
        ("Ordered", "Overhaul", "905.75 USD", "came July 20, 2026", BACK, False),
        ("Ordered", "Encoder", "214.00 USD", "not here yet, promised for May 16, 2026", "", True),
        ("Quote", "Paint", "4,000.00 USD", "not decided", "", True),
        ("Quote", "Exchange", "1,480.00 USD", "declined", "", False),
    ]
    assert spaced(made[0][3]) == "promised in 11 weeks, 271.73 USD paid down"
    (came,) = sheets[BACK].view.tables.orders
    assert (came.what, came.fate, came.path) == (
        "Arrived",
        "ordered May 2, 2026, promised for July 18, 2026",
        ORDER,
    )
    # The balance that no line states is paid on the day it came: 905.75 less 271.73.
    assert [(row.item, spaced(row.price)) for row in sheets[BACK].view.tables.bought] == [
        ("Overhaul, balance", "634.02 USD")
    ]
    assert spaced(sheets[BACK].view.tables.net) == "634.02 USD"


@pytest.mark.parametrize("costs", ["totals", "none"])
def test_single_amounts_are_kept_back(tmp_path: Path, costs: str) -> None:
    sheets = laid(entry_sheets, tmp_path, files=rules(f"costs: {costs}"))
    for path in (BATTERY, ORDER, BACK):
        view = sheets[path].view
        assert "Money" not in facts(view)
        assert not view.tables.net
        assert not any(row.price for row in (*view.tables.bought, *view.tables.orders))
        assert "USD" not in repr(view).replace("USD 1", "")
    assert [row.item for row in sheets[BATTERY].view.tables.bought] == ["Battery", "Box", "Bracket"]


def test_hours_are_kept_back(tmp_path: Path) -> None:
    told = facts(laid(entry_sheets, tmp_path, files=rules("costs: full, hours: no"))[BATTERY].view)
    assert "Work" not in told
    assert told["Job"] == ("", ["Battery done July 8, 2026"])


def test_an_entry_that_may_not_be_read_has_no_page_and_no_neighbour(tmp_path: Path) -> None:
    sheets = laid(entry_sheets, tmp_path)
    assert not any("private" in path for path in sheets)
    view = sheets[BACK].view
    assert (view.before.path, view.after) == (BATTERY, None)
    assert sheets[BATTERY].view.after.path == BACK
    everything = laid(entry_sheets, tmp_path, "builder")
    assert everything[BACK].view.before.path == "log/2026-07-09-private.html"
    assert everything["log/2026-07-09-private.html"].view.audience == "For the builder alone."


def test_several_people_are_told_by_role_or_by_name(tmp_path: Path) -> None:
    weighing = "log/2026-03-14-weighing.html"
    public = facts(laid(entry_sheets, tmp_path)[weighing].view)
    assert public["Work"] == ("7:15 h", ["owner 5:15", "mechanic 2:00"])
    # Three scales good for 0.1 lb; of the arm nearly all is the main wheels' quarter inch, 723.5 / 765.0 of it.
    assert public["Empty, as weighed"] == ("765.0 ± 0.2 lb", ["centre of gravity 31.70 ± 0.24 in"])
    buyer = facts(laid(entry_sheets, tmp_path, "buyer")[weighing].view)
    assert buyer["Work"][1] == ["Ann Sample 5:15", "Bob Example 2:00"]


SIGNED = FILES | {
    "log/2026-07-21-signed.md": entry("""
title: Signed
date: 2026-07-21
system: electrical
corrects: 2026-07-08-battery.md
signed: {by: mechanic, as: return-to-service, date: 2026-07-21, words: Battery replaced}
"""),
}


def test_a_correction_is_told_at_both_ends(tmp_path: Path) -> None:
    sheets = laid(entry_sheets, tmp_path, files=SIGNED)
    right = sheets["log/2026-07-21-signed.html"].view
    assert right.corrects.path == BATTERY
    (by,) = sheets[BATTERY].view.corrected_by
    assert (by.path, by.words, by.note) == ("log/2026-07-21-signed.html", "Signed", "July 21, 2026")
    assert sheets[BATTERY].view.corrects is None


def test_a_signature_says_who_and_as_what(tmp_path: Path) -> None:
    path = "log/2026-07-21-signed.html"
    (public,) = laid(entry_sheets, tmp_path, files=SIGNED)[path].view.tables.signed
    assert public.who == "by the mechanic (mechanic), July 21, 2026, as return to service"
    assert public.words == "Battery replaced"
    (buyer,) = laid(entry_sheets, tmp_path, "buyer", SIGNED)[path].view.tables.signed
    assert buyer.who == "by Bob Example (mechanic, 998877), July 21, 2026, as return to service"


def test_the_rule_marks_the_months_and_the_day(tmp_path: Path) -> None:
    rule = laid(entry_sheets, tmp_path)[BATTERY].view.rule
    # From 1 March to 20 July are 141 days; 8 July is the 129th after the first.
    assert rule.here == "91.49%"
    assert [mark.words for mark in rule.marks] == ["Mar", "Apr", "May", "Jun", "Jul"]
    assert rule.marks[0].at == "0.00%"


def test_without_exact_dates_the_rule_tells_no_day(tmp_path: Path) -> None:
    sheets = laid(entry_sheets, tmp_path, files=rules("costs: full, exact_dates: no"))
    view = sheets["log/2026-07-battery.html"].view
    assert view.when == "July 2026"
    assert view.rule.here == "100.00%"


@given(st.lists(st.dates(date(1950, 1, 1), date(2150, 1, 1)), min_size=1, max_size=12))
def test_no_mark_falls_off_the_rule(tmp_path_factory: pytest.TempPathFactory, days: list[date]) -> None:
    files: dict[str, str | bytes] = {
        f"log/{day}-{number}.md": entry(f"title: E\ndate: {day}") for number, day in enumerate(sorted(days))
    }
    found = worked(tmp_path_factory.mktemp("rule"), files)
    told = list(found.logbook.told())
    span = span_of(told, Words(found.logbook))
    for one in told:
        rule = span.at(one.day)
        places = [] if rule is None else [rule.here, *(mark.at for mark in rule.marks)]
        assert all(0 <= float(place.removesuffix("%")) <= 100 for place in places)
