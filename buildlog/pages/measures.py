"""What charts draw and write: a project's money, hours, weights and arms as plain numbers, and back into words.

Charts reckon in whole units of currency, in hours, and in the project's units of weight and arm.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

from buildlog.basics.currencies import MINOR_UNITS
from buildlog.basics.frozen import frozen
from buildlog.basics.quantities import Length, Weight
from buildlog.pages.charts import DateUnit, Number
from buildlog.pages.words import ARM_PLACES, WEIGHT_PLACES, Words

_PATTERNS = {"month": "LLL", "year": "y"}
UNIT_NAMES = {
    "lb": "pounds",
    "kg": "kilograms",
    "in": "inches",
    "cm": "centimetres",
    "mm": "millimetres",
    "m": "metres",
}
"""Units as a caption spells them."""


def _places(value: Number) -> int:
    """The digits after the point that a tick needs."""
    return max(0, -int(value.as_tuple().exponent)) if isinstance(value, Decimal) else 0


@frozen
class Measures:
    """The numbers and the formatters that the charts of one project share."""

    words: Words

    def dates(self, on: date, unit: DateUnit) -> str:
        """A date along an axis; never a day where the audience may not see days."""
        if unit == "full":
            return self.words.brief_day(on)
        if unit == "day" and self.words.exact_dates:
            return self.words.dated.skeleton("MMMd", on)
        return self.words.dated.pattern(_PATTERNS["month" if unit == "day" else unit], on)

    def tick(self, value: Number) -> str:
        """A round number along an axis."""
        return self.words.number(value, _places(value))

    def money(self, minor: int) -> Decimal:
        """Minor units as whole ones."""
        return Decimal(minor).scaleb(-MINOR_UNITS[self.words.currency])

    def told_money(self, value: Number) -> str:
        """An amount of a chart with its currency."""
        return self.words.money(int(Fraction(value) * 10 ** MINOR_UNITS[self.words.currency]))

    def hours(self, minutes: int) -> Fraction:
        """Minutes as hours."""
        return Fraction(minutes, 60)

    def told_hours(self, value: Number) -> str:
        """Hours of a chart as hours and minutes."""
        return self.words.labour(round(Fraction(value) * 60))

    def tick_hours(self, value: Number) -> str:
        """Hours along an axis or over a column: whole ones plain, others with their minutes."""
        exact = Fraction(value)
        return (
            self.words.number(value, 0) if exact.denominator == 1 else self.words.labour(round(exact * 60), unit=False)
        )

    def weight(self, kg: Fraction) -> Fraction:
        """Kilograms in the project's unit."""
        return kg / Weight.factors[self.words.weight_unit]

    def told_weight(self, value: Number) -> str:
        """A weight of a chart with its unit."""
        return f"{self.words.number(value, WEIGHT_PLACES[self.words.weight_unit])}\u00a0{self.words.weight_unit}"

    def told_change(self, value: Number) -> str:
        """A change of weight of a chart, with its sign and unit."""
        signed = self.words.number(value, WEIGHT_PLACES[self.words.weight_unit], signed=True)
        return f"{signed}\u00a0{self.words.weight_unit}"

    def arm(self, metres: Fraction) -> Fraction:
        """Metres in the project's unit of arms."""
        return metres / Length.factors[self.words.arm_unit]

    def told_arm(self, value: Number) -> str:
        """An arm of a chart with its unit."""
        return f"{self.words.number(value, ARM_PLACES[self.words.arm_unit])}\u00a0{self.words.arm_unit}"
