"""requirements/NAME.yaml: what a rule asks of an aircraft's records, row by row, with the words for what is not shown."""

from __future__ import annotations

import re
from typing import Annotated, ClassVar, Self, TypeVar

from pydantic import AfterValidator, BeforeValidator, Field, model_validator

from buildlog.basics.problems import Misread
from buildlog.records.types import KeyField, Record, TextField, Texts, checked, listed, one_of

T = TypeVar("T")
Subject = Annotated[
    str, one_of("aircraft", "airframe", "engine", "propeller", "life-limited", "overhaul-limited", "appliance")
]
SettledBy = Annotated[
    str,
    one_of(
        "time-in-service",
        "life-status",
        "time-since-overhaul",
        "inspection",
        "directives",
        "alterations",
        "work-records",
        "inspection-records",
        "weighing",
        "identity",
        "facts",
    ),
]
Seen = Annotated[str, one_of("quoted", "memory")]


def _some(value: tuple[T, ...]) -> tuple[T, ...]:
    """A list with something in it; asked after its items, so that a faulty item is not also a list too short."""
    if not value:
        raise Misread("empty-list", "the list is empty", "write at least one, or take the field out")
    return value


def _category(text: str) -> None:
    if not all(_categories(text)[1]):
        raise Misread("no-category", "a category is missing here", "write it as in  amateur-built or experimental")


def _categories(text: str) -> tuple[bool, list[str]]:
    """Whether the row is for these categories (or for all but these), and which."""
    plain = _plain(text)
    words = re.sub(r"^not\b", "", plain)
    return words == plain, [word.strip() for word in re.split(r"\bor\b", words)]


def _plain(text: str) -> str:
    return " ".join(text.casefold().replace("-", " ").split())


class Requirement(Record):
    """One thing that a rule asks to be on record."""

    sample: ClassVar[str] = (
        "{key: total-time, cite: the rule, asks: Total time in service, of: [engine], by: time-in-service, "
        "unknown: Total time unknown}"
    )

    key: KeyField = Field(description="Its short name.", examples=["total-time"])
    cite: TextField = Field(
        description="The rule that asks, as one would look it up.", examples=["14 CFR 91.417(a)(2)(i)"]
    )
    asks: TextField = Field(
        description="What is asked to be on record, in one plain sentence.",
        examples=["Total time in service of the airframe and each engine and propeller."],
    )
    of: Annotated[tuple[Subject, ...], BeforeValidator(listed), AfterValidator(_some)] = Field(
        ("aircraft",),
        description="For each of what: aircraft, airframe, engine, propeller, life-limited, overhaul-limited, appliance.",
        examples=["[airframe, engine, propeller]"],
    )
    by: SettledBy = Field(description="What of the record settles it.", examples=["time-in-service"])
    check: KeyField | None = Field(
        None,
        description="The check of checks.yaml that settles it. Left out: one of the row's key, or whose source names the rule.",
        examples=["condition"],
    )
    facts: Texts = Field(
        (), description="Quantities of history.yaml that settle it.", examples=["[airworthiness_certificate]"]
    )
    unknown: TextField = Field(
        description="The words to print where nothing is shown.", examples=["Total time before this log unknown"]
    )
    reconstructed: TextField | None = Field(
        None,
        description="How it can be made up for from other evidence, in words.",
        examples=["A lower bound, from a meter or old papers and the flying in this log"],
    )
    note: TextField | None = Field(
        None,
        description="Whom it applies to or not, and what to mind.",
        examples=["Asked of amateur-built aircraft too"],
    )
    only_if: Annotated[str, checked(_category, "category", "amateur-built", "not amateur-built")] | None = Field(
        None,
        description="Categories of aircraft that it is asked of; with not before them, all but these.",
        examples=["amateur-built or experimental"],
    )
    source_seen: Seen = Field(
        "memory",
        description="Whether the rule's words were read while the row was written (quoted), or it is from memory.",
        examples=["quoted"],
    )

    @model_validator(mode="after")
    def _facts_are_named(self) -> Self:
        if self.by == "facts" and not self.facts:
            raise Misread(
                "no-quantity",
                "by: facts, and no quantity of history.yaml is named",
                "add  facts: [airworthiness_certificate]",
            )
        return self

    def asked_of(self, category: str | None) -> bool:
        """Whether the row is asked of an aircraft of this category; where the category is not known, it is."""
        if self.only_if is None or not category:
            return True
        meant, words = _categories(self.only_if)
        return any(word in _plain(category) for word in words) == meant


class RequirementTable(Record):
    """What one authority's rules ask of an aircraft's records."""

    key: KeyField = Field(description="Its short name, for  requirements:  of project.yaml.", examples=["us"])
    name: TextField = Field(
        description="What the list is called.", examples=['"United States: records of an aircraft under 14 CFR"']
    )
    authority: TextField = Field(description="Whose rules they are.", examples=["Federal Aviation Administration"])
    of_date: TextField = Field(description="The state of the rules it was made from.", examples=["read in 2026"])
    about: TextField = Field(
        description="What a reader should know before relying on it.",
        examples=["Not legal advice; the official text is title 14 of the Code of Federal Regulations."],
    )
    rows: Annotated[tuple[Requirement, ...], AfterValidator(_some)] = Field(description="What is asked, in order.")
