"""What is left of an entry or a text when what an audience may not see is taken out."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from buildlog.records.changes import SignOff
from buildlog.records.entry import Entry, EntryFacts
from buildlog.records.logbook import Sight
from buildlog.records.project import Certificate
from buildlog.records.prose import Prose, opening_of, said_in
from buildlog.records.seals import SealState
from buildlog.records.statements import SAFE, extent_in, is_statement
from buildlog.records.types import Record
from buildlog.records.weighing import Weighing

if TYPE_CHECKING:
    from markdown_it.token import Token

NOT_SHOWN = "An entry not shown here"
"""What stands for the words of an entry that an audience may not read."""


_BONES = (
    *("weight", "weight_change", "weighing", "components", "meter", "meter_replaced"),
    *("hours", "inspected", "directives", "closes", "answers", "signed"),
)
"""The facts of which something is left: what the empty weight and the standing of anything rest on."""


def counts(entry: Entry) -> bool:
    """Whether anything rests on an entry, so that something of it must be left."""
    return any(getattr(entry.facts, name) for name in _BONES)


def stub(entry: Entry, eyes: Sight, people: dict[str, str]) -> Entry:
    """What is left of an entry that may not be seen: weights, events, and what was done, ended or signed; no words."""
    facts = entry.facts
    events = tuple(
        line.model_copy(
            update={**dict.fromkeys(("tag", "because", "to", "by", "note")), "paper": "" if line.paper else None}
        )
        for line in facts.components
    )
    kept = EntryFacts.model_construct(
        **{
            **{name: field.get_default(call_default_factory=True) for name, field in EntryFacts.model_fields.items()},
            "place": facts.place,
            "title": NOT_SHOWN,
            "date_": facts.date_,
            "dates": facts.dates,
            "time": facts.time,
            "system": facts.system,
            "weight": tuple(_wordless(line) for line in facts.weight),
            "weight_change": facts.weight_change,
            "weighing": facts.weighing and _wordless_weighing(facts.weighing),
            "components": events,
            "meter": facts.meter,
            "meter_replaced": facts.meter_replaced,
            "inspected": tuple(line.model_copy(update={"by": None, "note": None}) for line in facts.inspected),
            "directives": facts.directives,
            "closes": tuple(line.model_copy(update={"by": None}) for line in facts.closes),
            "answers": facts.answers,
            "signed": tuple(_wordless_signature(line, eyes, people) for line in facts.signed),
            **dates(facts, eyes),
        }
    )
    return replace(entry, facts=kept, prose=Prose(file=entry.file), hidden=True, worked=entry.is_work)


def _wordless(line: Record) -> Record:
    name = "removed" if getattr(line, "removed", None) else "installed"
    return line.model_copy(update={name: NOT_SHOWN, "note": None})


def _wordless_weighing(weighing: Weighing) -> Weighing:
    return weighing.model_copy(
        update={
            "points": tuple(
                point.model_copy(update={"at": f"point {number}"}) for number, point in enumerate(weighing.points, 1)
            ),
            "on_board": tuple(item.model_copy(update={"item": NOT_SHOWN}) for item in weighing.on_board),
            "missing": tuple(item.model_copy(update={"item": NOT_SHOWN}) for item in weighing.missing),
            "attitude": None,
            "scale": None,
            "oil": None,
        }
    )


def _wordless_signature(line: SignOff, eyes: Sight, people: dict[str, str]) -> SignOff:
    """That something was signed, and what of all that is asked there is of it: empty, it is there and not told.

    Of the words it is left whether they are the statement of an inspection, in the statement's own words.
    """
    extent, held = line.extent or extent_in(line.words), numberless(line.certificate)
    return line.model_copy(
        update={
            "by": people.get(line.by, line.by),
            "date": coarse(line.date, eyes),
            "words": SAFE if is_statement(line.words) else line.words and "",
            "kind": None,
            "extent": extent and "",
            "total_time": None if line.total_time is None else Decimal(0),
            "paper": line.paper and "",
            "certificate": held and held.model_copy(update={"kind": ""}),
        }
    )


def seen_signature(line: SignOff, eyes: Sight, people: dict[str, str], hidden: frozenset[str]) -> SignOff:
    """A signature as an audience may see it: by its role, its number and its page empty where those are kept back."""
    return line.model_copy(
        update={
            "by": people.get(line.by, line.by),
            "date": coarse(line.date, eyes),
            "paper": "" if line.paper in hidden else line.paper,
            "certificate": line.certificate if eyes.names else numberless(line.certificate),
        }
    )


def numberless(held: Certificate | None) -> Certificate | None:
    """A certificate without its number: empty where there is one that is not told."""
    return held and held.model_copy(update={"number": held.number and ""})


def seen_seal(seal: SealState, eyes: Sight, files: frozenset[str], hidden: frozenset[str]) -> SealState:
    """A seal without the names of files that may not be seen; that they changed still counts.

    Photos are published under other names, so only those who may see papers are told any name but the entry's own; of
    a file that is gone nobody can say any more who might see it.
    """
    named = (files - hidden if eyes.documents else frozenset[str]()) | {seal.file}
    changed = tuple(path for path in seal.changed if path in named)
    return replace(
        seal,
        sealed=coarse(seal.sealed, eyes),
        changed=changed,
        gone=tuple(path for path in seal.gone if path in changed),
        unnamed=seal.unnamed + len(seal.changed) - len(changed),
    )


def coarse(day: date, eyes: Sight) -> date:
    """The day, or the first of its month where days may not be seen."""
    return day if eyes.exact_dates else day.replace(day=1)


def dates(facts: EntryFacts, eyes: Sight) -> dict[str, Any]:
    """The fields of an entry's day as an audience may see them."""
    if eyes.exact_dates:
        return {}
    day = (facts.dates[1] if facts.dates else facts.date_ or date.min).replace(day=1)
    return {"date_": day, "dates": None, "time": None}


def seen_prose(prose: Prose, eyes: Sight, hidden: frozenset[str]) -> Prose:
    """The text without the blocks and photos of other audiences."""
    references = tuple(r for r in prose.references if r.audience in eyes.levels and r.target not in hidden)
    gone = sorted(r.target for r in prose.references if r.picture and r.target in hidden)
    digest = "\n".join([prose.digest, *sorted(eyes.levels), *gone])
    if prose.plain and not gone:
        return replace(prose, references=references, source="", digest=digest)
    left = tuple(_allowed(prose.tokens, eyes, hidden))
    return Prose(
        references,
        "",
        prose.first_line,
        prose.file,
        prose.plain,
        digest,
        opening_of(left),
        said_in(left, prose.first_line),
        left=left,
    )


def _allowed(tokens: Sequence[Token], eyes: Sight, hidden: frozenset[str]) -> list[Token]:
    kept: list[Token] = []
    inside: list[str] = []
    for token in tokens:
        if not inside and not token.type.startswith("container_"):
            kept.append(_without_photos(token, hidden) if hidden and token.children else token)
            continue
        found = re.fullmatch(r"container_(\w+)_(open|close)", token.type)
        if found and found[2] == "open":
            inside.append(found[1])
        shown = all(level in eyes.levels for level in inside)
        if shown:
            kept.append(_without_photos(token, hidden) if token.children else token)
        if found and found[2] == "close":
            inside.pop()
    return kept


def _without_photos(token: Token, hidden: frozenset[str]) -> Token:
    children = [
        child for child in token.children or () if not (child.type == "image" and child.attrs.get("src") in hidden)
    ]
    if len(children) == len(token.children or ()):
        return token
    copy = token.copy()
    copy.children = children
    copy.content = "".join(child.content for child in children)
    return copy
