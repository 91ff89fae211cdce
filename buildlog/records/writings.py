"""Decisions and free pages: a little front matter and prose."""

from __future__ import annotations

from typing import Self

from pydantic import Field, model_validator

from buildlog.basics.frozen import frozen
from buildlog.basics.names import suggestion
from buildlog.basics.problems import Misread, Place, shown
from buildlog.records.changes import WeightChange
from buildlog.records.prose import Prose
from buildlog.records.purchases import CostLine
from buildlog.records.types import (
    Audience,
    DateField,
    FlagField,
    KeyField,
    Keys,
    LabourField,
    NumberField,
    Record,
    TextField,
    Texts,
)


class Option(Record):
    """One of the ways on."""

    key: KeyField = Field(description="Its short name.", examples=["shelf"])
    name: TextField = Field(description="Its name.", examples=["Back on the shelf"])
    weight: tuple[WeightChange, ...] = Field((), description="What it would take off and put on.")
    costs: tuple[CostLine, ...] = Field((), description="What it would cost.")
    hours: LabourField | None = Field(None, description="The work it would be.", examples=["6:00"])
    jobs: Keys = Field((), description="The jobs of plan.yaml it means.", examples=["[battery]"])
    for_: Texts = Field((), alias="for", description="What speaks for it.", examples=["easy to reach"])
    against: Texts = Field((), description="What speaks against it.", examples=["nose-heavy with a light pilot"])


class DecisionFacts(Record):
    """The front matter of a decision."""

    question: TextField = Field(description="What is to be decided.", examples=["Where does the battery go?"])
    system: KeyField | None = Field(None, description="Its system.", examples=["electrical"])
    options: tuple[Option, ...] = Field(description="The ways on.", min_length=1)
    chosen: KeyField | None = Field(None, description="The option taken.", examples=["shelf"])
    decided: DateField | None = Field(None, description="The day.", examples=["2026-07-03"])
    audience: Audience = Field("public", description="Who may see it.", examples=["handover"])

    @model_validator(mode="after")
    def _chosen_is_there(self) -> Self:
        keys = [option.key for option in self.options]
        if self.chosen and self.chosen not in keys:
            raise Misread(
                "no-such-option",
                f"chosen: {shown(self.chosen)} is none of the options",
                suggestion(self.chosen, keys),
                field="chosen",
            )
        if self.decided and not self.chosen:
            raise Misread(
                "decided-nothing",
                "decided: has a day but chosen: names no option",
                "add  chosen: " + keys[0],
                field="decided",
            )
        return self


@frozen
class Decision:
    """A decision, with its reasoning as prose."""

    facts: DecisionFacts
    prose: Prose
    file: str
    slug: str

    @property
    def place(self) -> Place:
        """Where its facts begin."""
        return self.facts.place


class PageFacts(Record):
    """The front matter of a free page."""

    title: TextField = Field(description="Its title.", examples=["About this project"])
    menu: FlagField = Field(True, description="Whether the foot of every page links to it.", examples=["yes"])
    order: NumberField | None = Field(None, description="Its place among the others.", examples=["1"])
    picture: TextField | None = Field(
        None, description="On pages/front.md: the front page's photo.", examples=["photos/24_engine.jpg"]
    )
    audience: Audience = Field("public", description="Who may see it.", examples=["handover"])


@frozen
class Page:
    """A free page."""

    facts: PageFacts
    prose: Prose
    file: str
    slug: str

    @property
    def place(self) -> Place:
        """Where its facts begin."""
        return self.facts.place
