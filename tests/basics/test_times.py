"""Labour, time in service and spans."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.basics.problems import Misread
from buildlog.basics.times import Span, read_hours, read_labour, read_span
from tests.basics.misreading import misread


@pytest.mark.parametrize(
    ("written", "minutes"),
    [
        ("3:15", 195),  # three hours and a quarter; YAML 1.1 would call the text 195, too, and 3:15:00 would be lost
        ("0:45", 45),
        ("10:05", 605),
        ("3h 15m", 195),
        ("3h15m", 195),
        ("3 h 15 min", 195),
        ("45 min", 45),
        ("45m", 45),
        ("3.25 h", 195),
        ("3.25", 195),
        ("3", 180),
        ("0", 0),
        ("3 hours", 180),
        ("1 hour 1 minute", 61),
        ("36 h", 2160),
        ("24", 1440),
        ("120:30", 7230),
        (".5", 30),
        ("1,000 h", 60000),
        ("2 H", 120),
        ("90 min", 90),
    ],
)
def test_labour(written: str, minutes: int) -> None:
    assert read_labour(written) == minutes


@pytest.mark.parametrize(
    ("written", "name", "remedy"),
    [
        ("3:60", "not-hours", None),
        ("3:5", "not-hours", None),
        ("-3:15", "not-hours", None),
        ("3:15:00", "not-hours", None),
        ("an evening", "not-hours", None),
        ("", "not-hours", None),
        ("h", "not-hours", None),
        ("3h 15", "not-hours", None),
        ("195", "doubtful-hours", "write  3:15  for three hours and a quarter, or  195 h  if it is meant"),
        ("24.5", "doubtful-hours", None),
        ("3.33 h", "part-minutes", "write  3:20"),
        ("0.01", "part-minutes", "write  0:01"),
        ("3,25", "decimal-comma", "write  3.25"),
        ("3,25 h", "decimal-comma", "write  3.25 h"),
        ("1.2.3", "not-a-number", None),
        ("9" * 5000 + ":00", "not-hours", None),
        ("9" * 5000 + " min", "not-hours", None),
        ("\u0663:15", "not-hours", None),
    ],
)
def test_what_is_no_labour(written: str, name: str, remedy: str | None) -> None:
    with pytest.raises(Misread) as trouble:
        read_labour(written)
    assert trouble.value.name == name
    assert trouble.value.remedy == (remedy or trouble.value.remedy) != ""
    assert len(trouble.value.message) < 200


@given(st.integers(0, 9999), st.integers(0, 59))
def test_hours_and_minutes(hours: int, minutes: int) -> None:
    expected = 60 * hours + minutes
    for written in (f"{hours}:{minutes:02d}", f"{hours}h {minutes}m", f"{hours} h {minutes} min", f"{expected} min"):
        assert read_labour(written) == expected


@given(st.integers(0, 9999), st.integers(0, 20))
def test_decimal_hours_that_are_whole_minutes(hours: int, twentieths: int) -> None:
    assert read_labour(f"{hours + Decimal(twentieths) / 20} h") == 60 * hours + 3 * twentieths


@pytest.mark.parametrize(
    ("written", "hours"), [("412.6 h", "412.6"), ("0 h", "0"), ("0", "0"), ("2,000 h", "2000"), ("3.2 hours", "3.2")]
)
def test_time_in_service(written: str, hours: str) -> None:
    assert read_hours(written) == Decimal(hours)


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("412.6", "no-unit"),
        ("412:36", "not-hours"),
        ("-3 h", "not-hours"),
        ("412.6 lb", "not-hours"),
        ("", "not-hours"),
        ("412,6 h", "decimal-comma"),
        (None, "not-hours"),
        ([], "not-hours"),
        (412.6, "not-hours"),
        ("9" * 99, "endless-number"),
    ],
)
def test_what_is_no_time_in_service(written: object, name: str) -> None:
    with pytest.raises(Misread) as trouble:
        read_hours(written)
    assert trouble.value.name == name


@pytest.mark.parametrize(
    ("written", "count", "unit", "shown"),
    [
        ("11 weeks", "11", "weeks", "11 weeks"),
        ("1 week", "1", "weeks", "1 week"),
        ("180 days", "180", "days", "180 days"),
        ("24 calendar months", "24", "calendar months", "24 calendar months"),
        ("12 months", "12", "months", "12 months"),
        ("1 calendar month", "1", "calendar months", "1 calendar month"),
        ("100 h", "100", "h", "100 h"),
        ("0.5 h", "0.5", "h", "0.5 h"),
        ("2 years", "2", "years", "2 years"),
        ("24  Calendar  Months", "24", "calendar months", None),
    ],
)
def test_spans(written: str, count: str, unit: str, shown: str | None) -> None:
    span = read_span(written)
    assert span == Span(Decimal(count), unit)
    assert str(span) == (shown or str(span))


def test_months_and_calendar_months_are_different_things() -> None:
    assert read_span("24 months") != read_span("24 calendar months")


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("11", "not-a-span"),
        ("a week", "not-a-span"),
        ("-1 week", "not-a-span"),
        ("1.5 weeks", "not-a-span"),
        ("11 fortnights", "not-a-span"),
        ("", "not-a-span"),
        (None, "not-a-span"),
        ("1,5 h", "decimal-comma"),
        ("301 years", "endless-span"),
        ("100,000 days", "endless-span"),
    ],
)
def test_what_is_no_span(written: object, name: str) -> None:
    with pytest.raises(Misread) as trouble:
        read_span(written)
    assert trouble.value.name == name
    assert trouble.value.remedy


@given(st.text(max_size=20) | st.from_regex(r"[\d.,:]{0,6} ?[hm]?[a-z ]{0,6}", fullmatch=True))
def test_any_text_is_read_or_a_misread(text: str) -> None:
    for read in (read_labour, read_hours, read_span):
        misread(read, text)
