"""Only the words of some texts changed: their pages are made anew in a site that stands, and nothing else is touched.

When a text's facts are what they were, and what it links to, what it shows and its first paragraph, no figure, list or
check can have changed, nor any page but those that show the text. Such a page is kept packed, as it was before its
template, with what it asked for while it was made. Wherever something is not as it was, or not known, the answer is None,
and everything is worked out again.
"""

from __future__ import annotations

import pickle
import re
from collections.abc import Callable, Collection, Iterable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any, TypeVar

from jinja2 import Environment

from buildlog.basics.frozen import frozen
from buildlog.basics.problems import Problem
from buildlog.packing import UnknownError, taken_out
from buildlog.pages.sheet import Frame
from buildlog.reading.entries import read_text
from buildlog.reading.memory import Asked, Memory, front_of, outline_of
from buildlog.reading.source import read_source
from buildlog.records.kept_back import seen_prose
from buildlog.records.logbook import Logbook, Sight
from buildlog.records.prose import Prose
from buildlog.site.pictures import Picture, Size
from buildlog.site.prose import laid_out
from buildlog.site.render import Renderer
from buildlog.site.workshop import AsItWas

T = TypeVar("T")


@frozen
class Free:
    """A text that may be reworded: what else is in its file, what others may know of it, and the pages that show it."""

    front: bytes
    outline: bytes
    pages: tuple[str, ...]


@frozen
class Standing:
    """What is needed of a published site to change the words of its texts in it."""

    eyes: Sight
    theme: str
    context: dict[str, Any]
    forbidden: str
    """What no text for this audience may say, as a pattern; '' for nothing."""
    frame: Frame
    texts: Mapping[str, Free]
    pages: Mapping[str, tuple[bytes, bytes]]
    """Each page that shows a text: before its template, and the answers to what it asked."""


def standing_of(
    book: Logbook,
    seen: Logbook,
    problems: Iterable[Problem],
    frame: Frame,
    pages: Iterable[tuple[str, tuple[bytes, bytes], tuple[str, ...]]],
    texts: Memory,
) -> Standing:
    """How a site stands that was made of a record, given its pages: path, packed page and the texts it holds.

    A text stays out that has a seal or a problem in its words, or from which something is taken out for this audience.
    """
    from buildlog.audit.leaks import unspeakable

    sealed, troubled = {seal.file for seal in book.seals}, {(one.place.file, one.place.line) for one in problems}
    read = {text.file: text.prose for text in book.texts()}
    barred = {*sealed, *(file for file, line in troubled if file in read and line >= read[file].first_line)}
    free = {
        text.file: read[text.file]
        for text in seen.texts()
        if text.file not in barred and text.prose.plain and text.prose.left is None and text.prose.written
    }
    shown: dict[str, tuple[str, ...]] = {}
    kept: dict[str, tuple[bytes, bytes]] = {}
    for path, given, held in pages:
        if all(file in free for file in held):
            kept[path] = given
        for file in held:
            shown[file] = (*shown.get(file, ()), path)
    found: dict[str, Free] = {}
    for file, prose in free.items():
        front, paths = texts.front(file), shown.get(file, ())
        if front is not None and paths and all(path in kept for path in paths):
            found[file] = Free(front, outline_of(prose), paths)
    context = {"currency": book.project.units.currency}
    return Standing(seen.sight, book.project.theme, context, unspeakable(book, seen.sight), frame, found, kept)


def reworded(
    root: Path,
    files: Collection[str],
    moved: Iterable[str],
    standing: Standing,
    texts: Memory,
    environment: Callable[[], Environment],
) -> dict[str, bytes] | None:
    """The pages, by path, that show the texts that moved; None where more than the words of these changed.

    ``files`` are those of the project, ``texts`` what is remembered of the texts; it remembers the new ones.
    """
    given: dict[str, Prose] = {}
    for file in moved:
        prose = _read(root, file, frozenset(files), standing, texts) if file in standing.texts else None
        if prose is None:
            return None
        given[file] = seen_prose(prose, standing.eyes, frozenset())
    paths = dict.fromkeys(path for file in given for path in standing.texts[file].pages)
    try:
        return {path: _page(standing.pages[path], given, standing.frame, environment()) for path in paths}
    except (UnknownError, pickle.UnpicklingError):
        return None


def _read(root: Path, file: str, files: frozenset[str], standing: Standing, texts: Memory) -> Prose | None:
    """The new text of a file, if nothing but its words changed and nothing is wrong with them."""
    source, _ = read_source(root / file, file)
    if source is None:
        return None
    asked = Asked(files)
    read = read_text(source, asked, standing.context, laid_out)
    record = read.record
    if record is None or read.problems or asked.listed or not record.prose.plain:
        return None
    if standing.forbidden and any(re.search(standing.forbidden, words) for _, words in record.prose.said):
        return None
    free = standing.texts[file]
    if front_of(source.text, record) != free.front or outline_of(record.prose) != free.outline:
        return None
    texts.keep(file, source.text, standing.context, asked, record)
    return record.prose


def _page(given: tuple[bytes, bytes], texts: Mapping[str, Prose], frame: Frame, environment: Environment) -> bytes:
    sheet, answers = given
    known = _Known(pickle.loads(answers))  # noqa: S301 - our own file, in this user's own cache
    renderer = Renderer(environment, frame, known, known.link, known.card)
    made, fault = renderer.html(taken_out(sheet, texts))
    if fault or isinstance(made.content, AsItWas):
        raise UnknownError(fault)
    return made.content


@frozen
class _Known:
    """What a page asked for when it was made, and the answers, each in bytes: its pictures, by their files, and the rest."""

    answers: Mapping[tuple[str, str], bytes]

    def get(self, file: str) -> Picture | None:
        return self._said(Picture, "picture", file)

    def link(self, path: str) -> str | None:
        return self._said(str, "link", path)

    def card(self, file: str) -> Size | None:
        return self._said(Size, "card", file)

    def _said(self, kind: type[T], sort: str, name: str) -> T | None:
        try:
            found = pickle.loads(self.answers[sort, name])  # noqa: S301 - our own file, in this user's own cache
        except KeyError as unknown:
            raise UnknownError(name) from unknown
        return found if isinstance(found, kind) else None


def store(standing: Standing, place: Path, mark: str) -> None:
    """Writes it down for later runs, under a mark of this one; without it the next run only takes longer."""
    beside = place.with_name(f".{place.name}.{mark}")
    with suppress(OSError):
        place.parent.mkdir(parents=True, exist_ok=True)
        with beside.open("wb") as out:
            pickle.dump((mark, standing), out, pickle.HIGHEST_PROTOCOL)
        beside.replace(place)


def stored(place: Path, mark: str) -> Standing | None:
    """What was written down under a mark; None where that is not what is there."""
    try:
        with place.open("rb") as source:
            found, standing = pickle.load(source)  # noqa: S301 - our own file, in this user's own cache
    except Exception:  # noqa: BLE001 - a file of another time may raise anything at all
        return None
    return standing if found == mark and isinstance(standing, Standing) else None
