"""What the YAML parser complains of, in plain words and with what usually repairs it."""

from __future__ import annotations

import yaml

from buildlog.basics.problems import Place, Problem
from buildlog.reading.source import Source

_COLUMNS = "look at the line before, too: each line wants  name: value , and things of one group start in one column"
_SAID: tuple[tuple[str, str, str], ...] = (
    (
        "could not find expected ':'",
        "this line has no colon",
        "each line wants  name: value ; indent a longer text under  name: >",
    ),
    ("did not find expected key", "this line does not fit the ones before it", _COLUMNS),
    (
        "did not find expected '-' indicator",
        "this line does not fit the list it stands in",
        "start the items of a list in one column, and what belongs to an item two spaces further in",
    ),
    (
        "did not find expected ',' or",
        "a [ or { is not closed, or a comma is missing after something in it",
        "close the bracket; a text that holds a comma, colon or bracket goes in quotes",
    ),
    (
        "did not find expected node content",
        "something is missing here",
        "a text that holds a comma, colon or bracket goes in quotes",
    ),
    ("cannot start any token", "a text cannot begin with this sign", "put the text in quotes"),
    (
        "alphabetic or numeric character",
        "a text that begins with & or * is read as a sign for another place",
        "put the text in quotes",
    ),
    ("found unexpected end of stream", "a quote is opened here and never closed", "close it, or take it out"),
    (
        "found unexpected document indicator",
        "a quote is opened here and not closed before the ---",
        "close it, or take it out",
    ),
    (
        "found unknown escape character",
        "a backslash in double quotes changes the letter after it",
        "use single quotes, or two backslashes",
    ),
    (
        "block sequence entries are not allowed",
        "a list cannot begin on the line of its name",
        "start the list on the next line, or write it in [ ]",
    ),
    ("but found another document", "a second --- stands in this file", "take it out"),
)


def malformed(error: yaml.YAMLError, source: Source, start: int) -> Problem:
    """The parser's complaint about a text that begins at ``start`` of a source."""
    said = " ".join(str(part) for part in (getattr(error, "context", None), getattr(error, "problem", None)) if part)
    context, mark = getattr(error, "context_mark", None), getattr(error, "problem_mark", None)
    opened_above = context is not None and mark is not None and context.line < mark.line
    if opened_above and ("unexpected" in said or "',' or" in said):
        mark = context
    at = min(start + (mark.index if mark is not None else 0), len(source.text))
    place = source.place(at)
    message, remedy = _told(said, source.text[:at], source.line(place.line)[: place.column - 1])
    return Problem(_without_end(place), "malformed-yaml", message, remedy)


def _told(said: str, before: str, line: str) -> tuple[str, str]:
    """Message and remedy for what the parser said at a place, by what stands before it in the text and on the line."""
    if "mapping values are not allowed" in said:
        if ": " in line or line.lstrip().startswith(("- ", "{", "[")):
            return (
                "a text that is not in quotes holds a colon and a space",
                'put the whole text in quotes, as in  title: "Brakes: the end"',
            )
        return "this line does not fit the one before it", _COLUMNS
    if "did not find expected key" in said and before.rstrip(" ").endswith(("'", '"')):
        return "words stand after the closing quote", (
            "put the whole text in quotes; inside '...' an apostrophe is written twice, as in  'It''s back'"
        )
    for words, message, remedy in _SAID:
        if words in said:
            return message, remedy
    return f"this cannot be read as YAML: {said}", "look at quotes and indentation here"


def _without_end(place: Place) -> Place:
    return Place(place.file, place.line, place.column)
