"""Dates: exact ones, and the part of EDTF (ISO 8601-2, levels 0 and 1) that history needs."""

from __future__ import annotations

from datetime import date, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.basics.dates import read_clock, read_date, read_date_range, read_hazy
from buildlog.basics.problems import Misread
from tests.basics.misreading import misread

DAYS = st.dates(date(1900, 1, 1), date(2199, 12, 31))


@given(DAYS)
def test_a_date_there_and_back(day: date) -> None:
    assert read_date(day.isoformat()) == day
    hazy = read_hazy(day.isoformat())
    assert (hazy.earliest, hazy.latest, hazy.exact()) == (day, day, True)


@pytest.mark.parametrize(
    ("written", "name", "remedy"),
    [
        ("2026-5-16", "broken-date", "write  2026-05-16"),
        ("2026-05-1", "broken-date", "write  2026-05-01"),
        ("16.5.2026", "broken-date", None),
        ("5/16/2026", "broken-date", None),
        ("20260516", "broken-date", None),
        ("2026-05-16T10:00", "broken-date", None),
        ("2026-W20-6", "broken-date", None),
        ("", "broken-date", None),
        ("2026-02-29", "no-such-date", None),
        ("2026-13-01", "no-such-date", None),
        ("2026-00-10", "no-such-date", None),
        ("1900-02-29", "no-such-date", None),
        ("0226-05-16", "far-date", None),
        ("2206-05-16", "far-date", None),
        ("\u0662\u0660\u0662\u0666-\u0660\u0665-\u0661\u0666", "broken-date", None),
        (None, "broken-date", None),
        (True, "broken-date", None),
        ([], "broken-date", None),
    ],
)
def test_what_is_no_date(written: object, name: str, remedy: str | None) -> None:
    with pytest.raises(Misread) as trouble:
        read_date(written)
    assert trouble.value.name == name
    assert trouble.value.remedy == (remedy or trouble.value.remedy) != ""


def test_leap_days() -> None:
    assert read_date("2000-02-29") == date(2000, 2, 29)  # divisible by 400
    assert read_date("2024-02-29") == date(2024, 2, 29)


def test_ranges() -> None:
    assert read_date_range("2026-07-04/2026-07-06") == (date(2026, 7, 4), date(2026, 7, 6))
    assert read_date_range("2026-07-04 / 2026-07-04") == (date(2026, 7, 4),) * 2
    for written, name in (
        ("2026-07-04", "broken-date"),
        ("2026-07-06/2026-07-04", "dates-reversed"),
        (None, "broken-date"),
        ("2026-07-04/06", "broken-date"),
        ("2026-07-04/", "broken-date"),
        ("2026-02-30/2026-03-01", "no-such-date"),
    ):
        with pytest.raises(Misread) as trouble:
            read_date_range(written)
        assert trouble.value.name == name


def test_clock() -> None:
    assert read_clock("14:30") == time(14, 30)
    assert read_clock("0:05") == time(0, 5)
    for written in ("24:00", "14:60", "2 pm", "14", "14:3", "", None, 14, "\u0661\u0664:30"):
        with pytest.raises(Misread) as trouble:
            read_clock(written)
        assert trouble.value.name == "not-a-time"


# Worked by hand from a calendar. Seasons by ISO 8601-2's codes 21 to 24, northern, in whole months.
@pytest.mark.parametrize(
    ("written", "earliest", "latest", "about", "doubtful"),
    [
        ("2004", "2004-01-01", "2004-12-31", False, False),
        ("2004-06", "2004-06-01", "2004-06-30", False, False),
        ("2004-02", "2004-02-01", "2004-02-29", False, False),  # a leap year
        ("1900-02", "1900-02-01", "1900-02-28", False, False),  # not one
        ("2000-02", "2000-02-01", "2000-02-29", False, False),
        ("2004-06-12", "2004-06-12", "2004-06-12", False, False),
        ("2001~", "2001-01-01", "2001-12-31", True, False),
        ("2001?", "2001-01-01", "2001-12-31", False, True),
        ("2001%", "2001-01-01", "2001-12-31", True, True),
        ("2004-06-12~", "2004-06-12", "2004-06-12", True, False),
        ("199X", "1990-01-01", "1999-12-31", False, False),
        ("19XX", "1900-01-01", "1999-12-31", False, False),
        ("2004-XX", "2004-01-01", "2004-12-31", False, False),
        ("2004-XX-XX", "2004-01-01", "2004-12-31", False, False),
        ("2004-02-XX", "2004-02-01", "2004-02-29", False, False),
        ("2006-21", "2006-03-01", "2006-05-31", False, False),
        ("2006-22", "2006-06-01", "2006-08-31", False, False),
        ("2006-23", "2006-09-01", "2006-11-30", False, False),
        ("2006-24", "2006-01-01", "2006-12-31", False, False),  # January and December are winter in one year
        ("1998/2003", "1998-01-01", "2003-12-31", False, False),
        ("2004-06/2006", "2004-06-01", "2006-12-31", False, False),
        ("1998~/2003-02", "1998-01-01", "2003-02-28", True, False),
        ("../2004", None, "2004-12-31", False, False),
        ("2004-06-12/..", "2004-06-12", None, False, False),
        ("/2004", None, "2004-12-31", False, False),
    ],
)
def test_bounds_of_uncertain_dates(
    written: str, earliest: str | None, latest: str | None, about: bool, doubtful: bool
) -> None:
    hazy = read_hazy(written)
    assert hazy.earliest == (date.fromisoformat(earliest) if earliest else None)
    assert hazy.latest == (date.fromisoformat(latest) if latest else None)
    assert (hazy.about, hazy.doubtful, str(hazy)) == (about, doubtful, written)
    assert hazy.exact() == (written == "2004-06-12")


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("2004-13", "broken-date"),
        ("2004-20", "broken-date"),
        ("2004-25", "broken-date"),
        ("2006-23-01", "broken-date"),
        ("2004-02-30", "broken-date"),
        ("20X4", "broken-date"),
        ("199X-05", "broken-date"),
        ("2004-XX-12", "broken-date"),
        ("0000", "broken-date"),
        ("04", "broken-date"),
        ("2004-6", "broken-date"),
        ("../..", "broken-date"),
        ("/", "broken-date"),
        ("", "broken-date"),
        ("2001 ~", "broken-date"),
        ("~2001", "broken-date"),
        (None, "broken-date"),
        (2001, "broken-date"),
        ("2003/1998", "dates-reversed"),
        ("2004-06/2004-05", "dates-reversed"),
        ("1893", "far-date"),
        ("18XX", "far-date"),
        ("1998/2003/2004", "broken-date"),
    ],
)
def test_what_is_no_date_even_with_doubt(written: object, name: str) -> None:
    with pytest.raises(Misread) as trouble:
        read_hazy(written)
    assert trouble.value.name == name
    assert trouble.value.remedy


@given(DAYS, DAYS)
def test_an_interval_holds_both_its_ends(one: date, other: date) -> None:
    first, last = sorted((one, other))
    hazy = read_hazy(f"{first}/{last}")
    assert (hazy.earliest, hazy.latest) == (first, last)
    month = read_hazy(f"{first:%Y-%m}/{last:%Y-%m}")
    assert month.earliest is not None
    assert month.latest is not None
    assert month.earliest <= first <= last <= month.latest


@given(st.text(max_size=20) | st.from_regex(r"[\dX~?%/.-]{0,21}", fullmatch=True))
def test_any_text_is_a_date_or_a_misread(text: str) -> None:
    for read in (read_date, read_date_range, read_clock, read_hazy):
        misread(read, text)
