"""The front page by hand: its totals, what it waits for and in which order, and what is kept back (laying.py)."""

from __future__ import annotations

from pathlib import Path

from buildlog.pages.front import NEWEST, WAITING, front_sheets
from tests.making import PROJECT, entry
from tests.pages.laying import FILES, laid, rules, spaced


def test_the_totals_by_hand_and_where_their_lines_are(tmp_path: Path) -> None:
    view = laid(front_sheets, tmp_path)["index.html"].view
    assert [(hero.figure, hero.unit, spaced(hero.words), hero.path) for hero in view.heroes] == [
        ("1,262", "USD", "paid so far, refunds taken off; 214.00 USD ordered", "cost.html"),
        ("19:30", "h", "of work in 4 entries", "hours.html"),
        # 765.0 less 24.3, and 5.1 and 2.0 put on, one by an entry that only the builder may read. Four weights good for
        # 0.1 lb, one for 2 % of 5.1 and one guess for 20 % of 2.0: the root of 0.2104.
        ("747.8", "lb ±\u00a00.5", "empty; weighed March 14, 2026, 3 changes since", "weight.html"),
        # 24,246.75 less 19.2 at 73 in, and 2.0 at 10 in: 22,865.15 over 747.8.
        ("30.58", "in ±\u00a00.24", "empty centre of gravity; datum: firewall, positive aft", "balance.html"),
    ]
    assert spaced(view.strip_words) == (
        "17.2 lb lighter than at the weighing of March 14, 2026, and the centre of gravity 1.12 in further forward."
    )


def test_where_the_datum_does_not_say_which_way_is_aft_neither_do_we(tmp_path: Path) -> None:
    view = laid(front_sheets, tmp_path, files=FILES | {"loading.yaml": "datum: firewall\n"})["index.html"].view
    assert spaced(view.strip_words).endswith("and the arm of the centre of gravity 1.12 in less.")


def test_before_a_weighing_the_change_stands_alone(tmp_path: Path) -> None:
    files: dict[str, str | bytes] = {
        "log/2026-01-01-a.md": entry("title: A\ndate: 2026-01-01\nweight_change: -14.5 oz"),
    }
    view = laid(front_sheets, tmp_path, files=files)["index.html"].view
    assert [(spaced(hero.figure), hero.unit) for hero in view.heroes] == [("-0.9", "lb")]
    assert spaced(view.strip_words) == "0.9 lb lighter than when the log began."
    assert not view.strip


def test_a_project_without_entries_has_a_front_page(tmp_path: Path) -> None:
    sheet = laid(front_sheets, tmp_path, files={})["index.html"]
    view = sheet.view
    assert view.headline == "A test aircraft"
    assert (view.waiting, view.newest, view.milestones, view.systems) == ((), (), (), ())
    assert (view.strip, view.money, view.hours) == ("", "", "")


WAITS = FILES | {
    "log/2026-07-22-found.md": entry("""
title: Found
date: 2026-07-22
system: wings
findings:
  - {key: F-3, found: Dent, standing: deferred, until: 2027-03-31, limit: Look again before flight}
  - {key: F-4, found: Crack, standing: airworthiness}
"""),
    "plan.yaml": """
jobs:
  - {key: fit, name: Fit the encoder, system: navigation, gate: yes, waits_for: {order: ENC}}
  - {key: van, name: Test by the van, gate: yes, who: mechanic, needs: [fit], waits_for: {until: 2027-01-23}}
  - {key: shop, name: Ask the shop, gate: yes, waits_for: {lead: 4 weeks}}
  - {key: paint, name: Paint it}
  - {key: weighed, name: Weigh it, gate: yes, done: 2026-03-14}
  - {key: swap, name: Battery}
  - {key: weigh, name: Weigh}
""",
}


def test_what_it_waits_for_in_order_of_weight(tmp_path: Path) -> None:
    view = laid(front_sheets, tmp_path, files=WAITS)["index.html"].view
    assert [(one.words, one.why, one.path) for one in (*view.waiting, *view.waiting_more)] == [
        ("Crack", "before flight", "findings.html#F-4"),
        ("Dent", "deferred, may wait until March 31, 2027, look again before flight", "findings.html#F-3"),
        (
            "Encoder",
            "ordered, promised for May 16, 2026, late, holds up: Fit the encoder",
            "log/2026-05-02-order.html",
        ),
        ("Test by the van", "for the mechanic, appointment January 23, 2027, after: Fit the encoder", ""),
        ("Ask the shop", "planned, a wait of 4 weeks once it is asked for", ""),
        ("Who overhauled it?", "not known; it would be settled by: a paper", "components/engine.html#k-Q-1"),
        ("Scratch", "cosmetic", "findings.html#F-2"),
    ]
    assert len(view.waiting) <= WAITING


def test_what_is_many_is_folded_in(tmp_path: Path) -> None:
    many = "\n".join(f"  - {{key: F-{n}, found: Thing {n}, standing: deferred}}" for n in range(100, 120))
    files = FILES | {"log/2026-07-22-found.md": entry(f"title: Found\ndate: 2026-07-22\nfindings:\n{many}")}
    view = laid(front_sheets, tmp_path, files=files)["index.html"].view
    assert len(view.waiting) == WAITING
    assert (
        len({one.words for one in (*view.waiting, *view.waiting_more)} & {f"Thing {n}" for n in range(100, 120)}) == 20
    )


def test_money_and_hours_are_kept_back(tmp_path: Path) -> None:
    view = laid(front_sheets, tmp_path, files=rules("costs: none, hours: no"))["index.html"].view
    assert [hero.unit for hero in view.heroes] == ["lb ±\u00a00.5", "in ±\u00a00.24"]
    assert not view.money
    assert not view.hours
    assert "USD" not in repr(view)
    assert not any(line.hours or line.money for line in view.systems)
    assert view.systems_words == "The change of weight."


def test_the_newest_come_first_and_none_that_may_not_be_read(tmp_path: Path) -> None:
    view = laid(front_sheets, tmp_path)["index.html"].view
    assert [row.title for row in view.newest] == ["Carburettor back", "Battery", "Ordered", "Weighed"]
    assert view.newest[0].milestone == "Carburettor is back"
    assert [(one.day, one.link.path) for one in view.milestones] == [("July 20, 2026", "log/2026-07-20-back.html")]
    many = FILES | {f"log/2026-08-{n:02}-x.md": entry(f"title: X{n}\ndate: 2026-08-{n:02}") for n in range(1, 9)}
    newest = laid(front_sheets, tmp_path, files=many)["index.html"].view.newest
    assert [row.title for row in newest] == ["X8", "X7", "X6", "X5", "X4"]
    assert len(newest) == NEWEST


def test_the_picture_that_is_asked_for_comes_with_its_entry_s_words(tmp_path: Path) -> None:
    page = "---\ntitle: Headline\npicture: photos/battery.jpg\n---\nFirst words.\n"
    sheet = laid(front_sheets, tmp_path, files=FILES | {"pages/front.md": page})["index.html"]
    assert sheet.view.headline == "Headline"
    assert (sheet.view.photo.file, sheet.view.photo.alt) == ("photos/battery.jpg", "A battery")
    assert (sheet.picture, sheet.description) == ("photos/battery.jpg", "First words.")


def test_without_a_front_page_the_headline_is_the_project_s(tmp_path: Path) -> None:
    project = PROJECT + "headline: Nineteen years idle\n"
    sheet = laid(front_sheets, tmp_path, files=FILES | {"project.yaml": project})["index.html"]
    assert sheet.view.headline == "Nineteen years idle"
    assert sheet.view.photo.file == "photos/battery.jpg"
