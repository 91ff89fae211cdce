"""Date ticks: which dates, which words, and that they never touch."""

from datetime import date
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from buildlog.pages.charts.days import DateTick, Days, date_ticks, days_over
from buildlog.pages.charts.lettering import text_width

from .reading import dates


def ticks(first: str, last: str, width: float, *, by_month: bool = False) -> list[DateTick]:
    days = days_over([date.fromisoformat(first), date.fromisoformat(last)], 40, 40 + width)
    return list(date_ticks(days, dates, 0, 80 + width, by_month=by_month))


def words(found: list[DateTick]) -> list[str]:
    return [tick.text for tick in found if tick.text]


def years(found: list[DateTick]) -> list[str]:
    return [tick.year for tick in found if tick.year]


def test_a_week_is_written_by_days() -> None:
    assert words(ticks("2026-03-01", "2026-03-07", 900)) == [f"{n} Mar" for n in range(1, 8)]


def test_two_months_are_written_by_mondays() -> None:
    found = ticks("2026-03-01", "2026-04-30", 900)
    assert words(found)[:3] == ["2 Mar", "9 Mar", "16 Mar"]
    assert all(tick.on.weekday() == 0 for tick in found if tick.text)


def test_a_season_is_written_by_months_and_its_year_once() -> None:
    found = ticks("2026-03-07", "2026-11-14", 900)
    assert words(found) == ["Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov"]
    assert years(found) == ["2026"]


def test_the_same_season_on_a_narrow_sheet_has_fewer_words() -> None:
    assert words(ticks("2026-03-07", "2026-11-14", 200)) == ["May", "Jul", "Sep", "Nov"]


def test_quarters_and_half_years_carry_the_year_where_it_begins() -> None:
    found = ticks("2024-11-20", "2026-06-10", 300)
    assert words(found) == ["Jan", "Apr", "Jul", "Oct", "Jan", "Apr"]
    assert years(found) == ["2025", "2026"]


def test_many_years_are_written_by_years() -> None:
    # Five years are 39 units here, and a year's word with its gap 46: every tenth.
    assert words(ticks("1993-05-01", "2026-11-14", 260)) == ["2000", "2010", "2020"]


def test_one_day_makes_a_scale_of_six() -> None:
    assert words(ticks("2026-03-01", "2026-03-01", 900)) == [f"{n} Mar" for n in range(1, 8)]


def test_by_month_never_writes_days() -> None:
    assert words(ticks("2026-03-01", "2026-05-01", 900, by_month=True)) == ["Mar", "Apr", "May"]


def test_a_year_that_would_leave_the_sheet_is_left_out() -> None:
    days = days_over([date(2025, 10, 1), date(2026, 1, 1)], 20, 220)
    wide = {t.text: t.year for t in date_ticks(days, dates, 0, 240) if t.text}
    tight = {t.text: t.year for t in date_ticks(days, dates, 0, 233) if t.text}
    # "Jan" is 21 units wide at the most and "2026" 32: at 220 both end before 240, only "Jan" before 233.
    assert wide["Jan"] == "2026"
    assert tight["Jan"] == ""


def test_the_ends_of_the_calendar() -> None:
    assert days_over([date.max], 0, 100).last == date.max
    assert days_over([date.min], 0, 100).first == date.min
    assert words(ticks("0001-01-01", "9999-12-31", 900))


def test_words_too_long_for_the_sheet_still_leave_one() -> None:
    days = days_over([date(2026, 3, 1), date(2026, 11, 1)], 40, 260)
    found = date_ticks(days, lambda on, unit: f"the {unit} that begins on {on} and lasts a while", 0, 300)
    assert any(tick.text for tick in found)


@given(st.dates(), st.dates(), st.floats(60, 1000), st.booleans())
def test_words_never_touch_and_stay_on_the_sheet(one: date, other: date, width: float, by_month: bool) -> None:
    days: Days = days_over([one, other], 20, 20 + width)
    found = [tick for tick in date_ticks(days, dates, 0, 40 + width, by_month=by_month) if tick.text]
    for row in ([(days(t.on), t.text) for t in found], [(days(t.on), t.year) for t in found if t.year]):
        edges = [(x - text_width(text) / 2, x + text_width(text) / 2) for x, text in row]
        assert all(left[1] < right[0] for left, right in pairwise(edges))
        assert all(left >= 0 and right <= 40 + width for left, right in edges)
    assert all(days.first <= tick.on <= days.last for tick in found)
