"""ledgers/*.csv: costs and hours from before the log was kept."""

from __future__ import annotations

from pydantic import Field

from buildlog.records.types import CostKind, DateField, KeyField, LabourField, MoneyField, Record, TextField


class LedgerRow(Record):
    """A line of a ledger: a cost, hours, or both."""

    date: DateField = Field(description="The day.", examples=["2026-02-14"])
    item: TextField | None = Field(None, description="What it was for.", examples=["Trailer hire"])
    cost: MoneyField | None = Field(None, description="The amount.", examples=["120.00 USD"])
    kind: CostKind = Field("part", description="What sort of cost.", examples=["service"])
    system: KeyField | None = Field(None, description="Its system.", examples=["fuselage"])
    supplier: TextField | None = Field(None, description="Who was paid.", examples=["Lowfield Trailers"])
    receipt: TextField | None = Field(None, description="The receipt's file.", examples=["documents/trailer.pdf"])
    person: KeyField = Field("owner", description="Whose hours.", examples=["owner"])
    hours: LabourField | None = Field(None, description="Time worked.", examples=["4:30"])
    what: TextField | None = Field(None, description="What was done.", examples=["first visit"])
