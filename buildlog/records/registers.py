"""The registers beside the log: components, history, loading, plan, directives, checks."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import BeforeValidator, Field, model_validator

from buildlog.basics.numbers import number
from buildlog.basics.problems import Misread, shown
from buildlog.basics.times import Span, read_span
from buildlog.records.history import Fact, History, Question
from buildlog.records.loading import Limit, Loading, LoadingCase, MeanChord, Station
from buildlog.records.types import (
    Audience,
    Basis,
    DateField,
    FlagField,
    HazyField,
    HoursField,
    KeyField,
    Keys,
    Knowledge,
    LabourField,
    LengthField,
    MoneyField,
    PlainWeight,
    Reads,
    Record,
    SpanField,
    TextField,
    checked,
    listed,
    one_of,
)

__all__ = [
    "Check",
    "Checks",
    "Component",
    "Directive",
    "Directives",
    "Equipment",
    "Estimate",
    "Fact",
    "History",
    "Job",
    "Life",
    "Limit",
    "Loading",
    "LoadingCase",
    "MeanChord",
    "Plan",
    "Question",
    "Station",
    "Wait",
    "Window",
]

Book = Annotated[str, one_of("airframe", "engine", "propeller")]
AsFound = Annotated[str, one_of("fitted", "loose")]
Worker = Annotated[str, one_of("owner", "mechanic")]
Applies = Annotated[str, one_of("yes", "no", "unknown")]
LifeFrom = Annotated[str, one_of("new", "overhaul", "fitted")]
DirectiveKind = Annotated[str, one_of("directive", "bulletin")]
Weekday = Annotated[str, one_of("mon", "tue", "wed", "thu", "fri", "sat", "sun")]


def _months(text: str) -> None:
    if number(text, "144") % 1 or number(text, "144") <= 0:
        raise Misread("not-a-number", f"{shown(text)} is not a number of whole months", "write it as in  144")


def _recurrence(value: object) -> Span:
    span = read_span(value)
    if not span.count:
        raise Misread(
            "empty-span", f"{shown(value)} would fall due for ever", "write how often, as in  24 calendar months"
        )
    return span


Recurrence = Annotated[Span, Reads(_recurrence, {"type": "string", "examples": ["24 calendar months", "100 h"]})]


class Equipment(Record):
    """A component's line on the equipment list."""

    weight: PlainWeight = Field(description="What it weighs.", examples=["24.3 lb"])
    arm: LengthField | None = Field(None, description="Where it sits, from the datum.", examples=["73.0 in"])
    basis: Basis = Field("estimated", description="How the weight is known.", examples=["weighed"])


class Life(Record):
    """A limit on how long a component may be used."""

    hours: HoursField | None = Field(None, description="Hours in service.", examples=["2000 h"])
    months: Annotated[str, checked(_months, "months", "144")] | None = Field(
        None, description="Calendar months.", examples=["144"]
    )
    since: LifeFrom = Field("new", description="What it counts from: new, overhaul or fitted.", examples=["overhaul"])
    source: TextField | None = Field(None, description="Who sets the limit.", examples=["maker's manual"])


class Component(Record):
    """Something with an identity: an engine, a magneto, a harness."""

    name: TextField = Field(description="What it is called.", examples=["Left magneto"])
    system: KeyField | None = Field(None, description="Its system.", examples=["ignition"])
    code: TextField | None = Field(
        None, description="Its number in the table of system codes, in quotes.", examples=['"7414"']
    )
    maker: TextField | None = Field(None, description="Who made it.", examples=["Brandt"])
    model: TextField | None = Field(None, description="Model.", examples=["B4-100"])
    part_no: TextField | None = Field(None, description="Part number.", examples=["TV-LB20"])
    serial: TextField | None = Field(None, description="Serial number, in quotes.", examples=['"4411-B"'])
    inside: KeyField | None = Field(None, alias="in", description="The component it sits in.", examples=["engine"])
    made: HazyField | None = Field(
        None, description="When it was made, as its plate, stamp or label says.", examples=["2026-02"]
    )
    as_found: AsFound = Field("fitted", description="How it was when the log began.", examples=["loose"])
    equipment: Equipment | None = Field(
        None,
        description="Its line on the equipment list.",
        examples=["{weight: 24.3 lb, arm: 73.0 in, basis: weighed}"],
    )
    life: Life | None = Field(None, description="A life limit.", examples=["{hours: 2000 h}"])
    book: Book | None = Field(None, description="The log book it belongs to.", examples=["engine"])
    tag: TextField | None = Field(None, description="A tag that hangs on it.", examples=["documents/tag.jpg"])
    photo: TextField | None = Field(None, description="Its picture.", examples=["photos/24_engine.jpg"])
    note: TextField | None = Field(None, description="A remark.", examples=["as found, checked"])
    required: FlagField | None = Field(None, description="Whether the aircraft must have it.", examples=["yes"])


class Estimate(Record):
    """Hours a job is thought to take."""

    low: LabourField = Field(description="If all goes well.", examples=["4:00"])
    likely: LabourField = Field(description="Most likely.", examples=["6:00"])
    high: LabourField = Field(description="If it does not.", examples=["12:00"])

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if not self.low <= self.likely <= self.high:
            low, likely, high = (f"{n // 60}:{n % 60:02d}" for n in sorted((self.low, self.likely, self.high)))
            raise Misread(
                "estimate-order",
                "low, likely and high are not in order",
                f"write  {{low: {low}, likely: {likely}, high: {high}}}",
            )
        return self


def _one_figure(value: object) -> object:
    return {"low": value, "likely": value, "high": value} if isinstance(value, str) else value


class Wait(Record):
    """What a job waits for."""

    order: KeyField | None = Field(None, description="An order of the log.", examples=["carburettor-overhaul"])
    lead: SpanField | None = Field(None, description="A wait once it is asked for.", examples=["8 weeks"])
    until: DateField | None = Field(None, description="A day.", examples=["2026-12-05"])

    @model_validator(mode="after")
    def _for_something(self) -> Self:
        if not (self.order or self.lead or self.until):
            raise Misread(
                "waits-for-nothing",
                "waits_for: names nothing to wait for",
                "write  {order: its key},  {lead: 8 weeks}  or  {until: 2026-12-05}",
            )
        return self


class Job(Record):
    """A job still to do, or done."""

    key: KeyField = Field(description="Its short name, used in job: of entries.", examples=["battery"])
    name: TextField = Field(description="Its name.", examples=["Battery back on the shelf"])
    system: KeyField | None = Field(None, description="Its system.", examples=["electrical"])
    hours: Annotated[Estimate, BeforeValidator(_one_figure)] | None = Field(
        None, description="The estimate.", examples=["{low: 4 h, likely: 6 h, high: 12 h}"]
    )
    needs: Keys = Field((), description="Jobs that come first.", examples=["[tank]"])
    waits_for: Wait | None = Field(None, description="An order, a lead time or a day.", examples=["{lead: 8 weeks}"])
    who: Worker = Field("owner", description="Who can do it.", examples=["mechanic"])
    cost: MoneyField | None = Field(None, description="What it will still cost.", examples=["180 USD"])
    gate: FlagField = Field(False, description="Whether flight waits for it.", examples=["yes"])
    done: DateField | None = Field(None, description="The day it was finished.", examples=["2026-07-08"])


class Window(Record):
    """Time there is to work in."""

    who: Worker = Field("owner", description="Whose time.", examples=["owner"])
    from_: DateField | None = Field(None, alias="from", description="First day.", examples=["2026-11-28"])
    to: DateField | None = Field(None, description="Last day.", examples=["2027-04-30"])
    days: Annotated[tuple[Weekday, ...], BeforeValidator(lambda v: [v] if isinstance(v, str) else v)] = Field(
        (), description="Days of the week.", examples=["[sat]"]
    )
    on: DateField | None = Field(None, description="One day, in place of from and to.", examples=["2026-12-05"])
    hours: LabourField | None = Field(None, description="Hours in each day.", examples=["6"])
    note: TextField | None = Field(None, description="A remark.", examples=["school holidays"])

    @model_validator(mode="after")
    def _has_days(self) -> Self:
        if not self.on and not (self.from_ and self.to):
            raise Misread("window-days", "this window has no day", "write  from:  and  to: , or  on:  for a single day")
        if self.from_ and self.to and self.from_ > self.to:
            raise Misread(
                "dates-reversed",
                f"from: {self.from_} is after to: {self.to}",
                f"write  from: {self.to}, to: {self.from_}",
                field="from",
            )
        return self


class Plan(Record):
    """plan.yaml."""

    jobs: tuple[Job, ...] = Field((), description="The jobs.")
    windows: tuple[Window, ...] = Field((), description="The time there is to do them in.")
    target: DateField | None = Field(None, description="The day hoped for.", examples=["2027-05-01"])


class Directive(Record):
    """An airworthiness directive or service bulletin, and where it stands."""

    key: KeyField = Field(description="Its short name.", examples=["SB-3"])
    number: TextField = Field(description="Its number and revision.", examples=["B4-SB-3 rev. 1"])
    title: TextField = Field(description="What it asks.", examples=["Oil pump key"])
    kind: DirectiveKind = Field("directive", description="directive or bulletin.", examples=["bulletin"])
    about: KeyField = Field(description="The component.", examples=["engine"])
    applies: Applies = Field(description="yes, no or unknown.", examples=["unknown"])
    because: TextField | None = Field(
        None, description="Why it does or does not.", examples=["serial outside the range"]
    )
    method: TextField | None = Field(None, description="How it was complied with.", examples=["inspected, no crack"])
    recurring: Recurrence | None = Field(None, description="How often it comes back.", examples=["100 h"])
    revision: DateField | None = Field(None, description="The date of its revision.", examples=["2019-03-04"])
    due: DateField | None = Field(None, description="The day by which it is to be done.", examples=["2027-06-30"])
    status: TextField | None = Field(None, description="Where it stands, in words.", examples=["not determined"])
    audience: Audience = Field("public", description="Who may see it.", examples=["handover"])


class Directives(Record):
    """directives.yaml."""

    directives: tuple[Directive, ...] = Field((), description="Each directive and bulletin considered.")


class Check(Record):
    """Something that falls due by date, by calendar month or by hours."""

    key: KeyField = Field(description="Its short name, used in inspected: of entries.", examples=["transponder"])
    name: TextField = Field(description="Its name.", examples=["Transponder test"])
    every: Annotated[tuple[Recurrence, ...], BeforeValidator(listed)] = Field(
        (), description="How often; of several, whichever comes first.", examples=["24 calendar months"]
    )
    last: TextField | None = Field(
        None, description="The last time: a date, the entry that did it, or never.", examples=["2004-06-12"]
    )
    carries_over: HoursField | None = Field(
        None,
        description="Hours by which it may be overrun, which then count into the next (14 CFR 91.409(b): 10 h).",
        examples=["10 h"],
    )
    due: DateField | None = Field(
        None, description="The day it is due, where something prints it.", examples=["2031-06-30"]
    )
    basis: Knowledge | None = Field(None, description="How the last time is known.", examples=["unknown"])
    source: TextField | None = Field(None, description="The rule that asks for it.", examples=["14 CFR 91.413"])
    appointment: DateField | None = Field(None, description="When it is booked.", examples=["2026-12-05"])
    component: KeyField | None = Field(None, description="The component it belongs to.", examples=["transponder"])
    note: TextField | None = Field(None, description="A remark.", examples=["same day as the altimeter"])

    @property
    def last_entry(self) -> str:
        """The address of the entry that ``last:`` names, if it names one."""
        return (self.last or "").rpartition("/")[2].removesuffix(".md")


class Checks(Record):
    """checks.yaml."""

    checks: tuple[Check, ...] = Field((), description="What falls due.")
