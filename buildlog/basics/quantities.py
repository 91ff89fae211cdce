"""Weights, lengths, volumes and densities: exact, with the unit they were written in.

Amounts are kept as exact fractions of a base unit (kg, m, L, kg/L), so that no conversion ever loses a digit.
Factors: NIST SP 811 (2008), Appendix B.8; the pound and the yard of 1959. One US gallon is 231 cubic inches.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from itertools import pairwise
from typing import ClassVar, Self

from buildlog.basics.frozen import frozen
from buildlog.basics.names import nearest
from buildlog.basics.numbers import Number, number, rounded
from buildlog.basics.problems import Misread, shown

_LB = Fraction(45359237, 10**8)
_IN = Fraction(254, 10**4)
_US_GAL = Fraction(3785411784, 10**9)
_IMP_GAL = Fraction(454609, 10**5)
_FRACTION = re.compile(r"([-+\u2212]?)(?:(\d{1,6})[ -]+)?(\d{1,6}) ?/ ?(\d{1,6}) *(\D+)", re.ASCII)
_PART = re.compile(r"\s*([-+\u2212]?[\d.,\u00a0\u202f]*\d)\s*([^\d\s.,+-][^\d]*?)\s*(?=$|\d)")


@frozen
class Quantity:
    """An exact amount in the base unit of its kind, and the text and unit it was written in."""

    base: Fraction
    unit: str
    written: str = ""

    kind: ClassVar[str] = "quantity"
    example: ClassVar[str] = ""
    factors: ClassVar[Mapping[str, Fraction]] = {}
    spellings: ClassVar[Mapping[str, str]] = {}
    doubtful: ClassVar[Mapping[str, str]] = {}

    @classmethod
    def of(cls, amount: Number, unit: str) -> Self:
        """``amount`` of a unit of this kind, e.g. ``Weight.of(Decimal("14.5"), "oz")``."""
        return cls(Fraction(amount) * cls.factors[unit], unit)

    @classmethod
    def read(cls, text: object) -> Self:
        """What a builder wrote, ``14.5 oz`` or ``1 lb 3 oz``; a bare ``0`` needs no unit. Raises Misread."""
        if isinstance(text, cls):
            return text
        if not isinstance(text, str):
            raise Misread(
                "wrong-shape", f"a {cls.kind} is wanted here, not {shown(text)}", f"write it as in  {cls.example}"
            )
        written = text.strip()
        if written in {"0", "0.0", "-0"}:
            return cls(Fraction(0), next(iter(cls.factors)), written)
        parts = cls._parts(written)
        sizes = [cls.factors[unit] for _, unit in parts]
        falling = all(larger > smaller for larger, smaller in pairwise(sizes))
        if not falling or any(amount[0] in "-+\u2212" for amount, _ in parts[1:]):
            raise cls._unreadable(written)
        sign = -1 if written[0] in "-\u2212" else 1
        base = sum(
            (abs(Fraction(number(amount, cls.example, written))) * cls.factors[unit] for amount, unit in parts),
            Fraction(0),
        )
        return cls(sign * base, parts[0][1], written)

    @classmethod
    def _parts(cls, written: str) -> list[tuple[str, str]]:
        """The (number, unit) pairs of a text, each unit one of this kind's."""
        if _FRACTION.fullmatch(written):
            raise cls._unreadable(written)
        parts, at = [], 0
        while at < len(written):
            found = _PART.match(written, at)
            if not found:
                break
            parts.append((found[1], cls._unit(found[2].strip(), written)))
            at = found.end()
        if not parts or at < len(written):
            raise cls._unreadable(written)
        return parts

    @classmethod
    def _unit(cls, word: str, written: str) -> str:
        """The unit that ``word`` means."""
        folded = " ".join(word.casefold().rstrip(".").split())
        told = shown(word) if word == written else f"{shown(written)}: {shown(word)}"
        if folded in cls.doubtful:
            raise Misread("doubtful-unit", f"{told} may be one of two units", cls.doubtful[folded])
        plain = cls.spellings.get(folded, word)
        if plain in cls.factors:
            return plain
        known = [*cls.factors, *cls.spellings]
        near = nearest(word, known)
        remedy = f"did you mean  {cls.spellings.get(near, near)} ?" if near else "units here: " + ", ".join(cls.factors)
        raise Misread("unknown-unit", f"{told} is not a unit of {cls.kind}", remedy)

    @classmethod
    def _unreadable(cls, written: str) -> Misread:
        """Why a text is no quantity: a fraction, no unit, or no number."""
        broken = _FRACTION.fullmatch(written)
        if broken and int(broken[4]):
            value = int(broken[2] or 0) + Fraction(int(broken[3]), int(broken[4]))
            plain = format(rounded(value, 4), "f").rstrip("0").rstrip(".")
            return Misread(
                "fraction",
                f"{shown(written)} has a fraction where a decimal number is wanted",
                f"write  {broken[1]}{plain} {broken[5].strip()}",
            )
        bare = re.fullmatch(r"[-+\u2212]?[\d.,]+", written)
        if bare:
            number(written, cls.example)
            return Misread(
                "no-unit",
                f"{shown(written)} has no unit",
                f"write the unit ({', '.join(cls.factors)}), as in  {written} {next(iter(cls.factors))}",
            )
        return Misread("not-a-quantity", f"{shown(written)} is not a {cls.kind}", f"write it as in  {cls.example}")

    @classmethod
    def read_unit(cls, text: object) -> str:
        """A unit of this kind alone, as in ``US gal``. Raises Misread."""
        word = text.strip() if isinstance(text, str) else ""
        if not word:
            raise Misread(
                "unknown-unit", f"{shown(text)} is not a unit of {cls.kind}", "units here: " + ", ".join(cls.factors)
            )
        return cls._unit(word, word)

    def to(self, unit: str) -> Fraction:
        """The exact amount in another unit of the same kind."""
        return self.base / self.factors[unit]

    def __add__(self, other: Self) -> Self:
        return type(self)(self.base + other.base, self.unit)

    def __sub__(self, other: Self) -> Self:
        return type(self)(self.base - other.base, self.unit)

    def __neg__(self) -> Self:
        return type(self)(-self.base, self.unit)

    def __str__(self) -> str:
        return self.written or f"{float(self.to(self.unit)):g} {self.unit}"


class Weight(Quantity):
    """A weight (mass, as a scale shows it); base unit kg."""

    kind = "weight"
    example = "14.5 oz"
    factors: ClassVar[Mapping[str, Fraction]] = {"lb": _LB, "oz": _LB / 16, "kg": Fraction(1), "g": Fraction(1, 1000)}
    spellings: ClassVar[Mapping[str, str]] = {
        "lbs": "lb",
        "pound": "lb",
        "pounds": "lb",
        "ounce": "oz",
        "ounces": "oz",
        "kilogram": "kg",
        "kilograms": "kg",
        "kilo": "kg",
        "kilos": "kg",
        "gram": "g",
        "grams": "g",
        "gramme": "g",
        "grammes": "g",
        "kgs": "kg",
        "lb": "lb",
        "oz": "oz",
        "kg": "kg",
        "g": "g",
    }


class Length(Quantity):
    """A length or an arm (distance from the datum, signed); base unit m."""

    kind = "length"
    example = "58 in"
    factors: ClassVar[Mapping[str, Fraction]] = {
        "in": _IN,
        "ft": 12 * _IN,
        "mm": Fraction(1, 1000),
        "cm": Fraction(1, 100),
        "m": Fraction(1),
    }
    spellings: ClassVar[Mapping[str, str]] = {
        "inch": "in",
        "inches": "in",
        '"': "in",
        "\u2033": "in",
        "foot": "ft",
        "feet": "ft",
        "'": "ft",
        "\u2032": "ft",
        "millimetre": "mm",
        "millimetres": "mm",
        "millimeter": "mm",
        "millimeters": "mm",
        "centimetre": "cm",
        "centimetres": "cm",
        "centimeter": "cm",
        "centimeters": "cm",
        "metre": "m",
        "metres": "m",
        "meter": "m",
        "meters": "m",
        "in": "in",
        "ft": "ft",
        "mm": "mm",
        "cm": "cm",
        "m": "m",
    }


class Volume(Quantity):
    """A volume of fuel or oil; base unit L."""

    kind = "volume"
    example = "3 US gal"
    factors: ClassVar[Mapping[str, Fraction]] = {
        "L": Fraction(1),
        "US gal": _US_GAL,
        "imp gal": _IMP_GAL,
        "US qt": _US_GAL / 4,
        "mL": Fraction(1, 1000),
    }
    spellings: ClassVar[Mapping[str, str]] = {
        "l": "L",
        "litre": "L",
        "litres": "L",
        "liter": "L",
        "liters": "L",
        "ml": "mL",
        "us gal": "US gal",
        "us gallon": "US gal",
        "us gallons": "US gal",
        "usg": "US gal",
        "imp gal": "imp gal",
        "imp gallons": "imp gal",
        "us qt": "US qt",
        "us quart": "US qt",
        "us quarts": "US qt",
    }
    doubtful: ClassVar[Mapping[str, str]] = {
        **dict.fromkeys(("gal", "gallon", "gallons"), "say which:  US gal  or  imp gal"),
        **dict.fromkeys(("qt", "quart", "quarts"), "say which:  US qt , or give litres"),
    }


class Density(Quantity):
    """Weight of fuel or oil by volume; base unit kg/L."""

    kind = "density"
    example = "6.0 lb/US gal"
    factors: ClassVar[Mapping[str, Fraction]] = {
        "lb/US gal": _LB / _US_GAL,
        "kg/L": Fraction(1),
        "g/mL": Fraction(1),
        "lb/imp gal": _LB / _IMP_GAL,
    }
    spellings: ClassVar[Mapping[str, str]] = {
        "kg/l": "kg/L",
        "g/ml": "g/mL",
        "lb/us gal": "lb/US gal",
        "lb/imp gal": "lb/imp gal",
    }
    doubtful: ClassVar[Mapping[str, str]] = {"lb/gal": "say which:  lb/US gal  or  lb/imp gal"}

    def weigh(self, volume: Volume) -> Weight:
        """The weight of a volume at this density."""
        return Weight(self.base * volume.base, "kg")
