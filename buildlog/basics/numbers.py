"""Decimal numbers as people write them, read exactly and shown rounded half to even.

Rounding rule: half to even, as NIST SP 811 (2008), B.7.1, gives it.
"""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from math import lcm

from buildlog.basics.problems import Misread, shown

Number = Fraction | Decimal | int

_PLAIN = re.compile(r"[-+]?([1-9]\d{0,2}(,\d{3})+|\d+)(\.\d+)?|[-+]?\.\d+", re.ASCII)
_DECIMAL_COMMA = re.compile(r"([-+]?(?:\d+|\d{1,3}(?:\.\d{3})+)),(\d+)", re.ASCII)
_LONGEST = 24


def number(text: str, example: str, within: str = "") -> Decimal:
    """``text`` as an exact decimal; commas may only group thousands.

    Raises Misread, whose remedy shows ``example``, for anything else, a decimal comma among them. ``within`` is the
    whole that the number is a part of, a quantity with its unit.
    """
    whole = within or text
    plain = text.strip().replace("\u2212", "-").replace("\u00a0", "").replace("\u202f", "")
    if len(plain) > _LONGEST:
        raise Misread(
            "endless-number",
            f"{shown(text)} is too long to be a number that was meant",
            f"write at most {_LONGEST} digits, as in  {example}",
        )
    if _PLAIN.fullmatch(plain):
        return Decimal(plain.replace(",", ""))
    comma = _DECIMAL_COMMA.fullmatch(plain)
    if comma:
        raise Misread(
            "decimal-comma",
            f"{shown(whole)} has a comma where a decimal point is wanted",
            "write  " + whole.replace(text, f"{comma[1].replace('.', '')}.{comma[2]}"),
        )
    raise Misread("not-a-number", f"{shown(text)} is not a number", f"write it as in  {example}")


def to_whole(over: int, under: int) -> int:
    """``over / under`` rounded half to even to a whole number; ``under`` is above zero."""
    units, rest = divmod(over, under)
    beyond = 2 * rest - under
    return units + (beyond > 0 or (beyond == 0 and units % 2 == 1))


def rounded(value: Number, places: int) -> Decimal:
    """``value`` rounded half to even to ``places`` digits after the point, never minus zero."""
    over, under = value.as_integer_ratio()
    units = to_whole(over * 10**places, under)
    return Decimal(f"{units}E{-places}")  # made from text, so that no context cuts it to 28 digits


def shared(whole: int, weights: list[Fraction]) -> list[int]:
    """A whole number of the smallest units split by weight so that the parts add up to it exactly.

    The units left over after rounding down go to the largest remainders, earlier parts first.
    """
    scale = lcm(*(weight.denominator for weight in weights))
    counts = [weight.numerator * (scale // weight.denominator) for weight in weights]
    total = sum(counts)
    if total <= 0:
        raise ValueError("the weights of a split must add up to more than nothing")
    exact = [divmod(whole * count, total) for count in counts]
    parts = [part for part, _ in exact]
    by_remainder = sorted(range(len(parts)), key=lambda i: (-exact[i][1], i))
    for i in by_remainder[: whole - sum(parts)]:
        parts[i] += 1
    return parts
