"""The full record of figures as JSON: ``buildlog/figures/1``.

Keys are stable within a schema version; decimals are strings in the project's units, labour is in whole minutes, dates
are ISO 8601; what is not known is null with its reason beside it. ``paid`` is before refunds, ``net`` after, and every
``by_…`` breaks down ``net``.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from buildlog.basics.currencies import MINOR_UNITS
from buildlog.figures.figures import Figures
from buildlog.figures.findings import open_findings
from buildlog.figures.signoffs import Signature
from buildlog.pages.due import due_record
from buildlog.pages.record_weight import option_record, weight_record
from buildlog.pages.times import times_record
from buildlog.records.logbook import Logbook

SCHEMA = "buildlog/figures/1"
NO_SYSTEM = "none"
"""The key under which ``by_system`` tells what names no system."""


def record(worked: Figures, counts: dict[str, int]) -> dict[str, Any]:
    """Every figure there is so far; ``counts`` are the problems by severity."""
    book = worked.logbook
    return {
        "schema": SCHEMA,
        "on": worked.on.isoformat() if worked.on else None,
        "entries": sum(1 for _ in book.told()),
        "cost": _cost(worked),
        "labour": _labour(worked),
        "weight_and_balance": weight_record(worked, _named),
        "components": {
            key: {
                "state": state.state,
                "since": state.since.isoformat() if state.since else None,
                "in": state.inside,
                **times_record(key, worked),
            }
            for key, state in worked.components.items()
        },
        "airframe": times_record("airframe", worked),
        "records": [
            {
                "list": one.table.key,
                "row": one.row.key,
                "of": one.subject,
                "standing": one.standing,
                "because": one.found.says,
            }
            for one in worked.shown
        ],
        "directives": [
            {"key": one.record.key, "of": one.record.about, "state": one.state, "not_written": list(one.missing)}
            for one in worked.directives
        ],
        "findings": {
            "open": [state.line.key for state in open_findings(worked.findings)],
            "closed": [state.line.key for state in worked.findings if not state.open],
        },
        "decisions": {
            decision.slug: {"chosen": decision.facts.chosen, "options": option_record(worked, decision.slug)}
            for decision in book.decisions
        },
        "orders": [
            {
                "key": order.line.key,
                "promised": order.promised.isoformat() if order.promised else None,
                "received": order.received.isoformat() if order.received else None,
            }
            for order in worked.cost.orders
        ],
        "due": due_record(worked),
        "signatures": [_signature(signature) for signature in worked.signatures],
        "unsigned": [{"entry": work.entry, "system": work.system} for work in worked.unsigned],
        "seals": _seals(book),
        "audit": counts,
    }


def _signature(signature: Signature) -> dict[str, Any]:
    """A signature and what is asked of it; what the record does not show is null, with the reason beside it."""
    held, line = signature.certificate, signature.line
    return {
        "entry": signature.entry,
        "day": line.date.isoformat(),
        "by": line.by,
        "as": line.as_,
        "certificate": {"kind": held.kind, "number": held.number or None} if held else None,
        "words": line.words,
        "paper": line.paper or None,
        "points": [
            {"asks": point.asks, "rule": point.rule, "shown": point.shown, "because": point.instead or None}
            if point.shown is None
            else {"asks": point.asks, "rule": point.rule, "shown": point.shown}
            for point in signature.points
        ],
    }


def _seals(book: Logbook) -> list[dict[str, Any]]:
    """The seal that counts of each sealed entry, with the days of those before it."""
    return [
        {
            "entry": seal.entry,
            "sealed": seal.sealed.isoformat(),
            "whole": seal.whole,
            "changed": list(seal.changed),
            "changed_unnamed": seal.unnamed,
            "before": [old.sealed.isoformat() for old in book.seals if old.superseded and old.entry == seal.entry],
        }
        for seal in book.sealed().values()
    ]


def _named(totals: dict[str, Any]) -> dict[str, Any]:
    return {name or NO_SYSTEM: amount for name, amount in totals.items()}


def _cost(worked: Figures) -> dict[str, Any]:
    cost = worked.cost
    places = MINOR_UNITS[cost.currency]

    def money(minor: int) -> str:
        return str(Decimal(minor).scaleb(-places))

    return {
        "currency": cost.currency,
        "paid": money(cost.paid()),
        "refunded": money(cost.refunded()),
        "net": money(cost.net()),
        "ordered": money(cost.ordered()),
        "by_system": _named({key: money(amount) for key, amount in cost.by_system().items()}),
        "by_kind": {key: money(amount) for key, amount in cost.by_kind().items()},
        "by_month": {key: money(amount) for key, amount in cost.by_month().items()},
        "unconverted": {code: str(amount.amount) for code, amount in cost.unconverted().items()},
    }


def _labour(worked: Figures) -> dict[str, Any]:
    labour = worked.labour
    return {
        "minutes": labour.minutes(),
        "by_person": labour.by_person(),
        "by_system": _named(labour.by_system()),
        "by_job": _named(labour.by_job()),
        "by_month": labour.by_month(),
    }
