"""One entry of the log: the facts of a day's work, as its front matter gives them."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Self

from pydantic import BeforeValidator, Field, model_validator

from buildlog.basics.frozen import frozen
from buildlog.basics.problems import Misread, Place, shown
from buildlog.records.changes import (
    Closing,
    ComponentChange,
    DocumentLine,
    Finding,
    Inspected,
    Measurement,
    PhotoLine,
    SignOff,
    WeightChange,
)
from buildlog.records.prose import Prose
from buildlog.records.purchases import CostLine, OrderLine, Part, QuoteLine
from buildlog.records.types import (
    Audience,
    ClockField,
    DateField,
    HoursField,
    KeyField,
    Keys,
    LabourField,
    MoneyField,
    NumberField,
    RangeField,
    Record,
    TextField,
    WeightField,
    each,
    many,
    plain_map,
    shorthand,
)
from buildlog.records.weighing import MeterChange, Weighing


def _hours(value: object) -> object:
    """``3:15`` alone is the owner's."""
    return plain_map(value) if isinstance(value, dict) else {"owner": value}


class EntryFacts(Record):
    """The front matter of an entry. A title and a date are enough."""

    title: TextField = Field(description="What happened, in a few words.", examples=["Battery back on the shelf"])
    date_: DateField | None = Field(None, alias="date", description="The day.", examples=["2026-07-04"])
    dates: RangeField | None = Field(
        None, description="First and last day, in place of date.", examples=["2026-07-04/2026-07-06"]
    )
    time: ClockField | None = Field(None, description="Order within the day.", examples=["14:30"])
    system: Keys = Field((), description="The system, or several, the main one first.", examples=["electrical"])
    share: Annotated[dict[KeyField, NumberField], BeforeValidator(plain_map)] | None = Field(
        None, description="How several systems share cost and hours; else equally.", examples=["{engine: 2, fuel: 1}"]
    )
    job: Keys = Field((), description="The job or jobs of plan.yaml that this was.", examples=["battery"])
    milestone: TextField | None = Field(None, description="A milestone reached.", examples=["First engine run"])
    audience: Audience = Field("public", description="Who may read the entry.", examples=["handover"])
    corrects: TextField | None = Field(
        None, description="The entry this one corrects; both stay.", examples=["2026-07-04-battery.md"]
    )
    summary: TextField | None = Field(
        None,
        description="One sentence for lists and the feed.",
        examples=["The shelf, after a week of wanting the firewall."],
    )
    picture: TextField | None = Field(
        None, description="The photo shown in lists, if not the first.", examples=["photos/IMG_0412.jpg"]
    )
    hours: Annotated[dict[KeyField, LabourField], BeforeValidator(_hours)] = Field(
        {},
        description="Time worked, by person; alone it is the owner's.",
        examples=["{owner: 3:15, mechanic: 0:45}"],
        json_schema_extra={"anyOf": [{"type": ["string", "number"]}, {"type": "object"}]},
    )
    cost: MoneyField | None = Field(
        None, description="One cost without a name, for a quick evening.", examples=["85 USD"]
    )
    costs: tuple[CostLine, ...] = Field((), description="Costs that are not parts.")
    parts: tuple[Part, ...] = Field((), description="What was bought.")
    weight: tuple[WeightChange, ...] = Field((), description="What came off and what went on, with its weight.")
    weight_change: WeightField | None = Field(
        None,
        description="Short form without an arm: counts in the weight, not in the centre of gravity.",
        examples=["-14.5 oz"],
    )
    components: tuple[ComponentChange, ...] = Field((), description="What happened to components of the register.")
    findings: tuple[Finding, ...] = Field((), description="Defects found.")
    closes: Annotated[tuple[Closing, ...], each(shorthand("key"))] = Field(
        (), description="Findings that this entry ends.", examples=["[F-09]"]
    )
    photos: Annotated[tuple[PhotoLine, ...], each(shorthand("file"))] = Field((), description="Photos of the day.")
    orders: tuple[OrderLine, ...] = Field((), description="What was ordered.")
    received: Keys = Field((), description="Orders that arrived.", examples=["[carburettor-overhaul]"])
    quotes: tuple[QuoteLine, ...] = Field((), description="Prices asked for.")
    accepts: Keys = Field((), description="Quotes accepted.", examples=["[carburettor-quote]"])
    declines: Keys = Field((), description="Quotes declined.", examples=["[new-carburettor]"])
    meter: Annotated[dict[KeyField, HoursField], BeforeValidator(plain_map)] = Field(
        {}, description="Meter readings.", examples=["{tach: 412.6 h}"]
    )
    meter_replaced: Annotated[dict[KeyField, MeterChange], BeforeValidator(plain_map)] = Field(
        {}, description="Meters replaced.", examples=["{tach: {read: 412.6 h, starts: 0 h}}"]
    )
    weighing: Weighing | None = Field(None, description="A weighing of the aircraft.")
    inspected: Annotated[tuple[Inspected, ...], each(shorthand("key"))] = Field(
        (), description="Checks of checks.yaml performed.", examples=["[transponder]"]
    )
    directives: Keys = Field((), description="Directives complied with, by key.", examples=["[SB-3]"])
    measured: tuple[Measurement, ...] = Field((), description="What was measured.")
    documents: tuple[DocumentLine, ...] = Field((), description="Papers kept with the entry.")
    answers: Keys = Field((), description="Questions of history.yaml that this answers.", examples=["[Q-3]"])
    signed: Annotated[tuple[SignOff, ...], BeforeValidator(many)] = Field((), description="Signatures over the work.")

    @property
    def bought(self) -> tuple[Part | CostLine | OrderLine, ...]:
        """Every line that may name a supplier and a receipt."""
        return (*self.parts, *self.costs, *self.orders)

    @model_validator(mode="after")
    def _dated_once(self) -> Self:
        if self.date_ and self.dates:
            raise Misread("entry-date", "both date: and dates: are written", "keep one of them", field="dates")
        if not (self.date_ or self.dates):
            raise Misread("entry-date", "neither date: nor dates: is written", "write the day, as in  date: 2026-07-04")
        return self

    @model_validator(mode="after")
    def _shares_fit(self) -> Self:
        if self.share is None:
            return self
        remedy = "write a part for each of the entry's systems, as in  share: {engine: 2, fuel: 1}"
        odd = [key for key in self.share if key not in self.system]
        if odd:
            raise Misread(
                "bad-share", f"share: names {shown(odd[0])}, which is no system of this entry", remedy, field="share"
            )
        if any(weight < 0 for weight in self.share.values()) or not any(self.share.values()):
            raise Misread("bad-share", "share: gives a part that is nothing, or less", remedy, field="share")
        return self


TO_BE_WRITTEN = "To be written:"
"""How the title of a draft begins that was made of pictures, until somebody gives it one."""


@frozen
class Entry:
    """An entry as the program carries it: its facts, its text and its permanent address."""

    facts: EntryFacts
    prose: Prose
    file: str
    slug: str
    hidden: bool = False
    """Kept only for what weights and standing rest on; its words may not be seen by this audience."""
    worked: bool = False
    """Whether it tells of work, where the hours of it may not be seen."""

    @property
    def place(self) -> Place:
        """Where its facts begin."""
        return self.facts.place

    @property
    def is_work(self) -> bool:
        """Whether it tells of work on the aircraft."""
        return self.worked or bool(self.facts.components or self.facts.hours)

    @property
    def day(self) -> date:
        """The day it is told under: the last of several."""
        if self.facts.dates:
            return self.facts.dates[1]
        return self.facts.date_ or date.min  # an entry without either is no entry: the model refuses it

    @property
    def first_day(self) -> date:
        """The first day of the work."""
        return self.facts.dates[0] if self.facts.dates else self.day

    @property
    def main_system(self) -> str | None:
        """The system the entry mainly belongs to."""
        return self.facts.system[0] if self.facts.system else None

    def shares(self) -> list[tuple[str, Fraction]]:
        """The systems that share cost and hours, with their weights; an entry without a system has the one named ''."""
        if self.facts.share:
            return [(key, Fraction(self.facts.share.get(key, Decimal(0)))) for key in self.facts.system]
        return [(key, Fraction(1)) for key in self.facts.system] or [("", Fraction(1))]
