"""Money in an entry: costs, parts, orders, quotes."""

from __future__ import annotations

from decimal import Decimal
from typing import Self

from pydantic import Field, model_validator

from buildlog.basics.money import Money
from buildlog.basics.problems import Misread
from buildlog.records.types import (
    CostKind,
    DateField,
    FlagField,
    KeyField,
    MoneyField,
    NumberField,
    PartKind,
    PartWeight,
    Record,
    SpanField,
    TextField,
)


class CostLine(Record):
    """Money that is not for a part: service, shipping, tax, a fee, a tool, a refund."""

    item: TextField = Field(description="What it was for.", examples=["Return of the first box"])
    kind: CostKind = Field(
        "part", description="What sort of cost; a refund is written positive and counts back.", examples=["refund"]
    )
    cost: MoneyField = Field(
        description="The amount; bare numbers are in the project's currency.", examples=["18.50 USD"]
    )
    system: KeyField | None = Field(
        None, description="The system it belongs to, if not the entry's.", examples=["fuel"]
    )
    supplier: TextField | None = Field(None, description="Who was paid.", examples=["Tarn Valley Aero Supply"])
    receipt: TextField | None = Field(
        None, description="The receipt's file.", examples=["documents/2026-06-13-receipt.jpg"]
    )
    order: KeyField | None = Field(None, description="The order this pays for.", examples=["carburettor-overhaul"])
    note: TextField | None = Field(None, description="A remark.", examples=["paid in cash"])


class Part(Record):
    """Something bought for the aircraft or for the work."""

    item: TextField = Field(description="What it is.", examples=["Lithium battery, 20 Ah"])
    kind: PartKind = Field(
        "part", description="A part stays on the aircraft; material is used up; a tool is kept.", examples=["material"]
    )
    quantity: NumberField = Field(Decimal(1), description="How many.", examples=["4"])
    cost: MoneyField | None = Field(None, description="For the whole line.", examples=["212.00 USD"])
    each: MoneyField | None = Field(
        None, description="For one; the line costs this times the quantity.", examples=["4.20 USD"]
    )
    part_no: TextField | None = Field(None, description="Part number.", examples=["TV-LB20"])
    serial: TextField | None = Field(None, description="Serial number.", examples=["88120"])
    supplier: TextField | None = Field(None, description="Who sold it.", examples=["Tarn Valley Aero Supply"])
    receipt: TextField | None = Field(
        None, description="The receipt's file.", examples=["documents/2026-06-13-receipt.jpg"]
    )
    component: KeyField | None = Field(
        None, description="The register's component that this is.", examples=["battery-2"]
    )
    system: KeyField | None = Field(
        None, description="The system it belongs to, if not the entry's.", examples=["fuel"]
    )
    order: KeyField | None = Field(None, description="The order this pays for.", examples=["carburettor-overhaul"])
    weight: PartWeight | None = Field(
        None,
        description="`none`: leaves no weight on the aircraft; `included`: in another weight line of this entry.",
        examples=["none"],
    )
    note: TextField | None = Field(None, description="A remark.", examples=["last one in stock"])

    @model_validator(mode="after")
    def _one_price(self) -> Self:
        if self.quantity <= 0:
            raise Misread(
                "no-quantity",
                f"a quantity of {self.quantity} is not something bought",
                "write how many, as in  2",
                field="quantity",
            )
        if self.cost and self.each:
            raise Misread(
                "two-prices",
                "cost: is for the whole line and each: is for one; both are written",
                "keep one of them",
                field="each",
            )
        return self

    def price(self) -> Money | None:
        """What the line costs, None when no price is written."""
        return self.each.times(self.quantity) if self.each else self.cost


class OrderLine(Record):
    """Something ordered and not here yet."""

    key: KeyField = Field(description="Its short name.", examples=["carburettor-overhaul"])
    item: TextField = Field(description="What is ordered.", examples=["Carburettor overhaul"])
    kind: CostKind = Field("part", description="What sort of cost it is.", examples=["service"])
    supplier: TextField | None = Field(None, description="From whom.", examples=["Brackenfield Fuel Systems"])
    cost: MoneyField | None = Field(None, description="What it will cost in all.", examples=["905.75 USD"])
    deposit: MoneyField | None = Field(None, description="What was paid with the order.", examples=["200.00 USD"])
    lead: SpanField | None = Field(None, description="The wait that was promised.", examples=["11 weeks"])
    component: KeyField | None = Field(None, description="The register's component it is.", examples=["carburettor"])
    system: KeyField | None = Field(None, description="Its system, if not the entry's.", examples=["carburettor"])
    receipt: TextField | None = Field(
        None, description="The receipt of the deposit.", examples=["documents/deposit.jpg"]
    )
    quote: KeyField | None = Field(None, description="The quote it accepts.", examples=["carburettor-quote"])


class QuoteLine(Record):
    """A price asked for; never added to any total."""

    key: KeyField = Field(description="Its short name.", examples=["carburettor-quote"])
    item: TextField = Field(description="What for.", examples=["Carburettor overhaul"])
    supplier: TextField | None = Field(None, description="Whose.", examples=["Brackenfield Fuel Systems"])
    cost: MoneyField = Field(description="The price.", examples=["905.75 USD"])
    until: DateField | None = Field(None, description="The last day it holds.", examples=["2026-05-25"])
    lead: SpanField | None = Field(None, description="The wait it promises.", examples=["11 weeks"])
    document: TextField | None = Field(None, description="Its paper.", examples=["documents/quote.pdf"])
    accepted: FlagField | None = Field(
        None, description="Decided at once; later, use accepts: or declines:.", examples=["no"]
    )
