"""Numbers as a locale writes them: our quick way must write what Babel writes, in every locale Babel has."""

from __future__ import annotations

from decimal import Decimal
from functools import cache

from babel import Locale
from babel.core import get_global
from babel.localedata import locale_identifiers
from babel.numbers import format_decimal
from hypothesis import given, settings
from hypothesis import strategies as st

from buildlog.basics.numbers import rounded
from buildlog.pages.words import MINUS, Words
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
