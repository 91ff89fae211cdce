"""What is known of the time before the log and how, what is not, and the papers that show it."""

from __future__ import annotations

import re
from collections.abc import Container, Iterable
from typing import TYPE_CHECKING

from buildlog.basics.dates import HazyDate, read_hazy
from buildlog.basics.frozen import frozen
from buildlog.basics.problems import Misread
from buildlog.pages.sheet import Addresses, Link
from buildlog.pages.sources import Source, Sources
from buildlog.pages.words import Words
from buildlog.records.logbook import Logbook
from buildlog.records.registers import Fact, Question

if TYPE_CHECKING:
    from buildlog.figures.figures import Figures

WHOLE = ("aircraft", "airframe")
"""What facts are about when they are about no component."""
_SEASONS = {"21": "spring", "22": "summer", "23": "autumn", "24": "winter"}


@frozen
class Paper:
    """A picture or paper to look at.

    ``path`` is '' for a picture: the theme asks for its published name by its file.
    """

    words: str
    file: str
    path: str


@frozen
class FactRow:
    """Something known: what, of what, its value, when it was so, how it is known, and who says so."""

    what: str
    about: Link
    value: str
    when: str
    basis: str
    says: str
    papers: tuple[Paper, ...]


@frozen
class QuestionRow:
    """Something not known yet, or the entry that answered it."""

    key: str
    anchor: str
    about: Link
    ask: str
    would_settle: str
    answered: Source | None


class Papers:
    """The files this audience may open, each with the title that an entry gives it."""

    def __init__(self, book: Logbook, at: Addresses) -> None:
        self._titles = {paper.file: paper.title for entry in book.told() for paper in entry.facts.documents}
        self._files = book.files
        self._at = at

    def of(self, written: Iterable[str]) -> tuple[Paper, ...]:
        """Those of some files, each once, that may be opened."""
        found = []
        for file in dict.fromkeys(project_file(name) for name in written):
            if file in self._files:
                kind = "photo" if file.startswith("photos/") else "paper"
                found.append(Paper(self._titles.get(file, kind), file, self._at.file(file)))
        return tuple(found)


def facts_about(
    worked: Figures, words: Words, at: Addresses, papers: Papers, about: Container[str]
) -> tuple[FactRow, ...]:
    """What the history says about some things, in the order it is written."""
    book = worked.logbook
    return tuple(_fact(fact, book, words, at, papers) for fact in book.history.facts if fact.about in about)


def questions_about(sources: Sources, book: Logbook, at: Addresses, about: Container[str]) -> tuple[QuestionRow, ...]:
    """The questions about some things, those still open first."""
    asked = [question for question in book.history.questions if question.about in about]
    rows = [_question(question, sources.answer(question.key), book, at) for question in asked]
    return tuple(sorted(rows, key=lambda row: row.answered is not None))


def about_link(key: str, book: Logbook, at: Addresses) -> Link:
    """What a fact or finding is about, linked if it is a component."""
    part = book.components.get(key)
    return Link(part.name, at.component(key)) if part else Link(key, "")


def project_file(written: str) -> str:
    """A path as it counts from the project folder."""
    return re.sub(r"^(\.{1,2}/)+", "", written)


def is_file(written: str) -> bool:
    """Whether a tag's or paper's words are a file's path and not a number to read."""
    return project_file(written).startswith(("documents/", "photos/"))


def hazy_words(hazy: HazyDate, words: Words) -> str:
    """A date that may be uncertain, in words: ``about 2001``, ``autumn 2006``, ``1998 to 2003``."""
    first, slash, last = hazy.text.partition("/")
    if not slash:
        return _part_words(first.strip(), words)
    first, last = first.strip(), last.strip()
    if first in {"", ".."}:
        return f"no later than {_part_words(last, words)}"
    if last in {"", ".."}:
        return f"from {_part_words(first, words)} on"
    return f"{_part_words(first, words)} to {_part_words(last, words)}"


def _part_words(part: str, words: Words) -> str:
    doubt = {"~": "about ", "?": "perhaps ", "%": "perhaps about "}.get(part[-1:], "")
    plain = part.rstrip("~?%")
    return doubt + _calendar_words(plain, words)


def _calendar_words(plain: str, words: Words) -> str:
    year, _, rest = plain.partition("-")
    if rest in _SEASONS:
        return f"{_SEASONS[rest]} {year}"
    try:
        bounds = read_hazy(plain)
    except Misread:
        return plain
    first, last = bounds.earliest, bounds.latest
    if first is None or last is None:
        return plain
    if first == last:
        return words.day(first)
    return words.month(first) if rest and not rest.startswith("XX") else _years(year, first.year, last.year)


def _years(written: str, first: int, last: int) -> str:
    """A year, a decade as ``1990s``, or the years between two."""
    if written.endswith("X") and "X" not in written[:3]:
        return f"{written[:3]}0s"
    return str(first) if first == last else f"{first} to {last}"


def _fact(fact: Fact, book: Logbook, words: Words, at: Addresses, papers: Papers) -> FactRow:
    bounds = [(fact.value, ""), (fact.at_least, "at least "), (fact.at_most, "at most ")]
    value = ", ".join(said + text for text, said in bounds if text)
    when = hazy_words(fact.on, words) if fact.on else ""
    return FactRow(
        in_words(fact.quantity),
        about_link(fact.about, book, at),
        value,
        when,
        fact.basis,
        fact.says,
        papers.of(fact.evidence),
    )


def _question(question: Question, answered: Source | None, book: Logbook, at: Addresses) -> QuestionRow:
    return QuestionRow(
        question.key,
        anchor(question.key),
        about_link(question.about, book, at),
        question.ask,
        question.would_settle or "",
        answered,
    )


def in_words(key: str) -> str:
    """``time_since_new`` as ``Time since new``."""
    text = " ".join(key.replace("_", " ").split())
    return text[:1].upper() + text[1:]


def anchor(key: str) -> str:
    """A key as an anchor within a page; never the same as one of the page's own."""
    return "k-" + re.sub(r"\s+", "-", key.strip())
