"""Weights, lengths, volumes and densities, against the exact factors and an independent library."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.basics.problems import Misread
from buildlog.basics.quantities import Density, Length, Quantity, Volume, Weight
from tests.basics.misreading import misread

KINDS: list[type[Quantity]] = [Weight, Length, Volume, Density]
PINT = {
    "lb": "pound",
    "oz": "ounce",
    "in": "inch",
    "ft": "foot",
    "L": "litre",
    "mL": "millilitre",
    "US gal": "US_liquid_gallon",
    "US qt": "US_liquid_quart",
    "imp gal": "imperial_gallon",
    "lb/US gal": "pound/US_liquid_gallon",
    "lb/imp gal": "pound/imperial_gallon",
    "kg/L": "kilogram/litre",
    "g/mL": "gram/millilitre",
}
PINT_BASE = {Weight: "kilogram", Length: "metre", Volume: "litre", Density: "kilogram/litre"}


@pytest.fixture(scope="module")
def units() -> Any:
    return pint.UnitRegistry(non_int_type=Fraction)


# NIST SP 811 (2008), Appendix B.8, and the international yard and pound of 1959: all exact.
@pytest.mark.parametrize(
    ("kind", "amount", "unit", "to", "expected"),
    [
        (Weight, "1", "lb", "kg", "0.45359237"),
        (Weight, "1", "oz", "g", "28.349523125"),
        (Length, "1", "in", "mm", "25.4"),
        (Length, "1", "ft", "m", "0.3048"),
        (Volume, "1", "US gal", "L", "3.785411784"),
        (Volume, "1", "imp gal", "L", "4.54609"),
        (Volume, "1", "US qt", "L", "0.946352946"),
        # worked from those factors with pencil and paper
        (Weight, "1331.5", "lb", "kg", "603.958240655"),
        (Length, "50.1", "in", "mm", "1272.54"),
        (Volume, "30", "US gal", "L", "113.56235352"),
        (Weight, "603.958240655", "kg", "lb", "1331.5"),
    ],
)
def test_factors(kind: type[Quantity], amount: str, unit: str, to: str, expected: str) -> None:
    assert kind.of(Decimal(amount), unit).to(to) == Fraction(expected)


@pytest.mark.parametrize(("kind", "unit"), [(kind, unit) for kind in KINDS for unit in kind.factors])
def test_every_factor_against_pint(units: Any, kind: type[Quantity], unit: str) -> None:
    reference = units.Quantity(Fraction(1), PINT.get(unit, unit)).to(PINT_BASE[kind]).magnitude
    assert kind.of(1, unit).base == reference


# AC 43.13-1B and the handbooks give avgas as 6.0 lb/US gal: 0.719 kg/L, 16 gal weigh 96 lb.
def test_density_weighs_a_volume() -> None:
    avgas = Density.read("6.0 lb/US gal")
    assert avgas.weigh(Volume.read("16 US gal")).to("lb") == 96
    assert round(avgas.to("kg/L"), 5) == Fraction("0.71896")
    assert Density.read("0.72 kg/L").weigh(Volume.read("500 mL")).to("g") == 360


@pytest.mark.parametrize(
    ("kind", "written", "amount", "unit"),
    [
        (Weight, "14.5 oz", "14.5", "oz"),
        (Weight, "1 lb 3 oz", "19", "oz"),
        (Weight, "412 g", "412", "g"),
        (Weight, "2.3 kg", "2.3", "kg"),
        (Weight, "24.3lb", "24.3", "lb"),
        (Weight, "5 LBS.", "5", "lb"),
        (Weight, "5\u00a0pounds", "5", "lb"),
        (Weight, "\u22121 lb 8 oz", "-1.5", "lb"),
        (Weight, "1,250.5 g", "1250.5", "g"),
        (Length, "58 in", "58", "in"),
        (Length, "-12.0 in", "-12", "in"),
        (Length, "1,250 mm", "1250", "mm"),
        (Length, "4 ft 2 in", "50", "in"),
        (Length, "4' 2\"", "50", "in"),
        (Length, "4\u2032 2\u2033", "50", "in"),
        (Length, "-4 ft 2 in", "-50", "in"),
        (Length, "1 m 20 cm", "120", "cm"),
        (Length, "6 feet", "72", "in"),
        (Volume, "3 US gal", "3", "US gal"),
        (Volume, "12 L", "12", "L"),
        (Volume, "3 us  gallons", "3", "US gal"),
        (Volume, "2 US gal 1 US qt", "9", "US qt"),
        (Volume, "2 litres", "2", "L"),
        (Density, "0.72 kg/l", "0.72", "kg/L"),
        (Weight, "0", "0", "lb"),
        (Length, "0", "0", "in"),
    ],
)
def test_as_people_write_them(kind: type[Quantity], written: str, amount: str, unit: str) -> None:
    assert kind.read(written).to(unit) == Fraction(amount)
    assert str(kind.read(written)) == written


@pytest.mark.parametrize(
    ("kind", "written", "name"),
    [
        (Weight, "24.3", "no-unit"),
        (Weight, "-24.3", "no-unit"),
        (Length, "58", "no-unit"),
        (Volume, "3 gal", "doubtful-unit"),
        (Volume, "3 Gal.", "doubtful-unit"),
        (Volume, "3 quarts", "doubtful-unit"),
        (Density, "6 lb/gal", "doubtful-unit"),
        (Weight, "2 stone", "unknown-unit"),
        (Weight, "58 in", "unknown-unit"),
        (Length, "24.3 lb", "unknown-unit"),
        (Weight, "2,3 kg", "decimal-comma"),
        (Weight, "0,250 kg", "decimal-comma"),
        (Weight, "1/2 lb", "fraction"),
        (Length, "72 3/4 in", "fraction"),
        (Length, "72-3/4 in", "fraction"),
        (Weight, "1/0 lb", "not-a-quantity"),
        (Weight, "", "not-a-quantity"),
        (Weight, "lb", "not-a-quantity"),
        (Weight, "5 lb 6", "not-a-quantity"),
        (Weight, "3 oz 1 lb", "not-a-quantity"),
        (Weight, "1 lb 1 lb", "not-a-quantity"),
        (Weight, "5 lb -2 oz", "unknown-unit"),
        (Weight, "5 lb\x00", "unknown-unit"),
        (Weight, "1e3 lb", "unknown-unit"),
        (Weight, "12 34 lb", "not-a-quantity"),
        (Weight, "1.2.3 lb", "not-a-number"),
        (Weight, "1" * 30 + " lb", "endless-number"),
    ],
)
def test_what_is_refused(kind: type[Quantity], written: str, name: str) -> None:
    with pytest.raises(Misread) as trouble:
        kind.read(written)
    assert trouble.value.name == name
    assert trouble.value.remedy


def test_the_remedy_for_a_fraction_is_what_to_type() -> None:
    for written, remedy in (
        ("72 3/4 in", "write  72.75 in"),
        ("-1/2 in", "write  -0.5 in"),
        ("1 1/3 in", "write  1.3333 in"),
        ("200/2 in", "write  100 in"),
    ):
        with pytest.raises(Misread) as trouble:
            Length.read(written)
        assert trouble.value.remedy == remedy
        Length.read(remedy.removeprefix("write  "))


@pytest.mark.parametrize("value", [None, True, 5, 5.5, [], {}, Decimal(5)])
@pytest.mark.parametrize("kind", KINDS)
def test_only_text_is_read(kind: type[Quantity], value: object) -> None:
    with pytest.raises(Misread) as trouble:
        kind.read(value)
    assert trouble.value.name == "wrong-shape"


@pytest.mark.parametrize("kind", KINDS)
def test_every_example_and_spelling_is_read(kind: type[Quantity]) -> None:
    assert kind.read(kind.example).base
    for spelling, unit in kind.spellings.items():
        assert kind.read(f"2 {spelling}").base == 2 * kind.factors[unit]
    for doubtful in kind.doubtful:
        with pytest.raises(Misread):
            kind.read(f"2 {doubtful}")


@given(st.data(), st.decimals(-99999, 99999, places=4))
def test_written_out_and_read_back(data: st.DataObject, amount: Decimal) -> None:
    kind = data.draw(st.sampled_from(KINDS))
    unit = data.draw(st.sampled_from(sorted(kind.factors)))
    there = kind.read(f"{amount} {unit}")
    assert there.base == kind.of(amount, unit).base
    assert there.to(unit) == Fraction(amount)
    for other in kind.factors:
        assert kind.of(there.to(other), other).base == there.base


@given(st.integers(0, 500), st.integers(0, 15))
def test_pounds_and_ounces(pounds: int, ounces: int) -> None:
    assert Weight.read(f"{pounds} lb {ounces} oz").to("oz") == 16 * pounds + ounces
    assert Weight.read(f"-{pounds} lb {ounces} oz").to("oz") == -(16 * pounds + ounces)


@given(st.lists(st.decimals(-99, 99, places=3), min_size=1, max_size=9))
def test_sums_lose_nothing(amounts: list[Decimal]) -> None:
    total = sum(
        (Weight.of(amount, unit) for amount, unit in zip(amounts, ["lb", "oz", "kg"] * 3, strict=False)),
        Weight(Fraction(0), "lb"),
    )
    assert total - total == Weight(Fraction(0), "lb")
    assert (-total).base == -total.base


@given(
    st.sampled_from(KINDS),
    st.text(max_size=25) | st.from_regex(r"[-+]?[\d.,/ ]{1,8} ?[a-z. ]{0,6}[\d.,]{0,4}", fullmatch=True),
)
def test_any_text_is_a_quantity_or_a_misread(kind: type[Quantity], text: str) -> None:
    misread(kind.read, text)


@pytest.mark.parametrize(
    ("word", "unit"), [("US gal", "US gal"), ("litres", "L"), (" l ", "L"), ("Imp Gal", "imp gal")]
)
def test_a_unit_alone(word: str, unit: str) -> None:
    assert Volume.read_unit(word) == unit


@pytest.mark.parametrize(
    ("word", "name"),
    [
        ("gal", "doubtful-unit"),
        ("lb", "unknown-unit"),
        ("", "unknown-unit"),
        (None, "unknown-unit"),
        ("L 2 mL", "unknown-unit"),
    ],
)
def test_what_is_no_unit(word: object, name: str) -> None:
    with pytest.raises(Misread) as trouble:
        Volume.read_unit(word)
    assert trouble.value.name == name
