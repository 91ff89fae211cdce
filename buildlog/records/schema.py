"""JSON Schema of every kind of file, and the field reference, both made from the models so that they cannot drift."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from pydantic import BaseModel

from buildlog.records.entry import EntryFacts
from buildlog.records.ledgers import LedgerRow
from buildlog.records.project import Project
from buildlog.records.registers import Checks, Component, Directives, History, Loading, Plan
from buildlog.records.requirements import RequirementTable
from buildlog.records.seals import Seals
from buildlog.records.types import PLACE_KEY
from buildlog.records.writings import DecisionFacts, PageFacts

KINDS: dict[str, tuple[type[BaseModel], str]] = {
    "project": (Project, "project.yaml: the aircraft, the people, what each audience may see"),
    "entry": (EntryFacts, "the front matter of log/**/YYYY-MM-DD-few-words.md"),
    "component": (Component, "components.yaml: each component under its key"),
    "history": (History, "history.yaml: what is known of the time before, and how"),
    "loading": (Loading, "loading.yaml: datum, limits, stations, loading cases"),
    "plan": (Plan, "plan.yaml: jobs, and the time there is for them"),
    "checks": (Checks, "checks.yaml: what falls due"),
    "directives": (Directives, "directives.yaml: directives and bulletins considered"),
    "requirements": (RequirementTable, "requirements/*.yaml: what a rule asks of the records"),
    "decision": (DecisionFacts, "the front matter of decisions/*.md"),
    "page": (PageFacts, "the front matter of pages/*.md"),
    "ledger": (LedgerRow, "a row of ledgers/*.csv"),
    "seals": (Seals, "seals.yaml, which  buildlog seal  writes"),
}
"""The kinds of file in a project."""


def schema_of(kind: str) -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of a kind of file."""
    model = KINDS[kind][0]
    schema: dict[str, Any] = _without_places(model.model_json_schema(by_alias=True))
    if kind == "component":
        definitions = schema.pop("$defs", {})
        schema = {"type": "object", "additionalProperties": schema, "$defs": definitions}
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "$comment": KINDS[kind][1], **schema}


def _without_places(value: Any) -> Any:
    """The place is the reader's, not the builder's."""
    if isinstance(value, dict):
        return {key: _without_places(held) for key, held in value.items() if key not in {PLACE_KEY, "Place"}}
    return [_without_places(held) for held in value] if isinstance(value, list) else value


def field_reference() -> str:
    """Every field of every kind of file, as Markdown."""
    parts = [
        "# What can be written",
        "",
        (
            "Made from the program's own models by `make reference`; a test keeps it current. A field marked with a dot is"
            " required."
        ),
        "",
    ]
    for kind, (model, words) in KINDS.items():
        parts += [f"## {kind}", "", f"What can be written in {words}.", "", *_fields(model)]
        for inner in _inner_models(model):
            parts += [f"### {_heading(kind, inner)}", "", inner.__doc__ or "", "", *_fields(inner)]
    return "\n".join(parts).rstrip() + "\n"


def _heading(kind: str, model: type[BaseModel]) -> str:
    words = "".join(f" {c.lower()}" if c.isupper() else c for c in model.__name__).strip()
    return f"{kind}: {words}"


def _fields(model: type[BaseModel]) -> list[str]:
    rows = ["| field | | what | as in |", "| --- | --- | --- | --- |"]
    for name, field in model.model_fields.items():
        if (field.alias or name) == PLACE_KEY:
            continue
        example = f"`{field.examples[0]}`" if field.examples else ""
        required = "\u2022" if field.is_required() else ""
        rows.append(
            f"| `{field.alias or name}` | {required} | {(field.description or '').replace('|', '/')} | "
            f"{example.replace('|', '/')} |"
        )
    return [*rows, ""]


def _inner_models(model: type[BaseModel], seen: set[str] | None = None) -> Iterator[type[BaseModel]]:
    """The models inside a model, each once, in the order they are met."""
    seen = seen if seen is not None else set()
    for field in model.model_fields.values():
        for inner in _models_in(field.annotation):
            if inner.__name__ not in seen:
                seen.add(inner.__name__)
                yield inner
                yield from _inner_models(inner, seen)


def _models_in(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for part in getattr(annotation, "__args__", ()):
        yield from _models_in(part)
