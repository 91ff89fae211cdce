"""From what was written to a typed record: every complaint of the models as a problem with place and remedy."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from buildlog.basics.names import suggestion
from buildlog.basics.problems import Misread, Problem
from buildlog.reading.yaml_text import Document
from buildlog.records.types import PLACE_KEY, Record

R = TypeVar("R", bound=Record)


def validated(model: type[R], document: Document, context: Mapping[str, Any],
              path: tuple[Any, ...] = ()) -> tuple[R | None, list[Problem]]:
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
        return Problem(document.place(at), cause.name, cause.message, cause.remedy)
    kind, name = detail["type"], str(loc[-1]) if loc else ""
    if kind == "missing":
        example = _example(model, loc)
        return Problem(document.place(at[:-1]), "missing-field", f"{name}: is missing",
                       f"add  {name}: {example}" if example else f"add a line  {name}:")
    if kind == "extra_forbidden":
        names = _fields(model, loc[:-1])
        return Problem(document.place(at, key=True), "unknown-field", f"{name!r} is no field here",
                       suggestion(name, names, "fields here: " + ", ".join(sorted(names))))
    return Problem(document.place(at), "wrong-shape", _shape(kind, name, detail), _shape_remedy(model, loc))


_SHAPES = {
    "model_type": "a group of  name: value  lines is wanted", "dict_type": "a group of  name: value  lines is wanted",
    "model_attributes_type": "a group of  name: value  lines is wanted",
    "tuple_type": "a list is wanted", "list_type": "a list is wanted", "too_short": "the list is empty",
}


def _shape(kind: str, name: str, detail: ErrorDetails) -> str:
    wanted = _SHAPES.get(kind, detail["msg"].lower())
    where = f"{name}: " if name and not name.isdigit() else ""
    return where + wanted


def _shape_remedy(model: type[Record], loc: tuple[Any, ...]) -> str:
    example = _example(model, loc)
    last = next((str(step) for step in reversed(loc) if not isinstance(step, int)), "")
    if example:
        return f"write  {last}: {example}"
    inner = _model_at(model, loc)
    if inner is not None:
        required = [f.alias or n for n, f in inner.model_fields.items() if f.is_required()]
        fields = required or [f.alias or n for n, f in inner.model_fields.items() if n != "place"][:3]
        return "write  - {" + ", ".join(f"{field}: \u2026" for field in fields) + "}" if any(
            isinstance(step, int) for step in loc) else "write  " + ", ".join(f"{field}: \u2026" for field in fields)
    return ""


def _field(model: type[BaseModel], name: Any) -> FieldInfo | None:
    return next((f for n, f in model.model_fields.items() if (f.alias or n) == name), None)


def _model_at(model: type[BaseModel], loc: tuple[Any, ...]) -> type[BaseModel] | None:
    """The model of the thing at ``loc``, looking through lists and mappings of models."""
    here: type[BaseModel] | None = model
    for step in loc:
        field = _field(here, step) if here is not None and not isinstance(step, int) else None
        if field is not None:
            here = _inner(field.annotation)
        elif here is None:
            return None
    return here


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
