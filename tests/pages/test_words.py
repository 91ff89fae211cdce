"""Numbers and days as a locale writes them: our quick way must write what Babel writes, in every locale Babel has."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cache

from babel import Locale
from babel.core import get_global
from babel.dates import format_date, format_interval, format_skeleton
from babel.localedata import locale_identifiers
from babel.numbers import format_decimal
from hypothesis import given, settings
from hypothesis import strategies as st

from buildlog.basics.numbers import rounded
from buildlog.basics.quantities import Length, Weight
from buildlog.pages.dated import Dated
from buildlog.pages.words import ARM_PLACES, MINUS, WEIGHT_PLACES, Words
from buildlog.records.logbook import Logbook
from buildlog.records.project import Aircraft, Project

LOCALES = sorted(name.replace("_", "-") for name in locale_identifiers() if name not in get_global("locale_aliases"))


@cache
def words(locale: str) -> Words:
    return Words(Logbook(project=Project(title="x", aircraft=Aircraft(type="x"), locale=locale)))


def by_babel(value: Decimal, places: int, locale: str) -> str:
    pattern = "#,##0" + ("." + "0" * places if places else "")
    exact = rounded(value, places)
    text = format_decimal(abs(exact), format=pattern, locale=Locale.parse(locale, sep="-"))
    return (MINUS if exact < 0 else "") + str(text)


def test_every_locale_there_is() -> None:
    assert len(LOCALES) > 500
    for locale in LOCALES:
        for value in ("0", "999", "-1000", "1234567.891", "0.005"):
            assert words(locale).number(Decimal(value), 2) == by_babel(Decimal(value), 2, locale), locale


@settings(max_examples=300)
@given(
    value=st.decimals(-(10**15), 10**15, allow_nan=False, allow_infinity=False, places=5),
    places=st.integers(0, 4),
    locale=st.sampled_from(["en-US", "de-CH", "fr-FR", "es-ES", "pl-PL", "en-IN", "ar-EG", "sv-SE", "bg-BG"]),
)
def test_any_number(value: Decimal, places: int, locale: str) -> None:
    assert words(locale).number(value, places) == by_babel(value, places, locale)


SKELETONS = ("MMM", "MMMd", "MMMM", "MMMMd", "yMMM", "yMMMd", "yMMMM")
PATTERNS = ("LLL", "LLLL", "y")


def test_days_in_every_locale() -> None:
    for name in LOCALES:
        locale = Locale.parse(name, sep="-")
        dated = Dated(locale)
        for day in (date(1990, 1, 1), date(2026, 7, 4), date(2026, 12, 31)):
            assert dated.long(day) == format_date(day, "long", locale), name
            for skeleton in SKELETONS:
                assert dated.skeleton(skeleton, day) == format_skeleton(skeleton, day, locale=locale), name


@settings(max_examples=300)
@given(
    days=st.lists(st.dates(date(1900, 1, 1), date(2999, 12, 31)), min_size=1, max_size=6),
    name=st.sampled_from(["en-US", "en-GB", "de-CH", "fr-FR", "pl-PL", "ar-EG", "fa-IR", "th-TH", "ja-JP", "hu-HU"]),
)
def test_any_days_asked_again_and_again(days: list[date], name: str) -> None:
    locale = Locale.parse(name, sep="-")
    dated = Dated(locale)
    for day in days * 2:
        assert dated.long(day) == format_date(day, "long", locale)
        for skeleton in SKELETONS:
            assert dated.skeleton(skeleton, day) == format_skeleton(skeleton, day, locale=locale)
        for pattern in PATTERNS:
            assert dated.pattern(pattern, day) == format_date(day, pattern, locale)
        if day != days[0]:
            assert dated.span(days[0], day) == format_interval(days[0], day, "yMMMMd", locale=locale)


@given(amount=st.fractions(-1000, 1000, max_denominator=10**9), signed=st.booleans())
def test_weights_arms_and_moments_are_rounded_once(amount: Fraction, signed: bool) -> None:
    mine = words("en-GB")
    weight, arm = Weight.factors[mine.weight_unit], Length.factors[mine.arm_unit]
    places = WEIGHT_PLACES[mine.weight_unit]
    assert mine.weight(amount, signed, unit=False) == mine.number(amount / weight, places, signed)
    assert mine.arm(amount, unit=False) == mine.number(amount / arm, ARM_PLACES[mine.arm_unit])
    assert mine.moment(amount, unit=False) == mine.number(amount / weight / arm, 1)
