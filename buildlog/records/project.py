"""project.yaml: the aircraft, the people, the systems, the units, and what each audience may see."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Annotated, ClassVar, Self

from pydantic import BeforeValidator, Field, model_validator

from buildlog.basics.money import read_currency
from buildlog.basics.numbers import number
from buildlog.basics.problems import Misread, shown
from buildlog.basics.quantities import Volume, Weight
from buildlog.records.jasc import name_of
from buildlog.records.types import (
    DateField,
    FlagField,
    KeyField,
    Keys,
    LengthField,
    MoneyField,
    Reads,
    Record,
    TextField,
    Texts,
    checked,
    listed,
    one_of,
    plain_map,
)

Role = Annotated[str, one_of("owner", "mechanic", "helper")]
CostsShown = Annotated[str, one_of("none", "totals", "full")]
WeightUnit = Annotated[str, one_of("lb", "kg")]
PaperName = Annotated[str, one_of("a4", "letter")]
PACKAGE_PARTS = (
    "records",
    "requirements",
    "components",
    "equipment",
    "weight",
    "findings",
    "directives",
    "due",
    "work",
    "signed",
    "decisions",
    "documents",
    "sources",
    "index",
)
"""Parts of the handover document that a builder may leave out; what it is and is not always stays."""
PackagePart = Annotated[str, one_of(*PACKAGE_PARTS)]
ArmUnit = Annotated[str, one_of("in", "mm", "cm", "m")]
PictureFormat = Annotated[str, one_of("jpeg", "webp", "avif")]


Currency = Annotated[str, Reads(read_currency, {"type": "string", "examples": ["USD"]})]


def _tolerance(text: str) -> None:
    """A weight, or a share of the weight in per cent."""
    try:
        share = text.strip().removesuffix("%")
        good = number(share, "2 %") >= 0 if share != text.strip() else Weight.read(text).base >= 0
    except Misread as trouble:
        raise Misread(
            "not-a-tolerance",
            f"{shown(text)} is neither a weight nor a share of one",
            "write it as in  0.1 lb  or  2 %",
        ) from trouble
    if not good:
        raise Misread("minus-sign", f"{shown(text)}: a tolerance cannot be less than nothing", "write it as in  2 %")


Tolerance = Annotated[str, checked(_tolerance, "tolerance", "0.1 lb", "2 %")]


def _address(text: str) -> None:
    if not re.fullmatch(r"https?://[^\s/]+(/\S*)?", text.strip()):
        raise Misread(
            "not-an-address",
            f"{shown(text)} is not the address of a site",
            "write it from the beginning, as in  https://dunlin.example/",
        )


def _locale(text: str) -> None:
    from babel import Locale, UnknownLocaleError

    try:
        Locale.parse(text.strip(), sep="-")
    except (ValueError, UnknownLocaleError) as trouble:
        raise Misread(
            "not-a-locale",
            f"{shown(text)} is no language and country that dates and numbers are known for",
            "write language and country, as in  en-US ,  en-GB  or  de-DE",
        ) from trouble


def _rate(value: object) -> Decimal:
    rate = number(value, "0.73") if isinstance(value, str) else None
    if rate is None or rate <= 0:
        raise Misread(
            "not-a-rate", f"{shown(value)} is not a rate of exchange", "write how many of the second, as in  0.73"
        )
    return rate


class Aircraft(Record):
    """The aircraft, as its plate and papers call it."""

    type: TextField = Field(description="Maker's and type name.", examples=["Halloran Dunlin"])
    mark: TextField | None = Field(None, description="Registration mark.", examples=["N0417D"])
    serial: TextField | None = Field(
        None, description="Serial number, in quotes if it starts with 0.", examples=['"017"']
    )
    category: TextField | None = Field(None, description="Its category.", examples=["amateur-built"])
    year: TextField | None = Field(None, description="The year it was built.", examples=["1993"])


class Units(Record):
    """The units that totals are shown in."""

    weight: WeightUnit = Field("lb", description="For weights.", examples=["lb"])
    arm: ArmUnit = Field("in", description="For arms and lengths.", examples=["in"])
    volume: Annotated[str, Reads(Volume.read_unit, {"type": "string"})] = Field(
        "US gal", description="For fuel and oil.", examples=["US gal"]
    )
    currency: Currency = Field("USD", description="ISO 4217 code; bare amounts of money are in it.", examples=["USD"])


class Certificate(Record):
    """A licence that somebody holds."""

    kind: TextField = Field(description="What sort.", examples=["mechanic with inspection authority"])
    number: TextField | None = Field(None, description="Its number, in quotes.", examples=['"0417001"'])


class Person(Record):
    """Somebody who works on the aircraft."""

    name: TextField = Field(description="The name; audiences see it only where they may.", examples=["H. Arden"])
    role: Role = Field("helper", description="owner, mechanic or helper.", examples=["owner"])
    certificate: Certificate | None = Field(None, description="The licence held.")
    rate: MoneyField | None = Field(None, description="Money for an hour, for forecasts.", examples=["60 USD"])


class SystemName(Record):
    """A system of the aircraft: its name and the number it is filed under."""

    sample: ClassVar[str] = "{name: Electrical}"

    name: TextField | None = Field(
        None,
        description="What the builder calls it. Left out: the name that the table of system codes has for its number.",
        examples=["Electrical"],
    )
    code: TextField = Field(
        "",
        description="The number, two digits or four as a rule; the table:  buildlog schema --codes.",
        examples=['"24"'],
    )
    signature: FlagField = Field(
        False,
        description="Whether work on it wants a signature; a built-in system keeps its name and number.",
        examples=["yes"],
    )

    @model_validator(mode="after")
    def _has_a_name(self) -> Self:
        only_flagged = "signature" in self.model_fields_set and not self.code
        if not self.called and not only_flagged:
            number = f", and the table of system codes has no {shown(self.code)}" if self.code else ""
            raise Misread("no-system-name", f"this system has no name{number}", "add  name: Electrical")
        return self

    @property
    def called(self) -> str:
        """Its name, or the one of its number."""
        return self.name or name_of(self.code.strip())


class Tolerances(Record):
    """What a weight or arm is taken to be good for when its line does not say."""

    weighed: Tolerance = Field("0.1 lb", description="A weight we weighed.", examples=["0.1 lb"])
    published: Tolerance = Field("2 %", description="A maker's figure.", examples=["2 %"])
    estimated: Tolerance = Field("20 %", description="A guess.", examples=["20 %"])
    arm: LengthField | None = Field(None, description="An arm.", examples=["0.25 in"])


class Exchange(Record):
    """A rate of exchange, used from its day on."""

    from_: Currency = Field(alias="from", description="From this currency.", examples=["CAD"])
    to: Currency = Field(description="To this one.", examples=["USD"])
    rate: Annotated[Decimal, Reads(_rate, {"type": ["number", "string"]})] = Field(
        description="One of the first is so many of the second.", examples=['"0.73"']
    )
    on: DateField = Field(description="From this day on.", examples=["2026-03-01"])


class AudienceRules(Record):
    """What an audience may see. Left out: as the audience's default."""

    costs: CostsShown | None = Field(None, description="none, totals, or full (every line).", examples=["totals"])
    hours: FlagField | None = Field(None, description="Hours worked.", examples=["yes"])
    suppliers: FlagField | None = Field(None, description="Who sold or did what.", examples=["no"])
    serials: FlagField | None = Field(None, description="Serial numbers.", examples=["no"])
    names: FlagField | None = Field(None, description="People's names and certificate numbers.", examples=["no"])
    receipts: FlagField | None = Field(None, description="Receipts.", examples=["no"])
    documents: FlagField | None = Field(None, description="The other papers.", examples=["no"])
    exact_dates: FlagField | None = Field(None, description="Days; without them, months only.", examples=["yes"])
    may_say: Texts = Field(
        (), description="Words that may stand in prose although they are a name or supplier.", examples=["[Rose]"]
    )


class Audiences(Record):
    """The rules for each audience."""

    public: AudienceRules = Field(AudienceRules(), description="Everybody: the published site.")
    inspector: AudienceRules = Field(AudienceRules(), description="Whoever inspects the aircraft.")
    buyer: AudienceRules = Field(AudienceRules(), description="Whoever buys it.")


class PackageRules(Record):
    """How the package for a buyer or an inspector is made."""

    paper: PaperName | None = Field(
        None,
        description="The paper: a4 or letter; left out, what the country of the locale prints on.",
        examples=["a4"],
    )
    cover: TextField | None = Field(
        None, description="The photo on the cover; left out, the front page's.", examples=["photos/left-side.jpg"]
    )
    leave_out: Annotated[tuple[PackagePart, ...], BeforeValidator(listed)] = Field(
        (), description=f"Parts of the document to leave out: {', '.join(PACKAGE_PARTS)}.", examples=["[decisions]"]
    )


class PictureRules(Record):
    """How photos are published."""

    format: PictureFormat = Field(
        "jpeg", description="What readers get: jpeg opens everywhere, webp and avif are smaller.", examples=["webp"]
    )


class Project(Record):
    """The one file every project has."""

    title: TextField = Field(description="The name of the project.", examples=["Bringing back a Dunlin"])
    headline: TextField | None = Field(
        None,
        description="One sentence at the head of the front page, if pages/front.md gives none.",
        examples=["A wooden two-seater, nineteen years idle."],
    )
    aircraft: Aircraft = Field(description="The aircraft.")
    units: Units = Field(Units(), description="The units totals are shown in.")
    people: Annotated[dict[KeyField, Person], BeforeValidator(plain_map)] = Field(
        {}, description="Who works on it, by a short key used in hours: and signed:."
    )
    systems: Annotated[dict[KeyField, SystemName], BeforeValidator(plain_map)] = Field(
        {}, description="Adds to the built-in systems or renames them."
    )
    requirements: Keys = Field(
        ("us",),
        description="Lists of what rules ask of the records: built in (us), or of requirements/; none for no list.",
        examples=["us"],
    )
    meter: KeyField | None = Field(
        None, description="The meter that counts time in service, if several are read.", examples=["tach"]
    )
    tolerances: Tolerances = Field(Tolerances(), description="How good weights and arms are by how they are known.")
    exchange: tuple[Exchange, ...] = Field((), description="Rates of exchange with their first day.")
    receipts_from: MoneyField | None = Field(
        None, description="Costs of at least this much want a receipt.", examples=["50 USD"]
    )
    audiences: Audiences = Field(Audiences(), description="What each audience may see.")
    locale: Annotated[str, checked(_locale, "locale", "en-US")] = Field(
        "en-US", description="How numbers and dates are written.", examples=["en-US"]
    )
    package: PackageRules = Field(PackageRules(), description="How the handover package is made.")
    pictures: PictureRules = Field(PictureRules(), description="How photos are published.")
    site: TextField | None = Field(
        None, description="Where publish puts the site, from this folder.", examples=["../site"]
    )
    address: Annotated[str, checked(_address, "address")] | None = Field(
        None,
        description="Where the site will stand on the web; feed and sitemap need it.",
        examples=["https://dunlin.example/"],
    )
    theme: TextField = Field(
        "hangar", description="The theme: built in, or a folder under themes/.", examples=["hangar"]
    )
