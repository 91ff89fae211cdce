"""What falls due: published tables of days and hours, dateutil as an independent arithmetic, and what nobody knows."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from buildlog.basics.bounds import UNKNOWN, Bounds
from buildlog.basics.times import Span, read_span
from buildlog.figures.due import DueItem
from buildlog.figures.due_dates import by_day, by_hours, day_due, pressing
from buildlog.figures.due_limits import RESOLVE, least
from buildlog.figures.figures import figures
from buildlog.records.audience import seen_by
from tests.making import PROJECT, entry, read

DAYS = st.dates(date(1900, 1, 1), date(2199, 12, 31))
ENGINE = "engine: {name: Engine, system: engine}\n"


def items(root: Path, files: dict[str, str | bytes], on: date | None = None) -> dict[str, DueItem]:
    worked, impossible = figures(read(root, files).logbook, on)
    assert not impossible
    return {item.key: item for item in worked.due}


def checks(*lines: str, **days: str) -> dict[str, str | bytes]:
    """Checks, and an entry for each day (``d2026_01_15="inspected: [oil]"``)."""
    written = "checks:\n" + "".join(f"  - {{{line}}}\n" for line in lines)
    files: dict[str, str | bytes] = {"checks.yaml": written} if lines else {}
    for name, more in days.items():
        day = name[1:].replace("_", "-")
        files[f"log/{day}-x.md"] = entry(f"title: x\ndate: {day}\n{more}")
    return files


def hours(low: str | None, high: str | None = None) -> Bounds:
    return Bounds(None if low is None else Decimal(low), None if high is None else Decimal(high))


def exactly(value: str) -> Bounds:
    return Bounds.exactly(Decimal(value))


# 14 CFR 91.409(a) and 91.207(d) (12), 91.411 and 91.413 (24), by the convention that a calendar month runs to its end
@pytest.mark.parametrize(
    ("start", "months", "due"),
    [
        ("2025-01-15", 12, "2026-01-31"),
        ("2025-01-15", 24, "2027-01-31"),
        ("2025-01-31", 12, "2026-01-31"),
        ("2024-02-29", 12, "2025-02-28"),
        ("2023-02-10", 12, "2024-02-29"),
        ("2026-03-10", 24, "2028-03-31"),
        ("2020-07-22", 24, "2022-07-31"),
        ("2022-02-28", 24, "2024-02-29"),
        ("2022-10-05", 12, "2023-10-31"),
        ("2024-12-31", 12, "2025-12-31"),
        ("2026-01-15", 24, "2028-01-31"),
    ],
)
def test_calendar_months_run_to_the_end_of_the_month(start: str, months: int, due: str) -> None:
    assert day_due(date.fromisoformat(start), read_span(f"{months} calendar months")).isoformat() == due


# 14 CFR 91.307(a): packed within the preceding 180 days, 60 for natural fibres
@pytest.mark.parametrize(
    ("start", "days", "due"),
    [
        ("2025-01-15", 180, "2025-07-14"),
        ("2024-01-15", 180, "2024-07-13"),
        ("2025-07-01", 180, "2025-12-28"),
        ("2025-01-15", 60, "2025-03-16"),
        ("2024-02-29", 60, "2024-04-29"),
        ("2025-01-01", 180, "2025-06-30"),
    ],
)
def test_days_run_to_the_day(start: str, days: int, due: str) -> None:
    assert day_due(date.fromisoformat(start), read_span(f"{days} days")).isoformat() == due


@given(DAYS, st.integers(1, 3600))
def test_months_are_those_of_dateutil(start: date, count: int) -> None:
    number = Decimal(count)
    assert day_due(start, Span(number, "months")) == start + relativedelta(months=count)
    assert day_due(start, Span(number, "calendar months")) == start + relativedelta(months=count, day=31)


@given(DAYS, st.integers(1, 300))
def test_years_weeks_and_days_are_those_of_dateutil(start: date, count: int) -> None:
    for unit in ("years", "weeks", "days"):
        assert day_due(start, Span(Decimal(count), unit)) == start + relativedelta(**{unit: count})


def test_a_life_beyond_the_calendar_ends_with_it() -> None:
    assert day_due(date(2026, 1, 1), Span(Decimal(999_999), "calendar months")) == date.max


@given(DAYS, st.integers(-400, 400))
def test_a_day_is_in_order_on_the_day_and_overdue_on_the_next(due: date, ahead: int) -> None:
    state = by_day(due, due - timedelta(days=ahead))
    assert state == ("overdue" if ahead < 0 else "due-soon" if ahead <= 60 else "due")


@pytest.mark.parametrize(
    ("low", "high", "grace", "state"),
    [
        ("0", "0", "0", "due-soon"),
        ("-0.1", "-0.1", "0", "overdue"),
        ("10", "10", "0", "due-soon"),
        ("10.1", "10.1", "0", "due"),
        ("-10.0", "-10.0", "10", "due-soon"),
        ("-10.1", "-10.1", "10", "overdue"),
        ("-5", "5", "0", "not-known"),
        (None, "5", "0", "not-known"),
        (None, "-0.1", "0", "overdue"),
        (None, None, "0", "not-known"),
        ("5", "50", "0", "due-soon"),
        ("20", None, "0", "due"),
    ],
)
def test_hours_that_may_be_overdue_and_may_not_are_not_known(low, high, grace, state) -> None:
    assert by_hours(hours(low, high), Decimal(grace)) == state


@given(st.decimals(-50, 50, places=1), st.decimals(0, 30, places=1), st.decimals(0, 30, places=1))
def test_what_is_told_of_bounds_holds_for_every_value_in_them(value: Decimal, below: Decimal, above: Decimal) -> None:
    told = by_hours(Bounds(value - below, value + above))
    true = by_hours(Bounds.exactly(value))
    assert told in {"not-known", true} or (told, true) == ("due-soon", "due")


def test_whichever_comes_first() -> None:
    assert pressing(["due", "overdue", "not-known"]) == "overdue"
    assert pressing(["due-soon", "not-known"]) == "not-known"
    assert pressing(["due", "due-soon"]) == "due-soon"
    assert least([hours("5", "20"), hours(None, "8")]) == hours(None, "8")
    assert least([]) == UNKNOWN


def test_a_check_by_day_goes_through_its_states(tmp_path: Path) -> None:
    files = checks("key: xp, name: Transponder, every: 24 calendar months, last: 2026-01-15", d2026_01_20="")
    for day, state in (("2027-12-01", "due"), ("2027-12-02", "due-soon"), ("2028-01-31", "due-soon")):
        found = items(tmp_path, files, date.fromisoformat(day))["xp"]
        assert (found.due, found.state) == (date(2028, 1, 31), state)
    assert items(tmp_path, files, date(2028, 2, 1))["xp"].state == "overdue"


def test_the_latest_of_last_and_the_entries_counts(tmp_path: Path) -> None:
    files = checks(
        "key: a, name: A, every: 12 months, last: 2025-03-31, basis: document",
        "key: b, name: B, every: 12 months, last: 2026-06-30, basis: document",
        d2026_02_28="inspected: [a, b]",
        d2026_07_01="",
    )
    found = items(tmp_path, files)
    assert (found["a"].due, found["a"].last_entry) == (date(2027, 2, 28), "2026-02-28-x")
    assert (found["b"].due, found["b"].last_entry, found["b"].basis) == (date(2027, 6, 30), "", "document")
    before = items(tmp_path, files, date(2026, 1, 1))
    assert (before["a"].due, before["b"].state) == (date(2026, 3, 31), "not-known")


def test_what_was_never_done_what_is_not_known_and_what_is_printed(tmp_path: Path) -> None:
    found = items(
        tmp_path,
        checks(
            "key: never, name: A, every: 12 months, last: never",
            "key: once, name: B, every: 12 months, last: never",
            "key: lost, name: C, every: 12 months",
            "key: printed, name: D, every: 60 months, last: 2026-01-01, due: 2026-05-31",
            "key: sooner, name: E, every: 2 months, last: 2026-01-01, due: 2026-05-31",
            d2026_01_15="inspected: [once]",
        ),
    )
    assert found["never"].state == "never-done" and found["once"].due == date(2027, 1, 15)
    assert found["lost"].state == "not-known" and RESOLVE in found["lost"].reason
    assert (found["printed"].due, found["sooner"].due) == (date(2026, 5, 31), date(2026, 3, 1))
    order = ["due-soon", "due", "never-done", "not-known"]
    assert sorted(order, key=order.index) == list(dict.fromkeys(item.state for item in found.values()))


def test_an_uncertain_day_counts_from_the_first_it_can_mean(tmp_path: Path) -> None:
    found = items(
        tmp_path,
        checks(
            "key: hazy, name: A, every: 24 calendar months, last: 2025/2026-01",
            "key: open, name: B, every: 12 months, last: ../2026-01",
            "key: over, name: C, every: 12 months, last: ../2004",
            d2026_03_01="",
        ),
    )
    assert (found["hazy"].due, found["hazy"].state) == (date(2027, 1, 31), "due")
    assert "first it can mean" in found["hazy"].reason
    assert found["open"].state == "not-known" and found["over"].state == "overdue"


# 14 CFR 91.409(b): due at 1100.0; done at 1105.0, the next at 1200.0; done at 1095.0, the next at 1195.0
@pytest.mark.parametrize(
    ("done", "now", "left"),
    [("1105", "1105", "95"), ("1095", "1095", "100"), ("1105", "1200", "0"), ("1110", "1110", "90")],
)
def test_an_overrun_counts_into_the_next_interval(tmp_path: Path, done: str, now: str, left: str) -> None:
    files = checks(
        "key: hundred, name: A, every: 100 h, carries_over: 10 h",
        d2026_01_01="inspected: [hundred]\nmeter: {tach: 1000 h}",
        d2026_05_01=f"inspected: [hundred]\nmeter: {{tach: {done} h}}",
        d2026_06_01=f"meter: {{tach: {now} h}}",
    )
    assert items(tmp_path, files)["hundred"].left == exactly(left)


def test_a_chain_of_overruns_never_moves_the_hours_at_which_it_is_due(tmp_path: Path) -> None:
    files = checks(
        "key: hundred, name: A, every: 100 h, carries_over: 10 h",
        d2026_01_01="inspected: [hundred]\nmeter: {tach: 1000 h}",
        d2026_02_01="inspected: [hundred]\nmeter: {tach: 1105 h}",
        d2026_03_01="inspected: [hundred]\nmeter: {tach: 1207 h}",
        d2026_04_01="meter: {tach: 1300 h}",
    )
    assert items(tmp_path, files)["hundred"].left == exactly("0")


@pytest.mark.parametrize(("now", "state"), [("1110", "due-soon"), ("1110.1", "overdue")])
def test_it_is_overdue_past_what_may_be_carried_over(tmp_path: Path, now: str, state: str) -> None:
    files = checks(
        "key: hundred, name: A, every: 100 h, carries_over: 10 h",
        "key: strict, name: B, every: 100 h",
        d2026_01_01="inspected: [hundred, strict]\nmeter: {tach: 1000 h}",
        d2026_05_01=f"meter: {{tach: {now} h}}",
    )
    found = items(tmp_path, files)
    assert (found["hundred"].state, found["strict"].state) == (state, "overdue")


def test_hours_between_two_readings_are_known_as_far_as_they_are(tmp_path: Path) -> None:
    files = checks(
        "key: oil, name: Oil, every: 25 h",
        d2026_01_01="meter: {tach: 100 h}",
        d2026_02_01="inspected: [oil]",
        d2026_03_01="meter: {tach: 130 h}",
    )
    found = items(tmp_path, files)["oil"]
    assert (found.left, found.state) == (hours("-5", "25"), "not-known")
    later = items(tmp_path, files | {"log/2026-04-01-x.md": entry("title: x\ndate: 2026-04-01\nmeter: {tach: 156 h}")})
    assert (later["oil"].left, later["oil"].state) == (hours("-31", "-1"), "overdue")


def test_without_a_meter_hours_are_not_known(tmp_path: Path) -> None:
    found = items(tmp_path, checks("key: oil, name: Oil, every: [25 h, 4 months]", d2026_02_01="inspected: [oil]"))
    assert (found["oil"].state, found["oil"].due) == ("not-known", date(2026, 6, 1))
    assert "whichever comes first" in found["oil"].every


def test_a_component_that_is_off_is_listed_last_and_its_hours_stand_still(tmp_path: Path) -> None:
    files = checks(
        "key: oil, name: Oil, every: 25 h, component: engine",
        "key: plain, name: Plain, every: 25 h",
        d2026_01_01="inspected: [oil, plain]\nmeter: {tach: 100 h}",
        d2026_02_01="components: [{removed: engine}]\nmeter: {tach: 110 h}",
        d2026_03_01="meter: {tach: 120 h}",
    )
    found = items(tmp_path, files | {"components.yaml": ENGINE})
    assert list(found) == ["plain", "oil"]
    assert (found["oil"].state, found["oil"].left, found["plain"].left) == ("not-fitted", exactly("15"), exactly("5"))


def test_lives_in_hours_and_in_months(tmp_path: Path) -> None:
    files = checks(
        d2026_01_10="components: [{installed: hose}, {overhauled: pump}]\nmeter: {tach: 100 h}",
        d2026_02_01="meter: {tach: 130 h}\ncomponents: [{removed: old, state: scrapped}]",
    ) | {
        "components.yaml": (
            "hose: {name: Hose, life: {months: 60, hours: 100 h, since: fitted}}\n"
            "belt: {name: Belt, made: 2015-02, life: {months: 144}}\n"
            "spring: {name: Spring, made: 2015/2016, life: {months: 120}}\n"
            "strap: {name: Strap, life: {months: 144}}\n"
            "pump: {name: Pump, life: {hours: 500 h, since: overhaul}}\n"
            "engine: {name: Engine, life: {hours: 2000 h}}\n"
            "prop: {name: Propeller, life: {hours: 600 h}}\n"
            "old: {name: Old, life: {months: 12}}\n"
        ),
        "history.yaml": (
            "facts:\n  - {about: engine, quantity: time_since_new, value: 1975 h, on: 2026-01-10, basis: document,"
            " says: a slip}\n"
            "  - {about: prop, quantity: time_since_new, at_least: 590 h, on: 2026-01-10, basis: document, says: a slip}\n"
        ),
    }
    found = items(tmp_path, files)
    assert (found["hose"].due, found["hose"].left) == (date(2031, 1, 31), exactly("70"))
    assert (found["belt"].due, found["belt"].state) == (date(2027, 2, 28), "due")
    assert (found["spring"].due, found["spring"].state) == (date(2025, 1, 31), "overdue")
    assert found["strap"].state == "not-known" and RESOLVE in found["strap"].reason
    assert (found["pump"].left, found["pump"].state) == (exactly("470"), "due")
    assert (found["engine"].left, found["engine"].state) == (exactly("-5"), "overdue")
    assert (found["prop"].left.high, found["prop"].state) == (Decimal(-20), "overdue")
    assert "old" not in found


def test_directives_and_deferred_findings(tmp_path: Path) -> None:
    files = checks(
        d2026_01_10="directives: [again, done]\nmeter: {tach: 100 h}\nfindings:\n"
        "  - {key: F-1, found: Crack, standing: deferred, until: 2026-02-10}\n"
        "  - {key: F-2, found: Gone, standing: deferred, until: 2026-02-10}",
        d2026_02_11="closes: [F-2]\nmeter: {tach: 195 h}",
    ) | {
        "components.yaml": ENGINE,
        "directives.yaml": "directives:\n"
        "  - {key: again, number: N 1, title: A, about: engine, applies: yes, recurring: 100 h}\n"
        "  - {key: done, number: N 2, title: B, about: engine, applies: yes, due: 2026-01-31}\n"
        "  - {key: open, number: N 3, title: C, about: engine, applies: unknown, due: 2026-01-31}\n"
        "  - {key: not, number: N 4, title: D, about: engine, applies: no, due: 2026-01-31}\n"
        "  - {key: lost, number: N 5, title: E, about: engine, applies: yes, recurring: 1 year}\n",
    }
    found = items(tmp_path, files)
    assert set(found) == {"again", "open", "lost", "F-1"}
    assert (found["again"].left, found["again"].state) == (exactly("5"), "due-soon")
    assert (found["open"].state, found["open"].reason) == ("overdue", "whether it applies is not known")
    assert (found["lost"].state, found["F-1"].state) == ("not-known", "overdue")


@pytest.mark.parametrize(
    ("last", "did"),
    [
        (", last: 2026-01-10-x.md", "components: [{repaired: engine}]"),
        (", last: 2026-01-10-x.md", ""),
        ("", "inspected: [{key: a, by: mechanic, note: SECRET}]"),
    ],
)
def test_a_check_done_in_an_entry_that_may_not_be_read_was_done(last: str, did: str, tmp_path: Path) -> None:
    files = checks(
        f"key: a, name: A, every: 12 months{last}", d2026_01_10=f"audience: private\n{did}", d2026_02_11=""
    ) | {"components.yaml": ENGINE, "project.yaml": PROJECT}
    book = read(tmp_path, files).logbook
    for audience in ("builder", "buyer", "inspector", "public"):
        (item,) = figures(seen_by(book, audience))[0].due
        assert (item.due, item.state) == (date(2027, 1, 10), "due"), audience
    assert "SECRET" not in repr(seen_by(book, "buyer").entries)


def test_a_directive_and_the_end_of_a_finding_count_wherever_they_are_told(tmp_path: Path) -> None:
    files = checks(
        d2026_01_10="findings: [{key: F-1, found: Crack, standing: deferred, until: 2026-02-10}]\nmeter: {tach: 9 h}",
        d2026_02_01="audience: private\ndirectives: [again]\ncloses: [{key: F-1, by: SECRET}]",
        d2026_02_11="meter: {tach: 12 h}",
    ) | {
        "directives.yaml": "directives:\n"
        "  - {key: again, number: N 1, title: A, about: aircraft, applies: yes, recurring: 1 year}\n"
    }
    book = read(tmp_path, files).logbook
    for audience in ("builder", "buyer", "inspector", "public"):
        worked = figures(seen_by(book, audience))[0]
        (item,), (finding,) = worked.due, worked.findings
        assert (item.key, item.due, finding.open) == ("again", date(2027, 2, 1), False), audience
    assert "SECRET" not in repr(seen_by(book, "buyer").entries)


def test_what_is_due_is_as_of_one_day_for_every_audience(tmp_path: Path) -> None:
    files = checks(
        "key: a, name: A, due: 2026-02-05, every: 1 year",
        d2026_01_10="",
        d2026_02_11="audience: private",
    )
    book = read(tmp_path, files).logbook
    for audience in ("builder", "buyer", "inspector", "public"):
        (item,) = figures(seen_by(book, audience))[0].due
        assert item.state == "overdue", audience
    assert figures(seen_by(book, "public"), date(2026, 1, 31))[0].logbook.last_day() == date(2026, 1, 31)
