"""history.yaml: what is known, and asked, about the time before the log."""

from __future__ import annotations

from typing import Self

from pydantic import Field, model_validator

from buildlog.basics.problems import Misread
from buildlog.basics.times import read_hours
from buildlog.records.types import Audience, HazyField, KeyField, Knowledge, Record, TextField, Texts

_HOURS_FACTS = {"time_since_new", "time_in_service", "time_since_overhaul"}


class Fact(Record):
    """Something known of the time before the log, and how it is known."""

    about: KeyField = Field(description="A component, or airframe, or aircraft.", examples=["engine"])
    quantity: TextField = Field(
        description="What is said: time_since_new, time_in_service, time_since_overhaul, or words.",
        examples=["time_since_new"],
    )
    value: TextField | None = Field(None, description="The value, if it is one.", examples=["361 h"])
    at_least: TextField | None = Field(None, description="A lower bound.", examples=["412.6 h"])
    at_most: TextField | None = Field(None, description="An upper bound.", examples=["500 h"])
    on: HazyField | None = Field(None, description="When it was so; may be uncertain.", examples=["2004-06"])
    basis: Knowledge = Field(
        description="How it is known: measured, document, marking, statement, inferred, unknown.", examples=["document"]
    )
    says: TextField = Field(description="Who or what says so.", examples=['"Oil-analysis slip, carbon copy"'])
    evidence: Texts = Field((), description="Photos or papers that show it.", examples=["[documents/oil-slip.jpg]"])
    audience: Audience = Field("public", description="Who may see it.", examples=["handover"])

    @model_validator(mode="after")
    def _hours_are_hours(self) -> Self:
        for name in ("value", "at_least", "at_most") if self.quantity in _HOURS_FACTS else ():
            written = getattr(self, name)
            try:
                read_hours(written if written is not None else "0")
            except Misread as trouble:
                raise Misread(trouble.name, trouble.message, trouble.remedy, field=name) from None
        return self


class Question(Record):
    """Something not known, and what would settle it."""

    key: KeyField = Field(description="Its short name.", examples=["Q-3"])
    about: KeyField = Field(description="A component, or airframe, or aircraft.", examples=["propeller"])
    ask: TextField = Field(description="The question.", examples=["Was it overhauled before it was fitted?"])
    would_settle: TextField | None = Field(
        None, description="What would answer it.", examples=["The shop's work order"]
    )
    audience: Audience = Field("public", description="Who may see it.", examples=["handover"])


class History(Record):
    """history.yaml."""

    facts: tuple[Fact, ...] = Field((), description="What is known, and how.")
    questions: tuple[Question, ...] = Field((), description="What is not.")
