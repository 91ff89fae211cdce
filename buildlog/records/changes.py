"""What a day changed on the aircraft: weights, components, findings, measurements, signatures."""

from __future__ import annotations

from typing import ClassVar, Self

from pydantic import Field, model_validator

from buildlog.basics.problems import Misread
from buildlog.records.project import Certificate
from buildlog.records.types import (
    Audience,
    Basis,
    DateField,
    DocumentKind,
    HoursField,
    KeyField,
    LengthField,
    PlainWeight,
    Record,
    SignedAs,
    Standing,
    State,
    TextField,
    WeightField,
    first_verb,
)

COMPONENT_VERBS = ("removed", "installed", "tagged", "sent", "received", "repaired", "overhauled")


class WeightChange(Record):
    """Something taken off the aircraft or put on it, with its weight and how that is known."""

    sample: ClassVar[str] = "{removed: Lead-acid battery, weight: 24.3 lb, basis: weighed, arm: 73.0 in}"

    removed: TextField | None = Field(None, description="What came out.", examples=["Lead-acid battery"])
    installed: TextField | None = Field(None, description="What went in.", examples=["Box and cables"])
    weight: WeightField = Field(description="How much it weighs.", examples=["24.3 lb"])
    basis: Basis = Field("estimated", description="How the weight is known.", examples=["weighed"])
    plus_minus: PlainWeight | None = Field(
        None, description="Its tolerance, if better known than by its basis.", examples=["0.1 lb"]
    )
    arm: LengthField | None = Field(
        None,
        description="Distance from the datum; without it the line counts in the weight "
        "and not in the centre of gravity.",
        examples=["73.0 in"],
    )
    system: KeyField | None = Field(
        None, description="The system it belongs to, if not the entry's main one.", examples=["electrical"]
    )
    component: KeyField | None = Field(
        None, description="The register's component that this is.", examples=["battery-2"]
    )
    note: TextField | None = Field(None, description="A remark.", examples=["with its clamp"])

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        first_verb(self.__dict__, ("removed", "installed"), "a weight line", self.sample)
        if self.weight.base < 0:
            raise Misread(
                "negative-weight",
                "a weight is written without a sign; removed: or installed: says which way",
                "write  " + str(self.weight).lstrip("-\u2212"),
                field="weight",
            )
        return self

    @property
    def item(self) -> str:
        """What was moved."""
        return self.removed or self.installed or ""

    @property
    def sign(self) -> int:
        """-1 for what came out, +1 for what went in."""
        return -1 if self.removed else 1


class ComponentChange(Record):
    """One event in the life of a component of the register."""

    sample: ClassVar[str] = "{removed: battery-1, state: scrapped}"

    removed: KeyField | None = Field(None, description="This component came off.", examples=["battery-1"])
    installed: KeyField | None = Field(None, description="This component was fitted.", examples=["battery-2"])
    tagged: KeyField | None = Field(
        None, description="Its state was found to be another, wherever it is.", examples=["magneto-left"]
    )
    sent: KeyField | None = Field(None, description="It went to a shop.", examples=["carburettor"])
    received: KeyField | None = Field(
        None, description="It arrived, new or back from a shop.", examples=["carburettor"]
    )
    repaired: KeyField | None = Field(None, description="It was repaired.", examples=["fuel-tank"])
    overhauled: KeyField | None = Field(
        None, description="It was overhauled; say by whom and with what paper.", examples=["cylinder-3"]
    )
    state: State | None = Field(None, description="Its state afterwards.", examples=["unserviceable"])
    tag: TextField | None = Field(
        None, description="The tag's file or number.", examples=["documents/tag_unserviceable_magneto_left.jpg"]
    )
    because: TextField | None = Field(None, description="Why.", examples=["distributor block cracked"])
    inside: KeyField | None = Field(
        None, alias="in", description="The component it was fitted in, if not the register's.", examples=["engine"]
    )
    to: TextField | None = Field(None, description="The shop it went to.", examples=["Brackenfield Fuel Systems"])
    by: TextField | None = Field(None, description="Who did it.", examples=["Brackenfield Fuel Systems"])
    paper: TextField | None = Field(None, description="The paper that says so.", examples=["documents/release.pdf"])
    note: TextField | None = Field(None, description="A remark.", examples=["with new gaskets"])

    @model_validator(mode="after")
    def _one_event(self) -> Self:
        first_verb(self.__dict__, COMPONENT_VERBS, "a component line", self.sample)
        if self.tagged and not self.state:
            raise Misread(
                "tag-without-state",
                "a tag says in what state the component is",
                "add  state: unserviceable  (or serviceable, quarantined, scrapped)",
            )
        return self

    @property
    def verb(self) -> str:
        """Which of the verbs this line uses."""
        return next(verb for verb in COMPONENT_VERBS if getattr(self, verb) is not None)

    @property
    def key(self) -> str:
        """The component it is about."""
        return str(getattr(self, self.verb))


class Finding(Record):
    """A defect found, open until an entry closes it."""

    key: KeyField = Field(description="Its own short name, never used again.", examples=["F-21"])
    found: TextField = Field(description="What was found.", examples=["Shelf bracket cracked at the rear bolt"])
    standing: Standing = Field(
        description="`airworthiness`: not before flight; `deferred`: may wait, say until when; `cosmetic`.",
        examples=["airworthiness"],
    )
    until: DateField | None = Field(None, description="Deferred until this day.", examples=["2027-03-31"])
    limit: TextField | None = Field(
        None, description="What limits it while it is open.", examples=["retest before flight"]
    )
    component: KeyField | None = Field(None, description="The component it was found on.", examples=["magneto-left"])
    system: KeyField | None = Field(None, description="Its system, if not the entry's main one.", examples=["wings"])


class Closing(Record):
    """The end of a finding, and what ended it."""

    key: KeyField = Field(description="The finding that this entry ends.", examples=["F-09"])
    by: TextField | None = Field(None, description="What ended it.", examples=["bracket replaced, bolt torqued"])


class PhotoLine(Record):
    """A photo of the entry; one that the text does not place is shown after it."""

    file: TextField = Field(description="The picture's file.", examples=["photos/IMG_0412.jpg"])
    caption: TextField | None = Field(
        None,
        description="What is to be seen; quotes round it if it holds a comma.",
        examples=['"The new box, lid off"'],
    )
    alt: TextField | None = Field(
        None,
        description="What it shows, for somebody who cannot see it.",
        examples=["A battery box with its lid beside it"],
    )
    audience: Audience = Field("public", description="Who may see it.", examples=["handover"])


class Measurement(Record):
    """Something measured: deflections, compressions, resistances, pressures, torques."""

    what: TextField = Field(description="What was measured.", examples=["Compression, cylinder 3"])
    value: TextField = Field(description="The value, with its unit.", examples=["41/80"])
    limits: TextField | None = Field(None, description="What it should be.", examples=["60/80 or better"])
    before: TextField | None = Field(None, description="The value before the work.", examples=["41/80"])
    system: KeyField | None = Field(None, description="Its system, if not the entry's main one.", examples=["engine"])
    component: KeyField | None = Field(None, description="The component measured.", examples=["cylinder-3"])


class DocumentLine(Record):
    """A paper kept with the entry."""

    file: TextField = Field(description="Its file.", examples=["documents/tag_unserviceable_magneto_left.jpg"])
    title: TextField = Field(description="What it is.", examples=["Unserviceable tag, left magneto"])
    kind: DocumentKind = Field(description="What sort of paper.", examples=["tag"])
    audience: Audience = Field("handover", description="Who may see it.", examples=["handover"])


class Inspected(Record):
    """A check of checks.yaml that this entry performs."""

    key: KeyField = Field(description="The check.", examples=["transponder"])
    by: TextField | None = Field(None, description="Who did it.", examples=["mechanic"])
    note: TextField | None = Field(None, description="A remark.", examples=["with the portable set"])


class SignOff(Record):
    """A signature: who signed, as what, when, over which words."""

    by: KeyField = Field(description="The person of project.yaml who signed.", examples=["mechanic"])
    as_: SignedAs = Field(alias="as", description="What the signature says.", examples=["return-to-service"])
    date: DateField = Field(description="When it was signed.", examples=["2026-07-04"])
    words: TextField | None = Field(
        None, description="The words that were signed.", examples=["Magneto replaced, timed"]
    )
    kind: TextField | None = Field(
        None, description="The type of inspection, for an inspection.", examples=["condition inspection"]
    )
    extent: TextField | None = Field(
        None,
        description="How far the inspection went.",
        examples=["scope and detail of appendix D to part 43"],
    )
    total_time: HoursField | None = Field(
        None, description="The aircraft's total time in service, as the signer wrote it.", examples=["412.6 h"]
    )
    paper: TextField | None = Field(
        None,
        description="The page with the signature in ink; who may not see papers does not see it.",
        examples=["documents/signed_2026-07-04.jpg"],
    )
    certificate: Certificate | None = Field(
        None,
        description="The licence signed under, if not the one in project.yaml.",
        examples=['{kind: mechanic, number: "0417001"}'],
    )
