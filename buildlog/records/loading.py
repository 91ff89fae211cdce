"""loading.yaml: where load goes, and the limits it must stay within."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import AfterValidator, BeforeValidator, Field, ValidationInfo, model_validator

from buildlog.basics.problems import Misread, shown
from buildlog.basics.quantities import Volume, Weight
from buildlog.records.types import (
    Basis,
    DensityField,
    HazyField,
    KeyField,
    LengthField,
    PlainWeight,
    Record,
    TextField,
    VolumeField,
    checked,
    plain_map,
)


def _load(text: str) -> None:
    """A station's load: a weight, or for a tank a volume."""
    for kind in (Weight, Volume):
        try:
            if kind.read(text).base >= 0:
                return
        except Misread as trouble:
            if trouble.name in {"doubtful-unit", "decimal-comma", "no-unit"}:
                raise
    raise Misread(
        "not-a-load", f"{shown(text)} is neither a weight nor a volume", "write it as in  170 lb  or  16 US gal"
    )


class MeanChord(Record):
    """The mean aerodynamic chord."""

    leading_edge: LengthField = Field(description="Its leading edge, from the datum.", examples=["21.0 in"])
    length: LengthField = Field(description="Its length.", examples=["54.0 in"])

    @model_validator(mode="after")
    def _has_length(self) -> Self:
        if self.length.base <= 0:
            raise Misread(
                "no-length", "a chord is longer than nothing", "write its length, as in  54.0 in", field="length"
            )
        return self


class Limit(Record):
    """The limits of the centre of gravity at one weight."""

    weight: PlainWeight = Field(description="At this weight.", examples=["1150 lb"])
    forward: LengthField = Field(description="Not ahead of this.", examples=["30.0 in"])
    aft: LengthField = Field(description="Not behind this.", examples=["40.0 in"])

    @model_validator(mode="after")
    def _forward_first(self) -> Self:
        if self.forward.base > self.aft.base:
            raise Misread(
                "limits-reversed",
                f"the forward limit {self.forward} is behind the aft limit {self.aft}",
                f"write  forward: {self.aft}, aft: {self.forward}",
                field="forward",
            )
        return self


class Station(Record):
    """A place for load: a seat, a shelf, a tank."""

    key: KeyField = Field(description="Its short name.", examples=["pilot"])
    name: TextField = Field(description="Its name.", examples=["Pilot"])
    arm: LengthField = Field(description="From the datum.", examples=["40.5 in"])
    min: PlainWeight | None = Field(None, description="Least load.", examples=["120 lb"])
    max: PlainWeight | None = Field(None, description="Greatest load.", examples=["220 lb"])
    usually: PlainWeight | None = Field(None, description="Usual load.", examples=["170 lb"])
    capacity: VolumeField | None = Field(None, description="For a tank: what it holds.", examples=["16 US gal"])
    density: DensityField | None = Field(None, description="For a tank: of what is in it.", examples=["6.0 lb/US gal"])

    @model_validator(mode="after")
    def _least_first(self) -> Self:
        if self.min and self.max and self.min.base > self.max.base:
            raise Misread(
                "limits-reversed",
                f"the least load {self.min} is more than the greatest {self.max}",
                f"write  min: {self.max}, max: {self.min}",
                field="min",
            )
        return self

    @model_validator(mode="after")
    def _can_be_weighed(self) -> Self:
        if self.density is not None and not self.density.base:
            raise Misread("no-density", "a density of 0 makes a full tank weigh nothing", _DENSITY, field="density")
        if self.capacity is None:
            return self
        if self.density is None:
            raise Misread(
                "no-density", f"what {self.capacity} weigh is not known without a density", _DENSITY, field="capacity"
            )
        if self.min is not None and self.min.base > self.density.weigh(self.capacity).base:
            raise Misread(
                "limits-reversed",
                f"the least load {self.min} is more than {self.capacity} weigh",
                "write a  min:  that the tank can hold, or none",
                field="min",
            )
        return self


_DENSITY = "add the density of what is in it, as in  density: 6.0 lb/US gal"


class LoadingCase(Record):
    """A loading worth a name; stations left out carry nothing."""

    key: KeyField = Field(description="Its short name.", examples=["solo"])
    name: TextField = Field(description="Its name.", examples=["Solo with full fuel"])
    loads: Annotated[dict[KeyField, Annotated[str, checked(_load, "load", "170 lb")]], BeforeValidator(plain_map)] = (
        Field(description="Weight, or volume for a tank, by station.", examples=["{pilot: 170 lb, fuel: 16 US gal}"])
    )


def _loads_that_can_be(case: LoadingCase, info: ValidationInfo) -> LoadingCase:
    """A volume wants a density, and no tank takes more than it holds."""
    stations = {station.key: station for station in info.data.get("stations", ())}
    for key, text in case.loads.items():
        if key in stations:
            _load_that_can_be(text, stations[key])
    return case


def _load_that_can_be(text: str, station: Station) -> None:
    held, density = station.capacity, station.density
    try:
        kg = Weight.read(text).base
    except Misread:
        if density is None:
            raise Misread(
                "no-density",
                f"{shown(text)} is a volume, and the station {shown(station.key)} has no density to weigh it by",
                "write a weight, or give that station its density, as in  density: 6.0 lb/US gal",
                field="loads",
            ) from None
        kg = density.weigh(Volume.read(text)).base
    if held is not None and density is not None and kg > density.weigh(held).base:
        raise Misread(
            "more-than-it-holds",
            f"{shown(text)} is more than the station {shown(station.key)} holds",
            f"write at most  {held} , or correct the  capacity:  of that station",
            field="loads",
        )


class Start(Record):
    """An empty weight that a paper or a person states, used until the first weighing of the log."""

    weight: PlainWeight = Field(description="The empty weight stated.", examples=["748 lb"])
    arm: LengthField | None = Field(
        None, description="Its centre of gravity; without it only the weight goes on from here.", examples=["31.2 in"]
    )
    says: TextField = Field(description="Who or what states it.", examples=["Weight sheet of 1993, page 1"])
    on: HazyField | None = Field(None, description="When it was so.", examples=["1993-06-12"])
    basis: Basis = Field("estimated", description="How good it is taken to be.", examples=["published"])
    plus_minus: PlainWeight | None = Field(None, description="Its tolerance, if better known.", examples=["5 lb"])


class Ballast(Record):
    """Where ballast could go."""

    arm: LengthField = Field(description="From the datum.", examples=["190.0 in"])
    most: PlainWeight = Field(description="The most that can be fixed there.", examples=["25 lb"])


class Loading(Record):
    """loading.yaml."""

    datum: TextField = Field(
        description="Where arms are measured from, and which way is positive.", examples=['"firewall, positive aft"']
    )
    mac: MeanChord | None = Field(
        None, description="The mean aerodynamic chord.", examples=["{leading_edge: 21.0 in, length: 54.0 in}"]
    )
    max_weight: PlainWeight | None = Field(None, description="Maximum gross weight.", examples=["1320 lb"])
    limits: tuple[Limit, ...] = Field((), description="Straight lines between these points; outside them is outside.")
    stations: tuple[Station, ...] = Field((), description="Where load goes.")
    cases: tuple[Annotated[LoadingCase, AfterValidator(_loads_that_can_be)], ...] = Field(
        (), description="Loadings worth a name."
    )
    start: Start | None = Field(
        None,
        description="An empty weight stated by a paper, until the log has a weighing.",
        examples=['{weight: 748 lb, says: "Weight sheet of 1993"}'],
    )
    ballast: Ballast | None = Field(
        None, description="Where ballast could go, if some case needs it.", examples=["{arm: 190.0 in, most: 25 lb}"]
    )

    @model_validator(mode="after")
    def _limits_over_a_range(self) -> Self:
        """Straight lines want two weights, and one limit at each."""
        if len(self.limits) == 1:
            raise Misread(
                "one-limit",
                f"limits at {self.limits[0].weight} alone hold at no other weight",
                "write them at the least and at the greatest weight, the same ones where they do not change",
                field="limits",
            )
        for number, limit in enumerate(self.limits):
            if any(other.weight.base == limit.weight.base for other in self.limits[:number]):
                raise Misread(
                    "repeated-limit",
                    f"the limits at {limit.weight} are given twice",
                    "give them once; where they jump, write the second ones a little above, as in  1150.1 lb",
                    field="limits",
                )
        return self
