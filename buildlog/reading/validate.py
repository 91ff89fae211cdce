"""From what was written to a typed record: every complaint of the models as a problem with place and remedy."""

from __future__ import annotations

from collections.abc import Mapping
from textwrap import fill
from typing import Any, TypeVar, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from buildlog.basics.names import suggestion
from buildlog.basics.problems import Misread, Problem, shown
from buildlog.reading.yaml_text import Document
from buildlog.records.types import PLACE_KEY, Record

R = TypeVar("R", bound=Record)


def validated(
    model: type[R], document: Document, context: Mapping[str, Any], path: tuple[Any, ...] = ()
) -> tuple[R | None, list[Problem]]:
    """The record at ``path`` of a document, or the problems that keep it from being one."""
    value = document.value
    for step in path:
        value = value[step]
    try:
        return model.model_validate(value, context=dict(context)), []
    except ValidationError as error:
        return None, [_problem(detail, model, document, path) for detail in error.errors(include_url=False)]


def _problem(detail: ErrorDetails, model: type[Record], document: Document, path: tuple[Any, ...]) -> Problem:
    loc = tuple(step for step in detail["loc"] if step != "[key]")
    at = path + loc
    cause = (detail.get("ctx") or {}).get("error")
    if isinstance(cause, Misread):
        exact = (*at, cause.field) if cause.field else at
        return Problem(document.place(exact, key="[key]" in detail["loc"]), cause.name, cause.message, cause.remedy)
    kind, name = detail["type"], str(loc[-1]) if loc else ""
    if kind == "missing":
        field = _field(_model_at(model, loc[:-1]) or model, name)
        example = _written(field) if field is not None else "\u2026"
        return Problem(document.place(at), "missing-field", f"{name}: is missing", f"add  {name}: {example}")
    if kind == "extra_forbidden":
        names = _fields(model, loc[:-1])
        return Problem(
            document.place(at, key=True),
            "unknown-field",
            f"{shown(name)} is no field here",
            suggestion(name, names, fill("fields here: " + ", ".join(sorted(names)), 96)),
        )
    remedy = _shape_remedy(kind, model, loc) if at else _root_remedy(model)
    if at and not loc:
        remedy = f"write  {at[-1]}: {_sample(model)}"
    return Problem(document.place(at), "wrong-shape", _shape(kind, name, detail), remedy)


_SHAPES = {
    "model_type": "a group of  name: value  is wanted",
    "dict_type": "a group of  name: value  is wanted",
    "model_attributes_type": "a group of  name: value  is wanted",
    "tuple_type": "a list is wanted",
    "list_type": "a list is wanted",
    "too_short": "the list is empty",
}


def _shape(kind: str, name: str, detail: ErrorDetails) -> str:
    wanted = _SHAPES.get(kind, detail["msg"].lower())
    if kind in {"tuple_type", "list_type", "model_type", "dict_type"} and detail["input"] is None:
        wanted = "nothing is written after it"
    where = f"{name}: " if name and not name.isdigit() else ""
    return where + wanted


def _shape_remedy(kind: str, model: type[Record], loc: tuple[Any, ...]) -> str:
    """How the thing at ``loc`` is written."""
    last = next((str(step) for step in reversed(loc) if not isinstance(step, int)), "")
    example, inner = _example(model, loc), _model_at(model, loc)
    if inner is None or (example and not isinstance(loc[-1], int)):
        return f"write  {last}: {example}" if example else "write the thing itself, or take the line out"
    sample = _sample(inner)
    if loc and isinstance(loc[-1], int):
        return f"write  - {sample}"
    if kind in {"tuple_type", "list_type", "too_short"}:
        return f"write\n{last}:\n  - {sample}"
    if kind == "dict_type":
        return f"write\n{last}:\n  a-short-name: {sample}"
    return f"write  {last}: {sample}"


def _root_remedy(model: type[Record]) -> str:
    return "\n".join(["write", *(f"{name}: {_written(field)}" for name, field in _wanted(model).items())])


def _sample(model: type[BaseModel]) -> str:
    """A record of this kind as it might be written: its required fields, or else its first."""
    if issubclass(model, Record) and model.sample:
        return model.sample
    return "{" + ", ".join(f"{name}: {_written(field)}" for name, field in _wanted(model).items()) + "}"


def _wanted(model: type[BaseModel]) -> dict[str, FieldInfo]:
    fields = {f.alias or n: f for n, f in model.model_fields.items() if n != "place"}
    return {name: field for name, field in fields.items() if field.is_required()} or dict(list(fields.items())[:1])


def _written(field: FieldInfo) -> str:
    inner = _inner(field.annotation)
    if field.examples:
        return str(field.examples[0])
    if inner is None:
        return "\u2026"
    return f"[{_sample(inner)}]" if _is(tuple, field.annotation) else _sample(inner)


def _field(model: type[BaseModel], name: Any) -> FieldInfo | None:
    return next((f for n, f in model.model_fields.items() if (f.alias or n) == name), None)


def _model_at(model: type[BaseModel], loc: tuple[Any, ...]) -> type[BaseModel] | None:
    """The model of the thing at ``loc``, looking through lists and mappings of models."""
    here: type[BaseModel] | None = model
    own_key = False
    for step in loc:
        if isinstance(step, int) or own_key:
            own_key = False
            continue
        field = _field(here, step) if here is not None else None
        if field is not None:
            here, own_key = _inner(field.annotation), _is(dict, field.annotation)
        elif here is None:
            return None
    return here


def _is(container: type, annotation: Any) -> bool:
    """Whether a field holds a list of things (tuple), or things under the builder's own keys (dict)."""
    return get_origin(annotation) is container or any(_is(container, part) for part in get_args(annotation))


def _inner(annotation: Any) -> type[BaseModel] | None:
    """The model inside ``tuple[Model, ...]``, ``dict[str, Model]`` or ``Model | None``."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for part in getattr(annotation, "__args__", ()):
        found = _inner(part)
        if found is not None:
            return found
    return None


def _fields(model: type[BaseModel], loc: tuple[Any, ...]) -> list[str]:
    inner = _model_at(model, loc) or model
    return [f.alias or n for n, f in inner.model_fields.items() if (f.alias or n) != PLACE_KEY]


def _example(model: type[BaseModel], loc: tuple[Any, ...]) -> str:
    parent = _model_at(model, loc[:-1])
    field = _field(parent, loc[-1]) if parent is not None and loc else None
    return str(field.examples[0]) if field is not None and field.examples else ""
