"""Times in service: only while fitted, by the meter that counts, and no surer than what is known."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from buildlog.basics.bounds import Bounds
from buildlog.figures.figures import figures
from buildlog.figures.fitted import WHOLE, Span
from buildlog.figures.meters import Clock, Reading
from tests.making import entry, read, worked

COMPONENTS = """\
engine: {name: Engine, system: engine}
magneto: {name: Magneto, system: ignition, in: engine}
spare: {name: Spare magneto, system: ignition, as_found: loose}
"""
HISTORY = """\
facts:
  - {about: engine, quantity: time_since_new, value: 361 h, on: 2004-06-14, basis: document, says: A slip}
  - {about: airframe, quantity: time_in_service, at_least: 400 h, on: 2025-12-31, basis: statement, says: The seller}
  - {about: airframe, quantity: time_in_service, at_least: 412.6 h, on: 2026-01-01, basis: measured, says: Its meter}
"""


def log(*days: str) -> dict[str, str | bytes]:
    files: dict[str, str | bytes] = {"components.yaml": COMPONENTS, "history.yaml": HISTORY}
    for nth, more in enumerate(days, 1):
        files[f"log/2026-01-{nth:02}-x.md"] = entry(f"title: Day\ndate: 2026-01-{nth:02}\nsystem: [engine]\n{more}")
    return files


def test_a_lower_bound_grows_with_the_meter_and_stays_a_lower_bound(tmp_path: Path) -> None:
    times = worked(tmp_path, log("meter: {tach: 412.6 h}", "meter: {tach: 414.0 h}")).times
    assert times.of["airframe"].new.bounds == Bounds(Decimal("414.0"), None)
    assert times.of["airframe"].new.basis == "measured"
    engine = times.of["engine"].new
    assert (engine.bounds, engine.basis) == (Bounds(Decimal("362.4"), None), "document")
    assert not engine.bounds.exact, "nobody knows what it ran between 2004 and the first reading"


def test_hours_count_only_while_fitted_with_what_it_sits_in(tmp_path: Path) -> None:
    files = log(
        "meter: {tach: 10 h}",
        "meter: {tach: 12 h}\ncomponents: [{removed: magneto}, {installed: spare}]",
        "meter: {tach: 15 h}",
    )
    times = worked(tmp_path, files).times
    assert times.logged("magneto") == Bounds.exactly(Decimal(2))
    assert times.of["spare"].fitted.bounds == Bounds.exactly(Decimal(3))
    out = log("meter: {tach: 10 h}", "components: [{removed: engine}]\nmeter: {tach: 12 h}", "meter: {tach: 15 h}")
    assert worked(tmp_path / "out", out).times.logged("magneto") == Bounds.exactly(Decimal(2))


def test_between_two_readings_only_that_much_is_known(tmp_path: Path) -> None:
    files = log("meter: {tach: 10 h}", "components: [{installed: spare}]", "meter: {tach: 15 h}")
    assert worked(tmp_path, files).times.of["spare"].fitted.bounds == Bounds(Decimal(0), Decimal(5))


def test_a_replaced_meter_carries_on_and_one_that_runs_backwards_is_told(tmp_path: Path) -> None:
    files = log(
        "meter: {tach: 412.6 h}", "meter_replaced: {tach: {read: 413.6 h, starts: 0 h}}", "meter: {tach: 2.5 h}"
    )
    assert worked(tmp_path, files).times.clock.readings[-1].run == Decimal("3.5")
    wrong = read(tmp_path / "wrong", log("meter: {tach: 412.6 h}", "meter: {tach: 12.6 h}")).logbook
    _, problems = figures(wrong)
    assert [(problem.name, str(problem.place.file), len(problem.also)) for problem in problems] == [
        ("meter-backwards", "log/2026-01-02-x.md", 1)
    ]


def test_facts_that_cannot_both_be_true_stay_side_by_side(tmp_path: Path) -> None:
    said = """\
facts:
  - {about: engine, quantity: time_since_new, value: 900 h, on: 2004-06-14, basis: statement, says: One}
  - {about: engine, quantity: time_since_new, value: 361 h, on: 2005-06-14, basis: document, says: Other}
"""
    hours = worked(tmp_path, log("meter: {tach: 10 h}") | {"history.yaml": said}).times.of["engine"].new
    assert hours.conflict
    assert [fact.says for fact in hours.facts] == ["One", "Other"]
    assert hours.bounds.low == Decimal(361)
    assert hours.basis == "statement"


@given(st.lists(st.integers(0, 30), min_size=1, max_size=6), st.data())
def test_parts_of_the_time_never_add_up_to_more_than_the_whole(steps: list[int], data: st.DataObject) -> None:
    run, readings = 0, []
    for step in steps:
        run += step
        readings.append(Reading(2 * len(readings), data.draw(st.dates()), "x", Decimal(run), Decimal(run - steps[0])))
    clock = Clock("tach", tuple(readings))
    cut = data.draw(st.integers(0, 2 * len(steps)))
    whole = clock.run_in([Span(0, None)])
    parts = clock.run_in([Span(0, cut)]) + clock.run_in([Span(cut, None)])
    assert whole.exact
    assert whole.low is not None
    assert parts.holds(whole.low)
    assert clock.run_in([WHOLE]).high is None, "what was run before the first reading nobody knows"
