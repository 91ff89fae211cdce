"""CSV lists of costs and hours from before the log was kept."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from typing import Any

from pydantic import ValidationError

from buildlog.basics.names import suggestion
from buildlog.basics.problems import Misread, Place, Problem, shown
from buildlog.reading.source import Source
from buildlog.records.ledgers import LedgerRow
from buildlog.records.types import PLACE_KEY

COLUMNS = tuple(name for name in LedgerRow.model_fields if name != "place")


def read_ledger(source: Source, context: Mapping[str, Any]) -> tuple[list[LedgerRow], list[Problem]]:
    """The rows of a ledger; a row with a problem is told and left out."""
    reader = csv.reader(io.StringIO(source.text, newline=""), strict=True)
    try:
        header = [name.strip().casefold() for name in next(reader, [])]
    except csv.Error as error:
        return [], [_malformed(error, source.file, 1)]
    problems = _header(header, source)
    rows: list[LedgerRow] = []
    if problems:
        return rows, problems
    line = reader.line_num + 1
    try:
        for fields in reader:
            if any(field.strip() for field in fields):
                row, found = _row(header, fields, Place(source.file, line), context)
                rows += [row] if row else []
                problems += found
            line = reader.line_num + 1
    except csv.Error as error:
        problems.append(_malformed(error, source.file, line))
    return rows, problems


def _malformed(error: csv.Error, file: str, line: int) -> Problem:
    """A row that is no CSV, whose quotes are nearly always the reason; nothing after it can be read."""
    message = {
        "unexpected end of data": "a quote is opened in this row and never closed",
        "',' expected after '\"'": "words stand after a closing quote",
    }.get(str(error), f"this row is not CSV: {error}")
    return Problem(
        Place(file, line),
        "malformed-csv",
        message,
        'put the whole text in double quotes, and write a " inside it twice; the rows below were not read',
    )


def _header(header: list[str], source: Source) -> list[Problem]:
    place = Place(source.file, 1)
    known = [name for name in header if name in COLUMNS]
    problems = [_no_column(name, place) for name in header if name not in COLUMNS]
    if not known and len(header) != 1:
        problems = []
    if not problems and ("date" not in header or not {"cost", "hours"} & set(header)):
        problems.append(
            Problem(
                place,
                "ledger-header",
                "the first line does not name the columns",
                "write  date,item,cost,kind,system,supplier,receipt  or  date,person,hours,system,what",
            )
        )
    return problems + [
        Problem(place, "repeated-column", f"the column {shown(name)} is there twice", "keep one of them")
        for name in COLUMNS
        if header.count(name) > 1
    ]


def _no_column(name: str, place: Place) -> Problem:
    if not name:
        return Problem(place, "unknown-column", "a column has no name", "take the comma out, or name the column")
    if ";" in name or "\t" in name:
        return Problem(
            place,
            "unknown-column",
            f"{shown(name)} is one column, since no comma divides it",
            "save the list again with commas between the columns",
        )
    return Problem(
        place,
        "unknown-column",
        f"{shown(name)} is no column of a ledger",
        suggestion(name, COLUMNS, "columns: " + ", ".join(COLUMNS)),
    )


def _row(
    header: list[str], fields: list[str], place: Place, context: Mapping[str, Any]
) -> tuple[LedgerRow | None, list[Problem]]:
    if len(fields) > len(header):
        return None, [
            Problem(
                place,
                "too-many-columns",
                f"{len(fields)} fields under {len(header)} columns",
                "put a text with a comma in double quotes",
            )
        ]
    written: dict[str, Any] = {
        name: field.strip() for name, field in zip(header, fields, strict=False) if field.strip()
    }
    if not {"cost", "hours"} & set(written):
        return None, [
            Problem(place, "empty-row", "the line has neither a cost nor hours", "fill one in, or take the line out")
        ]
    try:
        return LedgerRow.model_validate({**written, PLACE_KEY: place}, context=dict(context)), []
    except ValidationError as error:
        return None, [_problem(place, detail) for detail in error.errors(include_url=False)]


def _problem(place: Place, detail: Any) -> Problem:
    name = str(detail["loc"][0]) if detail["loc"] else ""
    cause = (detail.get("ctx") or {}).get("error")
    if isinstance(cause, Misread):
        return Problem(place, cause.name, f"{name}: {cause.message}", cause.remedy)
    return Problem(place, "missing-field", f"{name}: is missing", f"fill in the column {name}")
