"""The schema of the record of figures: itself sound, and kept by what the program writes for every audience."""

from __future__ import annotations

from pathlib import Path

import pytest
from jsonschema import Draft202012Validator, ValidationError

from buildlog.figures.figures import figures
from buildlog.pages.record import record
from buildlog.pages.record_schema import figures_schema
from buildlog.reading.read import read_logbook
from buildlog.records.audience import seen_by

CONTENT = Path(__file__).parents[2] / "content"
COUNTS = {"errors": 0, "warnings": 1, "notes": 2}


@pytest.mark.parametrize("audience", ["builder", "public", "inspector", "buyer"])
def test_the_demo_s_figures_keep_to_the_schema(audience: str) -> None:
    schema = figures_schema()
    Draft202012Validator.check_schema(schema)
    worked, _ = figures(seen_by(read_logbook(CONTENT).logbook, audience))
    made = record(worked, COUNTS)
    Draft202012Validator(schema).validate(made)
    assert set(made) == set(schema["properties"])


@pytest.mark.parametrize(
    ("key", "value"), [("on", "7 November"), ("components", {"engine": {"state": "installed"}}), ("surprise", 1)]
)
def test_what_does_not_keep_to_it_is_found(key: str, value: object) -> None:
    worked, _ = figures(read_logbook(CONTENT).logbook)
    with pytest.raises(ValidationError):
        Draft202012Validator(figures_schema()).validate(record(worked, COUNTS) | {key: value})
