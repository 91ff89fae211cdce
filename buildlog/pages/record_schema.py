"""The JSON Schema (draft 2020-12) of the record of figures, for whoever reads it without this program."""

from __future__ import annotations

from typing import Any

from buildlog.pages.record import SCHEMA

Schema = dict[str, Any]

_TEXT: Schema = {"type": "string"}
_WHOLE: Schema = {"type": "integer", "minimum": 0}
_DECIMAL: Schema = {"type": "string", "pattern": r"^[-+]?\d+(\.\d+)?$"}
_DAY: Schema = {"type": "string", "format": "date", "pattern": r"^\d{4}-\d{2}-\d{2}$"}


def _or_null(schema: Schema) -> Schema:
    return {"anyOf": [schema, {"type": "null"}]}


def _list(items: Schema) -> Schema:
    return {"type": "array", "items": items}


def _by_key(values: Schema, words: str = "") -> Schema:
    return {"type": "object", "additionalProperties": values, **({"description": words} if words else {})}


def _object(words: str = "", /, **properties: Schema) -> Schema:
    """An object with exactly these properties, all of them there."""
    named = {name.removesuffix("_"): schema for name, schema in properties.items()}
    told = {"description": words} if words else {}
    return {"type": "object", "properties": named, "required": list(named), "additionalProperties": False, **told}


def _hours() -> Schema:
    """Hours as far as they are known: exactly, or bounds, with the way they are known."""
    bounds = dict.fromkeys(("exactly", "at_least", "at_most"), _DECIMAL)
    held: Schema = {"type": "object", "properties": {**bounds, "basis": _TEXT}, "required": ["basis"]}
    return _or_null({**held, "additionalProperties": False, "minProperties": 2})


def _times() -> Schema:
    return {name: _hours() for name in ("time_since_new", "time_since_overhaul", "time_since_fitted")}


def figures_schema() -> Schema:
    """The schema of what ``pages/record.py`` makes; ``buildlog totals --json`` and the package's records/figures.json."""
    properties = _object(
        schema={"const": SCHEMA, "description": "The version: keys are stable within it."},
        on={**_or_null(_DAY), "description": "The day the figures are as of."},
        entries={**_WHOLE, "description": "Entries that this reader may see."},
        cost={"type": "object", "description": "Money; decimals in text, in the project's currency."},
        labour={"type": "object", "description": "Whole minutes."},
        weight_and_balance={"type": "object", "description": "Decimals in text, in the units named in it."},
        components=_by_key(
            _object(state=_TEXT, since=_or_null(_DAY), in_=_or_null(_TEXT), **_times()), "By the component's key."
        ),
        airframe=_object("Hours of the airframe.", **_times()),
        records=_list(
            _object(
                list=_TEXT,
                row=_TEXT,
                of=_TEXT,
                standing={"enum": ["documented", "reconstructed", "unknown", "not-applicable"]},
                because=_TEXT,
            )
        ),
        directives=_list(_object(key=_TEXT, of=_TEXT, state=_TEXT, not_written=_list(_TEXT))),
        findings=_object("Keys of findings.", open=_list(_TEXT), closed=_list(_TEXT)),
        decisions=_by_key(
            _object(chosen=_or_null(_TEXT), options=_by_key({"type": "object"})), "By the decision's name."
        ),
        orders=_list(_object(key=_TEXT, promised=_or_null(_DAY), received=_or_null(_DAY))),
        due=_list(_due()),
        signatures=_list({"type": "object", "required": ["entry", "day", "by", "as", "points"]}),
        unsigned=_list(_object(entry=_TEXT, system=_TEXT)),
        seals=_list({"type": "object", "required": ["entry", "sealed", "whole", "changed"]}),
        audit=_object("Problems by severity.", errors=_WHOLE, warnings=_WHOLE, notes=_WHOLE),
    )
    optional = {"cost", "labour"}  # an audience that may not see them is not told them
    properties["required"] = [name for name in properties["required"] if name not in optional]
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"{SCHEMA}: the figures of an aircraft project",
        **properties,
    }


def _due() -> Schema:
    return _object(
        kind={"enum": ["check", "life", "directive", "finding"]},
        key=_TEXT,
        due=_or_null(_DAY),
        state={"enum": ["overdue", "due-soon", "due", "never-done", "not-known", "not-fitted"]},
        hours_left=_or_null(_object(at_least=_or_null(_DECIMAL), at_most=_or_null(_DECIMAL))),
        last=_or_null(_TEXT),
        reason=_or_null(_TEXT),
    )
