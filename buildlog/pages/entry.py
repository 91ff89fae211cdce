"""An entry's page: its text, the facts of the day in the margin, and what it lists in tables."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from buildlog.basics.frozen import frozen
from buildlog.basics.names import counted
from buildlog.pages.entry_fact import Fact
from buildlog.pages.entry_margin import margin
from buildlog.pages.entry_tables import Tables, tables
from buildlog.pages.lines import Desk
from buildlog.pages.ruled import Rule, span_of
from buildlog.pages.seals import SealLine, seal_line
from buildlog.pages.sheet import (
    Addresses,
    Photo,
    Sheet,
    Tab,
    first_words,
    lead_photo,
    photos_of,
    unplaced_photos,
)
from buildlog.pages.weight_ledger import weighing_forms
from buildlog.pages.words import Words
from buildlog.records.entry import Entry
from buildlog.records.prose import Prose

if TYPE_CHECKING:
    from buildlog.figures.figures import Figures

_NOT_PUBLIC = {
    "handover": "In the package only, not on the public pages.",
    "private": "For the builder alone.",
}


@frozen
class Turn:
    """The entry before or after, or of a correction: its title and, as ``note``, when."""

    path: str
    words: str
    note: str
    seal: SealLine | None = None


@frozen
class EntryView:
    """An entry. ``corrects`` and ``corrected_by`` lead to the other entry of a correction."""

    title: str
    when: str
    tabs: tuple[Tab, ...]
    milestone: str
    audience: str
    facts: tuple[Fact, ...]
    text: Prose
    tables: Tables
    photos: tuple[Photo, ...]
    corrects: Turn | None
    corrected_by: tuple[Turn, ...]
    seal: SealLine | None
    before: Turn | None
    after: Turn | None
    rule: Rule | None
    weight_unit: str
    arm_unit: str


def entry_sheets(
    worked: Figures, words: Words, at: Addresses, only: str | None = None, part: tuple[int, int] = (0, 1)
) -> Iterator[Sheet]:
    """A page for each entry that may be read, with the one before and the one after; or the one at the path ``only``.

    ``part`` is a number of so many parts that the entries are taken in, one of which is made.
    """
    desk = Desk.of(worked, words, at)
    told = list(worked.logbook.told())
    places = {entry.slug: number for number, entry in enumerate(worked.logbook.entries)}
    forms = {form.source.path: form for form in weighing_forms(desk) if form.source.path}
    corrections = _corrections(told)
    by_slug = {entry.slug: entry for entry in told}
    around = [None, *told, None]
    span = span_of(told, words) if told else None
    first, last = (len(told) * (part[0] + more) // part[1] for more in (0, 1))
    for number, entry in enumerate(told[first:last], first):
        facts, path = entry.facts, at.entry(entry.slug)
        if only is not None and path != only:
            continue
        lead = lead_photo(entry)
        wrong = by_slug.get(_corrected(entry))
        view = EntryView(
            facts.title,
            words.days(entry.first_day, entry.day),
            tuple(at.tab(key) for key in facts.system),
            facts.milestone or "",
            _NOT_PUBLIC.get(facts.audience, ""),
            margin(entry, places[entry.slug], desk),
            entry.prose,
            tables(entry, forms.get(path), desk),
            _unplaced(entry, worked),
            _turn(wrong, "", desk),
            tuple(filter(None, (_turn(one, "", desk) for one in corrections.get(entry.slug, ())))),
            _seal(entry, desk),
            _turn(around[number], "Before", desk),
            _turn(around[number + 2], "After", desk),
            span.at(entry.day if words.exact_dates else entry.day.replace(day=1)) if span else None,
            words.weight_unit,
            words.arm_unit,
        )
        yield Sheet(
            path,
            "entry.html",
            facts.title,
            view,
            "log.html",
            facts.summary or first_words(entry.prose, 180),
            lead.file if lead else "",
            worked_from=_worked_from(entry),
            name=f"entry of {view.when}",
            updated=entry.day,
        )


def _unplaced(entry: Entry, worked: Figures) -> tuple[Photo, ...]:
    return tuple(photo for photo in unplaced_photos(entry) if photo.file in worked.logbook.files)


def _turn(entry: Entry | None, way: str, desk: Desk) -> Turn | None:
    """Another entry; the year is in its day, for a log may be long."""
    if entry is None:
        return None
    day = desk.words.day(entry.day)
    return Turn(desk.at.entry(entry.slug), entry.facts.title, f"{way}, {day}" if way else day, _seal(entry, desk))


def _seal(entry: Entry, desk: Desk) -> SealLine | None:
    seal = desk.seals.get(entry.slug)
    return seal_line(seal, desk.worked.logbook, desk.words) if seal else None


def _corrected(entry: Entry) -> str:
    return (entry.facts.corrects or "").rsplit("/", 1)[-1].removesuffix(".md")


def _corrections(told: list[Entry]) -> dict[str, list[Entry]]:
    """The entries that correct another, by the address of that other."""
    found: dict[str, list[Entry]] = {}
    for entry in told:
        if entry.facts.corrects:
            found.setdefault(_corrected(entry), []).append(entry)
    return found


def _worked_from(entry: Entry) -> str:
    """What the entry's figures rest on: how its weights are known, its photos and papers."""
    facts = entry.facts
    bases = sorted({line.basis for line in facts.weight})
    parts = [f"weights {' and '.join(bases)}"] if bases else []
    parts += ["the scales\u2019 readings"] if facts.weighing else []
    parts += [
        counted(number, name)
        for number, name in ((len(photos_of(entry)), "photo"), (len(facts.documents), "paper"))
        if number
    ]
    return ", ".join(parts) or "what the builder wrote that day"
