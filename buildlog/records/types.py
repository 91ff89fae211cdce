"""The field types of all records: how each is read from text, described and offered to editors.

YAML's scalars arrive as text (only null, true and false are resolved), so that every type here reads what was written.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, time
from decimal import Decimal
from typing import Annotated, Any, ClassVar

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationInfo
from pydantic_core import CoreSchema, core_schema

from buildlog.basics import dates, times
from buildlog.basics.money import Money, read_money
from buildlog.basics.names import suggestion
from buildlog.basics.numbers import number
from buildlog.basics.problems import Misread, Place, shown
from buildlog.basics.quantities import Density, Length, Quantity, Volume, Weight

PLACE_KEY = "@"
"""The key under which the reader hands each record its place; no builder can write it by accident."""


class Record(BaseModel):
    """Something a builder wrote: frozen, strict about its fields, and knowing where it stands."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    sample: ClassVar[str] = ""
    """How a whole record is written, where its required fields alone would not show it."""

    place: Place = Field(default=Place(""), alias=PLACE_KEY, exclude=True, repr=False)


@dataclass(frozen=True, eq=False)
class Reads:
    """Field metadata: the function that reads the field from what was written, and how editors are told of it."""

    read: Callable[..., Any]
    schema: Mapping[str, Any]
    with_context: bool = False

    def __get_pydantic_core_schema__(self, source: object, handler: object) -> CoreSchema:
        """Read by our own function only."""
        if self.with_context:
            return core_schema.with_info_plain_validator_function(self.read)
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: object) -> dict[str, Any]:
        """What editors are told."""
        return dict(self.schema)


def _as(read: Callable[..., Any], kind: str, *examples: str, with_context: bool = False) -> Reads:
    schema = {"type": ["string", "number"], "title": kind, "examples": list(examples)}
    return Reads(read, schema, with_context)


def _money(value: object, info: ValidationInfo) -> Money:
    money = read_money(value, (info.context or {}).get("currency"))
    if money.amount < 0:
        raise Misread(
            "minus-sign",
            f"{shown(value)}: money is written without a minus sign",
            f"write  {-money} ; what came back is a cost with  kind: refund",
        )
    return money


def unsigned(kind: type[Quantity]) -> Callable[[object], Quantity]:
    """The reader of a quantity that cannot be less than nothing."""

    def read(value: object) -> Quantity:
        quantity = kind.read(value)
        if quantity.base < 0:
            raise Misread(
                "minus-sign",
                f"{shown(value)}: this {kind.kind} cannot be less than nothing",
                "write  " + quantity.written.lstrip("-\u2212"),
            )
        return quantity

    return read


def _text(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        if not value.strip():
            raise Misread("empty-text", "there is nothing written here", "write the words, or take the field out")
        return value
    if value is None:
        raise Misread("empty-text", "there is nothing written here", "write the words, or take the field out")
    raise Misread(
        "wrong-shape",
        f"words are wanted here, not {shown(value)}",
        "write the text on the same line, in quotes if it begins with [ or { or holds a : or #",
    )


def _flag(value: object) -> bool:
    if isinstance(value, bool):
        return value
    word = value.strip().casefold() if isinstance(value, str) else ""
    if word in {"yes", "true"}:
        return True
    if word in {"no", "false"}:
        return False
    raise Misread("not-yes-or-no", f"{shown(value)} is neither yes nor no", "write  yes  or  no")


def _decimal(value: object) -> Decimal:
    if isinstance(value, Decimal):
        return value
    if isinstance(value, str):
        return number(value, "2")
    raise Misread("not-a-number", f"a number is wanted here, not {shown(value)}", "write it as in  2")


def read_key(value: object) -> str:
    """A short name by which records name one another. Raises Misread."""
    if isinstance(value, str) and re.fullmatch(r"\w[\w. -]*", value.strip()):
        return value.strip()
    if value is None:
        raise Misread("empty-text", "there is nothing written here", "write the key, or take the field out")
    raise Misread(
        "not-a-key",
        f"{shown(value)} cannot be a key",
        "use letters, digits, hyphens and dots, beginning with a letter or digit, as in  battery-2",
    )


def listed(value: object) -> object:
    """One thing stands for a list of one."""
    return value if isinstance(value, list | tuple) else [value]


def one_of(*words: str) -> Reads:
    """A field that takes one of a few words; spaces and case do not matter."""

    def read(value: object) -> str:
        word = re.sub(r"[\s_]+", "-", value.strip().casefold()) if isinstance(value, str) else ""
        if isinstance(value, bool):
            word = "yes" if value else "no"
        if word in words:
            return word
        raise Misread(
            "unknown-word",
            f"{shown(value)} is not one of the words for this",
            suggestion(word, words, "known here: " + ", ".join(words)),
        )

    return Reads(read, {"type": "string", "enum": list(words)})


TextField = Annotated[str, Reads(_text, {"type": ["string", "number", "boolean"]})]
KeyField = Annotated[str, Reads(read_key, {"type": ["string", "number"]})]
FlagField = Annotated[bool, Reads(_flag, {"enum": [True, False, "yes", "no"]})]
NumberField = Annotated[Decimal, _as(_decimal, "number", "2")]
WeightField = Annotated[Weight, _as(Weight.read, "weight", "14.5 oz", "1 lb 3 oz", "412 g")]
LengthField = Annotated[Length, _as(Length.read, "length", "58 in", "-12.0 in", "1,250 mm")]
PlainWeight = Annotated[Weight, _as(unsigned(Weight), "weight", "14.5 oz", "1 lb 3 oz", "412 g")]
VolumeField = Annotated[Volume, _as(unsigned(Volume), "volume", "3 US gal", "12 L")]
DensityField = Annotated[Density, _as(unsigned(Density), "density", "6.0 lb/US gal", "0.72 kg/L")]
MoneyField = Annotated[Money, _as(_money, "money", "38.40 USD", "38.40", with_context=True)]
LabourField = Annotated[int, _as(times.read_labour, "labour", "3:15", "45 min", "3.25 h")]
HoursField = Annotated[Decimal, _as(times.read_hours, "time in service", "412.6 h")]
SpanField = Annotated[times.Span, _as(times.read_span, "span", "11 weeks", "24 calendar months", "100 h")]
DateField = Annotated[date, _as(dates.read_date, "date", "2026-05-16")]
RangeField = Annotated[tuple[date, date], _as(dates.read_date_range, "dates", "2026-07-04/2026-07-06")]
ClockField = Annotated[time, _as(dates.read_clock, "time of day", "14:30")]
HazyField = Annotated[dates.HazyDate, _as(dates.read_hazy, "date, maybe uncertain", "2004-06", "2001~", "1998/2003")]
Keys = Annotated[tuple[KeyField, ...], BeforeValidator(listed)]
Texts = Annotated[tuple[TextField, ...], BeforeValidator(listed)]
Spans = Annotated[tuple[SpanField, ...], BeforeValidator(listed)]

Audience = Annotated[str, one_of("public", "handover", "private")]
Basis = Annotated[str, one_of("weighed", "published", "estimated")]
Standing = Annotated[str, one_of("airworthiness", "deferred", "cosmetic")]
State = Annotated[str, one_of("serviceable", "unserviceable", "quarantined", "scrapped", "returned", "sold")]
CostKind = Annotated[str, one_of("part", "material", "service", "tool", "shipping", "tax", "fee", "refund")]
PartKind = Annotated[str, one_of("part", "material", "tool")]
PartWeight = Annotated[str, one_of("none", "included")]
SignedAs = Annotated[str, one_of("work", "return-to-service", "condition-inspection")]
DocumentKind = Annotated[
    str, one_of("receipt", "tag", "certificate", "report", "drawing", "letter", "photo-of-paper", "quote")
]
Knowledge = Annotated[str, one_of("measured", "document", "marking", "statement", "inferred", "unknown")]


def plain_map(value: object) -> object:
    """A mapping of the builder's own keys, without the place the reader put in."""
    return {key: held for key, held in value.items() if key != PLACE_KEY} if isinstance(value, dict) else value


def many(value: object) -> object:
    """One mapping stands for a list of one."""
    return [value] if isinstance(value, dict) else value


def each(spread: Callable[[object], object]) -> BeforeValidator:
    """A list whose items have a short form; one item stands for a list of one."""

    def read(value: object) -> object:
        if isinstance(value, str | dict):
            value = [value]
        return [spread(item) for item in value] if isinstance(value, list | tuple) else value

    return BeforeValidator(read)


def shorthand(key: str) -> Callable[[object], object]:
    """A validator by which bare text stands for a mapping with that text under ``key``."""

    def spread(value: object) -> object:
        return {key: value} if isinstance(value, str) else value

    return spread


def checked(check: Callable[[str], object], kind: str, *examples: str) -> Reads:
    """A field that stays text as it was written, once ``check`` has read it without a Misread."""

    def read(value: object) -> str:
        check(_text(value))
        return _text(value)

    return _as(read, kind, *examples)


def first_verb(record: Mapping[str, Any], verbs: tuple[str, ...], what: str, example: str) -> None:
    """Raise Misread unless exactly one of the verbs of a one-verb line is written."""
    said = [verb for verb in verbs if record.get(verb) is not None]
    if len(said) != 1:
        found = "none of" if not said else "more than one of"
        raise Misread("one-verb", f"{what} says {found} " + ", ".join(verbs), f"write one of them, as in  {example}")
