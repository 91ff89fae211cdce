"""A weighing of the aircraft, and readings of its meters."""

from __future__ import annotations

from pydantic import Field

from buildlog.records.types import Basis, DateField, HoursField, LengthField, PlainWeight, Record, TextField


class MeterChange(Record):
    """A meter replaced: what the old one read, where the new one starts."""

    read: HoursField = Field(description="The old meter's last reading.", examples=["412.6 h"])
    starts: HoursField = Field(description="The new meter's first reading.", examples=["0 h"])


class WeighingPoint(Record):
    """One place where the aircraft stood on a scale."""

    at: TextField = Field(description="Which point.", examples=["left main"])
    reading: PlainWeight = Field(description="What the scale read.", examples=["365.0 lb"])
    tare: PlainWeight | None = Field(None, description="Chocks, stands: taken off the reading.", examples=["9.0 lb"])
    arm: LengthField = Field(description="Distance from the datum.", examples=["22.5 in"])
    plus_minus: PlainWeight | None = Field(None, description="The scale's tolerance.", examples=["0.5 lb"])


class LooseItem(Record):
    """Something on board at a weighing, or missing from it."""

    item: TextField = Field(description="What.", examples=["Usable fuel"])
    weight: PlainWeight = Field(description="How much.", examples=["12.0 lb"])
    arm: LengthField = Field(description="Distance from the datum.", examples=["15.0 in"])
    plus_minus: PlainWeight | None = Field(None, description="Its tolerance.", examples=["0.2 lb"])
    basis: Basis = Field("weighed", description="How the weight is known.", examples=["estimated"])


class Scale(Record):
    """The scales of a weighing."""

    make_and_serial: TextField | None = Field(None, description="Which scales.", examples=["three platforms, hired"])
    calibrated: DateField | None = Field(None, description="When they were last checked.", examples=["2026-01-20"])


class Weighing(Record):
    """A weighing of the aircraft."""

    attitude: TextField | None = Field(None, description="How it was levelled.", examples=["top longeron level"])
    points: tuple[WeighingPoint, ...] = Field(description="A line for each scale.", min_length=1)
    on_board: tuple[LooseItem, ...] = Field((), description="Taken off to get the empty weight.")
    missing: tuple[LooseItem, ...] = Field((), description="Added to get the empty weight.")
    scale: Scale | None = Field(None, description="The scales.")
    oil: TextField | None = Field(None, description="How much oil was in.", examples=["full"])
