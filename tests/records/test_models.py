"""The models themselves: every field is described, every example in them can be written, nothing unknown is let in."""

from __future__ import annotations

import importlib
import pkgutil
from typing import Annotated, Any

import pytest
from pydantic import TypeAdapter
from pydantic.fields import FieldInfo

import buildlog.records
from buildlog.reading.source import Source
from buildlog.reading.yaml_text import read_yaml
from buildlog.records.registers import Plan
from buildlog.records.schema import KINDS, schema_of
from buildlog.records.types import Record

for module in pkgutil.iter_modules(buildlog.records.__path__):
    importlib.import_module(f"buildlog.records.{module.name}")
MODELS = sorted(Record.__subclasses__(), key=lambda model: model.__name__)
NAMED = {
    f"{model.__name__}.{name}": field
    for model in MODELS
    for name, field in model.model_fields.items()
    if name != "place"
}
FIELDS, IDS = list(NAMED.values()), list(NAMED)


def value_of(text: str) -> Any:
    """A YAML value as the reader gives it to a model."""
    document, problems = read_yaml(Source.of("example", f"it: {text}\n"))
    assert not problems, problems
    return document.value["it"]


def test_there_are_models() -> None:
    assert len(MODELS) > 40
    assert Plan in MODELS


@pytest.mark.parametrize("field", FIELDS, ids=IDS)
def test_a_field_is_described(field: FieldInfo) -> None:
    assert field.description
    assert (
        field.description[0].isupper()
        or field.description[0] == "`"
        or field.description.split()[0].rstrip(",:") in {"owner", "none", "directive", "yes"}
    ), field.description
    assert field.description.endswith("."), field.description


@pytest.mark.parametrize("field", FIELDS, ids=IDS)
def test_every_example_can_be_written(field: FieldInfo) -> None:
    adapter: TypeAdapter[Any] = TypeAdapter(
        Annotated[field.annotation, *field.metadata] if field.metadata else field.annotation
    )
    for example in field.examples or []:
        adapter.validate_python(value_of(example), context={"currency": "USD"})


@pytest.mark.parametrize("model", MODELS, ids=lambda model: model.__name__)
def test_a_model_is_frozen_and_closed(model: type[Record]) -> None:
    assert model.model_config["frozen"]
    assert model.model_config["extra"] == "forbid"
    assert (model.__doc__ or "").strip()
    if model.sample:
        model.model_validate(value_of(model.sample), context={"currency": "USD"})


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_has_a_schema(kind: str) -> None:
    schema = schema_of(kind)
    assert schema["type"] == "object"
    assert "Place" not in str(schema)
