"""Markdown files with front matter: entries, decisions and pages."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Callable, Collection, Mapping
from datetime import date
from typing import Any, TypeVar

from buildlog.basics.frozen import frozen
from buildlog.basics.problems import Place, Problem, Severity, shown
from buildlog.reading.markdown import Lay, read_prose
from buildlog.reading.source import Source
from buildlog.reading.validate import validated
from buildlog.reading.yaml_text import Document, read_yaml
from buildlog.records.entry import Entry, EntryFacts
from buildlog.records.prose import Prose
from buildlog.records.types import Record
from buildlog.records.writings import Decision, DecisionFacts, Page, PageFacts

R = TypeVar("R", bound=Record)
_NAME = re.compile(r"(\d{4}-\d{2}-\d{2})-[\w-]+")


@frozen
class Leaf:
    """A Markdown file taken apart: its front matter, its text, and the keys written in it even if it is not sound."""

    document: Document
    prose: Prose


def take_apart(source: Source, known: Collection[str], lay: Lay | None = None) -> tuple[Leaf | None, list[Problem]]:
    """Front matter and prose of a Markdown file, laid out for pages by ``lay``."""
    text = source.text
    if not re.match(r"---[ \t]*\n", text):
        what = "the file is empty" if not text.strip() else "the file does not begin with its front matter"
        return None, [
            Problem(
                Place(source.file, 1),
                "no-front-matter",
                what,
                "begin the file with\n---\ntitle: What happened\ndate: 2026-05-16\n---",
            )
        ]
    begin = text.index("\n") + 1
    end = re.compile(r"^---[ \t]*$", re.MULTILINE).search(text, begin)
    if end is None:
        return None, [
            Problem(
                Place(source.file, 1, 1, 4),
                "unclosed-front-matter",
                "the front matter begins here and is never closed",
                "put a line with only  ---  between the facts and the text",
            )
        ]
    document, problems = read_yaml(source, begin, end.start())
    body = min(end.end() + 1, len(text))
    prose, found = read_prose(source, body, known, lay)
    return Leaf(document, prose), problems + found


def read_facts(model: type[R], leaf: Leaf, context: Mapping[str, Any]) -> tuple[R | None, list[Problem]]:
    """The front matter as a record."""
    if leaf.document.broken:
        return None, []
    if leaf.document.value is None:
        needed = [field.alias or name for name, field in model.model_fields.items() if field.is_required()]
        wanted = [*needed, "date"] if model is EntryFacts else needed
        return None, [
            Problem(
                Place(leaf.prose.file, 1),
                "empty-front-matter",
                "there is nothing between the two --- lines",
                "write at least  " + "  and  ".join(f"{name}:" for name in wanted),
            )
        ]
    return validated(model, leaf.document, context)


def read_entry(leaf: Leaf, file: str, context: Mapping[str, Any]) -> tuple[Entry | None, list[Problem]]:
    """An entry from its file, whose name gives its address."""
    facts, problems = read_facts(EntryFacts, leaf, context)
    slug = stem(file)
    named = _NAME.fullmatch(slug)
    if not named:
        problems = [
            *problems,
            Problem(
                Place(file),
                "entry-name",
                f"{shown(slug)} is not how an entry's file is called",
                "name it by its day and a few words, as in  2026-07-04-battery.md",
                Severity.WARNING if facts else Severity.ERROR,
            ),
        ]
    if facts is None:
        return None, problems
    entry = Entry(facts=facts, prose=leaf.prose, file=file, slug=slug)
    if named and not _fits(named[1], entry):
        problems = [*problems, _another_day(named[1], entry, leaf)]
    return entry, problems


@frozen
class Read:
    """What was read of a Markdown file: its record where it could be used, and the problems found on the way."""

    leaf: Leaf | None
    record: Entry | Decision | Page | None
    problems: list[Problem]


def read_text(source: Source, known: Collection[str], context: Mapping[str, Any], lay: Lay | None = None) -> Read:
    """The record of a Markdown file: an entry, a decision or a page, by the folder it is in."""
    leaf, problems = take_apart(source, known, lay)
    if leaf is None:
        return Read(None, None, problems)
    record, found = _READERS[source.file.split("/", 1)[0]](leaf, source.file, context)
    return Read(leaf, record, problems + found)


def _decision(leaf: Leaf, file: str, context: Mapping[str, Any]) -> tuple[Decision | None, list[Problem]]:
    facts, problems = read_facts(DecisionFacts, leaf, context)
    return None if facts is None else Decision(facts=facts, prose=leaf.prose, file=file, slug=stem(file)), problems


def _page(leaf: Leaf, file: str, context: Mapping[str, Any]) -> tuple[Page | None, list[Problem]]:
    facts, problems = read_facts(PageFacts, leaf, context)
    return None if facts is None else Page(facts=facts, prose=leaf.prose, file=file, slug=stem(file)), problems


_READERS: dict[str, Callable[..., tuple[Any, list[Problem]]]] = {
    "log": read_entry,
    "decisions": _decision,
    "pages": _page,
}


def _another_day(named: str, entry: Entry, leaf: Leaf) -> Problem:
    field = "dates" if entry.facts.dates else "date"
    remedy = (
        f"write  {field}: {named} , or give the file another name, which is another address"
        if _real(named)
        else f"there is no such day; begin the file's name with  {entry.day}"
    )
    return Problem(
        leaf.document.place((field,)),
        "name-and-date",
        f"the file is named for {named}, the entry says {entry.day}",
        remedy,
        Severity.WARNING,
    )


def stem(file: str) -> str:
    """The name of a file without its folder and ending: the address of what is in it."""
    return posixpath.basename(file).removesuffix(".md")


def _fits(named: str, entry: Entry) -> bool:
    return entry.first_day <= date.fromisoformat(named) <= entry.day if _real(named) else False


def _real(named: str) -> bool:
    try:
        date.fromisoformat(named)
    except ValueError:
        return False
    return True


def written_keys(value: Any) -> set[str]:
    """Every key: a front matter gives, also of one that could not be used, so that one fault is not reported as two."""
    found: set[str] = set()
    if isinstance(value, dict):
        if isinstance(value.get("key"), str):
            found.add(value["key"])
        for inner in value.values():
            found |= written_keys(inner)
    elif isinstance(value, list):
        for inner in value:
            found |= written_keys(inner)
    return found
