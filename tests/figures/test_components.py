"""Components and findings by replay."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildlog.figures.components import GONE, components
from buildlog.figures.findings import findings, open_findings
from buildlog.figures.moment import as_of
from tests.making import entry, read

REGISTER = """
engine: {name: Engine, system: engine}
mag-1: {name: Left magneto, in: engine, serial: M-1}
mag-2: {name: New magneto, in: engine, serial: M-2}
spare: {name: Spare wheel, as_found: loose}
"""


def days(*lines: str) -> dict[str, str | bytes]:
    files: dict[str, str | bytes] = {"components.yaml": REGISTER}
    for number, line in enumerate(lines, 1):
        files[f"log/2026-01-{number:02d}-x.md"] = entry(f"title: x\ndate: 2026-01-{number:02d}\ncomponents: [{line}]")
    return files


def test_states_on_any_date(tmp_path: Path) -> None:
    logbook = read(
        tmp_path,
        days(
            "{removed: mag-1, state: unserviceable, because: cracked}",
            "{installed: mag-2}",
            "{tagged: mag-1, state: scrapped}",
        ),
    ).logbook
    states = [
        {key: state.state for key, state in components(as_of(logbook, date(2026, 1, day)))[0].items()}
        for day in (1, 2, 3)
    ]
    assert states == [
        {"engine": "installed", "mag-1": "unserviceable", "mag-2": "not here yet", "spare": "removed"},
        {"engine": "installed", "mag-1": "unserviceable", "mag-2": "installed", "spare": "removed"},
        {"engine": "installed", "mag-1": "scrapped", "mag-2": "installed", "spare": "removed"},
    ]


def test_a_part_that_is_installed_later_was_not_here_before(tmp_path: Path) -> None:
    files = days("{removed: mag-1}", "{installed: mag-2}")
    logbook = read(tmp_path, files).logbook
    assert components(logbook)[0]["mag-2"].since == date(2026, 1, 2)
    assert components(as_of(logbook, date(2026, 1, 1)))[0]["mag-2"].state == "not here yet"


@pytest.mark.parametrize(
    ("lines", "name"),
    [
        (("{installed: mag-2}", "{installed: mag-2}"), "installed-twice"),
        (("{removed: mag-1, state: unserviceable}", "{installed: mag-1}"), "unfit-installed"),
        (("{removed: mag-1}", "{removed: mag-1}"), "removed-when-off"),
        (("{removed: mag-1, state: scrapped}", "{installed: mag-1}"), "used-when-gone"),
        (("{sent: mag-1}",), "sent-when-fitted"),
        (("{removed: mag-1}", "{sent: mag-1}", "{sent: mag-1}"), "sent-twice"),
        (("{installed: spare}", "{received: spare}"), "received-when-fitted"),
        (("{removed: engine, state: sold}", "{installed: mag-2}"), "installed-in-nothing"),
    ],
)
def test_what_cannot_be_is_told_at_both_places(tmp_path: Path, lines: tuple[str, ...], name: str) -> None:
    problems = components(read(tmp_path, days(*lines)).logbook)[1]
    assert [problem.name for problem in problems] == [name]
    assert problems[0].place.file.startswith("log/") and problems[0].place.line > 0
    if len(lines) > 1:
        assert problems[0].also and problems[0].also[0].file.startswith(("log/", "components"))


@pytest.mark.parametrize("mended", ["{repaired: mag-1}", "{overhauled: mag-1, by: A shop}"])
def test_a_repair_makes_it_fit_to_be_installed(tmp_path: Path, mended: str) -> None:
    found, problems = components(
        read(
            tmp_path, days("{removed: mag-1, state: unserviceable}", "{sent: mag-1}", mended, "{installed: mag-1}")
        ).logbook
    )
    assert not problems and found["mag-1"].state == "installed"


def test_two_parts_with_one_serial(tmp_path: Path) -> None:
    files = days("{removed: mag-1}")
    files["components.yaml"] = REGISTER + "twin: {name: Left magneto, serial: m-1}\n"
    problems = components(read(tmp_path, files).logbook)[1]
    assert [problem.name for problem in problems] == ["same-serial"]
    assert problems[0].also[0].file == "components.yaml"


VERBS = ["removed", "installed", "sent", "received", "repaired", "overhauled"]


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.sampled_from(VERBS),
            st.sampled_from(["mag-1", "mag-2", "spare"]),
            st.sampled_from(["", "serviceable", "unserviceable", "scrapped"]),
        ),
        max_size=8,
    )
)
def test_any_order_of_events_gives_a_state_or_a_problem(
    tmp_path_factory: pytest.TempPathFactory, told: list[tuple[str, str, str]]
) -> None:
    lines = [f"{{{verb}: {key}{', state: ' + state if state else ''}}}" for verb, key, state in told]
    states, problems = components(read(tmp_path_factory.mktemp("any"), days(*lines)).logbook)
    for key, state in states.items():
        assert state.place in {"fitted", "loose", "away", "gone", "awaited"}
        assert len(state.events) == sum(k == key for _, k, _ in told)
        if state.place == "gone":
            assert state.condition in GONE
    on_off = [(verb, key) for verb, key, _ in told if verb in {"installed", "removed"}]
    twice = any(
        a == b
        for key in states
        for a, b in zip([v for v, k in on_off if k == key], [v for v, k in on_off if k == key][1:], strict=False)
    )
    assert problems or not twice or any(verb in {"sent", "received", "repaired", "overhauled"} for verb, _, _ in told)


FOUND = (
    "title: Found\ndate: 2026-01-01\nsystem: wings\nfindings:\n"
    "  - {key: F-1, found: Marginal fabric, standing: deferred}\n"
    "  - {key: F-2, found: Cracked rib, standing: airworthiness}\n  - {key: F-3, found: Scratch, standing: cosmetic}"
)


def test_findings_are_open_from_the_entry_that_raises_them_to_the_one_that_closes_them(tmp_path: Path) -> None:
    logbook = read(
        tmp_path,
        {
            "log/2026-01-01-a.md": entry(FOUND),
            "log/2026-01-05-b.md": entry("title: b\ndate: 2026-01-05\ncloses: [{key: F-2, by: New rib}]"),
        },
    ).logbook
    states, problems = findings(logbook)
    assert not problems
    assert [state.line.key for state in open_findings(states)] == ["F-1", "F-3"]
    assert [state.line.key for state in open_findings(findings(as_of(logbook, date(2026, 1, 4)))[0])] == [
        "F-2",
        "F-1",
        "F-3",
    ]
    closed = states[1]
    assert (closed.closed, closed.closed_in, closed.closed_by) == (date(2026, 1, 5), "2026-01-05-b", "New rib")


def test_a_finding_closed_twice_or_too_early_is_told_at_both_places(tmp_path: Path) -> None:
    problems = findings(
        read(
            tmp_path,
            {
                "log/2025-12-31-z.md": entry("title: z\ndate: 2025-12-31\ncloses: [F-3]"),
                "log/2026-01-01-a.md": entry(FOUND),
                "log/2026-01-05-b.md": entry("title: b\ndate: 2026-01-05\ncloses: [{key: F-2, by: New rib}]"),
                "log/2026-01-06-c.md": entry("title: c\ndate: 2026-01-06\ncloses: [F-2]"),
            },
        ).logbook
    )[1]
    assert [(p.name, p.place.file, p.also[0].file) for p in problems] == [
        ("closed-before-found", "log/2025-12-31-z.md", "log/2026-01-01-a.md"),
        ("closed-twice", "log/2026-01-06-c.md", "log/2026-01-05-b.md"),
    ]
