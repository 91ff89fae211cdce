"""Lists of what rules ask of the records: the built-in one row by row, and of whom a row is asked."""

from __future__ import annotations

import re

import pytest
from pydantic import ValidationError

from buildlog.reading.requirements import built_in
from buildlog.records.requirements import Requirement

US = built_in()["us"]
ROWS = {row.key: row for row in US.rows}
NEVER = re.compile(r"\b(?:un)?airworthy\b|\bcompl(?:y|ies|ied|iant|iance)\b|\bapproved\b", re.IGNORECASE)


def row(**fields: object) -> Requirement:
    plain = {"key": "log", "cite": "Rule 4", "asks": "A log.", "by": "work-records", "unknown": "No log seen"}
    return Requirement.model_validate(plain | fields)


def test_the_built_in_list_says_what_it_is_and_that_the_official_text_prevails() -> None:
    assert US.name == "United States: records of an aircraft under 14 CFR"
    for words in ("not legal advice", "title 14", "operating limitations issued to this aircraft", "local rules"):
        assert words in US.about
    assert "2026" in US.of_date


@pytest.mark.parametrize("cite", [f"91.417(a)(2)({part})" for part in ("i", "ii", "iii", "iv", "v", "vi")])
def test_each_record_that_goes_with_the_aircraft_is_asked_for(cite: str) -> None:
    assert any(cite in row.cite for row in US.rows)


@pytest.mark.parametrize(
    ("cite", "by"),
    [
        ("91.417(a)(1)", "work-records"),
        ("43.9(a)", "work-records"),
        ("43.11(a)", "inspection-records"),
        ("Operating limitations", "inspection"),
        ("91.203(a)(1)", "facts"),
        ("91.203(a)(2)", "facts"),
        ("45.11", "identity"),
    ],
)
def test_so_are_entries_and_papers(cite: str, by: str) -> None:
    assert [row.by for row in US.rows if cite in row.cite] == [by]


def test_what_settles_each_record_that_goes_with_the_aircraft() -> None:
    assert [(row.by, row.of) for row in US.rows if "91.417(a)(2)" in row.cite] == [
        ("time-in-service", ("airframe", "engine", "propeller")),
        ("life-status", ("life-limited",)),
        ("time-since-overhaul", ("overhaul-limited", "engine", "propeller")),
        ("inspection", ("aircraft",)),
        ("inspection", ("aircraft",)),
        ("directives", ("airframe", "engine", "propeller")),
        ("alterations", ("airframe", "engine", "propeller")),
    ]


@pytest.mark.parametrize("key", ROWS)
def test_a_row_cites_asks_and_has_words_for_what_is_not_known(key: str) -> None:
    row = ROWS[key]
    assert re.match(r"14 CFR \d+\.\d+|Operating limitations$", row.cite)
    assert row.asks.endswith(".") and row.asks[0].isupper()
    assert row.unknown and not row.unknown.endswith(".")
    assert re.search(r"unknown|not |no ", row.unknown, re.IGNORECASE), row.unknown


@pytest.mark.parametrize("key", ROWS)
def test_nothing_printed_of_a_row_judges_the_aircraft(key: str) -> None:
    row = ROWS[key]
    for text in (row.asks, row.unknown, row.reconstructed or "", row.note or "", US.about, US.name):
        assert not NEVER.search(text), text


def test_inspections_are_never_made_up_for() -> None:
    for row in US.rows:
        if row.by.startswith("inspection"):
            assert row.reconstructed
            assert row.reconstructed.startswith("Never")


def test_where_part_43_does_not_apply_the_row_says_so() -> None:
    for row in US.rows:
        if re.search(r"\b43\.(9|11)\b", row.cite + row.asks):
            assert "43.1(b)(1)" in (row.note or "")


def test_one_inspection_is_asked_of_an_aircraft_not_both() -> None:
    asked = {
        category: {row.key for row in US.rows if row.only_if and row.asked_of(category)}
        for category in ("amateur-built", "Experimental, exhibition", "normal", "light-sport", None)
    }
    ours = {"inspection-status", "condition"}
    assert asked == {
        "amateur-built": ours,
        "Experimental, exhibition": ours,
        "normal": {"annual-status"},
        "light-sport": set(),
        None: ours | {"annual-status"},
    }


@pytest.mark.parametrize(
    ("only_if", "category", "asked"),
    [
        (None, "normal", True),
        ("amateur-built", "Amateur built", True),
        ("amateur-built", "experimental (amateur-built)", True),
        ("amateur-built", "normal", False),
        ("amateur-built", "", True),
        ("not amateur-built", "amateur-built", False),
        ("not amateur-built", None, True),
        ("Not normal or utility", "utility", False),
        ("not normal or utility", "acrobatic", True),
    ],
)
def test_of_whom_a_row_is_asked(only_if: str | None, category: str | None, asked: bool) -> None:
    assert row(only_if=only_if).asked_of(category) is asked


@pytest.mark.parametrize("only_if", ["not", "normal or", "or", "not  or utility"])
def test_a_category_that_is_missing(only_if: str) -> None:
    with pytest.raises(ValidationError, match="a category is missing"):
        row(only_if=only_if)


def test_one_subject_stands_for_a_list_and_the_aircraft_for_none() -> None:
    assert row().of == ("aircraft",)
    assert row(of="Life limited").of == ("life-limited",)
    assert row(source_seen="quoted").source_seen == "quoted"
    assert row().source_seen == "memory"
