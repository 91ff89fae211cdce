"""Decisions with their options side by side, against sums worked out by hand (laying.py)."""

from __future__ import annotations

from pathlib import Path

from buildlog.pages.decisions import decision_sheets
from tests.pages.laying import FILES, laid, rules, spaced


def test_options_side_by_side_by_hand(tmp_path: Path) -> None:
    view = laid(decision_sheets, tmp_path)["decisions/place.html"].view
    nose, shelf = view.options
    # 34.00 + 100 CAD at 0.73 - 4.00 = 103.00; -1 + 3.5 lb
    assert (nose.name, nose.chosen, spaced(nose.cost), nose.apart, spaced(nose.hours), spaced(nose.weight)) == (
        "Nose",
        False,
        "103.00 USD",
        (),
        "8:00 h",
        "+2.5 lb",
    )
    assert [(line.item, spaced(line.amount)) for line in nose.costs] == [
        ("Plate", "34.00 USD"),
        ("Cable", "100.00 CAD"),
        ("Rest back", "-4.00 USD"),
    ]
    assert [(line.item, line.way, spaced(line.weight), line.basis, line.arm) for line in nose.weights] == [
        ("Lead", "out", "-1.0", "estimated", "2.00"),
        ("Plate", "in", "+3.5", "weighed", "2.00"),
    ]
    assert (nose.speaks_for, nose.against) == (("near",), ("hot",))
    assert (shelf.chosen, shelf.cost, [spaced(text) for text in shelf.apart], shelf.hours, shelf.weight) == (
        True,
        "",
        ["500 JPY"],
        "",
        "",
    )


def test_the_choice_its_day_and_the_entries_that_speak_of_it(tmp_path: Path) -> None:
    view = laid(decision_sheets, tmp_path)["decisions/place.html"].view
    assert (view.row.chosen, view.row.decided, view.row.tab.name) == ("Shelf", "July 6, 2026", "Electrical")
    assert [(source.title, source.path) for source in view.entries] == [("Battery", "log/2026-07-08-battery.html")]


def test_open_decisions_come_first(tmp_path: Path) -> None:
    files = FILES | {"decisions/open.md": "---\nquestion: Paint?\noptions: [{key: a, name: Red}]\n---\nNo idea.\n"}
    view = laid(decision_sheets, tmp_path, files=files)["decisions.html"].view
    assert [(row.question, row.path, row.options, row.first) for row in view.open] == [
        ("Paint?", "decisions/open.html", 1, "No idea.")
    ]
    assert [row.question for row in view.taken] == ["Where to?"]


def test_totals_only_show_the_sum_and_no_line(tmp_path: Path) -> None:
    nose = laid(decision_sheets, tmp_path, files=rules("costs: totals"))["decisions/place.html"].view.options[0]
    assert (spaced(nose.cost), nose.costs) == ("103.00 USD", ())


def test_no_money_and_no_hours_where_they_may_not_be_seen(tmp_path: Path) -> None:
    view = laid(decision_sheets, tmp_path / "a", "inspector")["decisions/place.html"].view
    assert all((option.cost, option.apart, option.costs) == ("", (), ()) for option in view.options)
    assert view.has_costs is False
    blind = laid(decision_sheets, tmp_path / "b", files=rules("costs: full, hours: no"))["decisions/place.html"].view
    assert blind.has_hours is False
    assert all(not option.hours for option in blind.options)


def test_a_decision_of_another_audience_has_no_page(tmp_path: Path) -> None:
    text = str(FILES["decisions/place.md"]).replace("system: electrical", "system: electrical\naudience: handover")
    files = FILES | {"decisions/place.md": text}
    assert list(laid(decision_sheets, tmp_path, files=files)) == ["decisions.html"]
    assert "decisions/place.html" in laid(decision_sheets, tmp_path, "buyer", files)
