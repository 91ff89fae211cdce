"""Where each line comes from: its day, its entry's title and page, or the ledgers from before the log."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from buildlog.basics.frozen import frozen
from buildlog.pages.sheet import Addresses
from buildlog.pages.words import Words
from buildlog.records.entry import Entry

if TYPE_CHECKING:
    from buildlog.figures.figures import Figures

LEDGER = "before the log"
"""What stands in place of an entry's title for a line of a ledger."""


@frozen
class Source:
    """The entry a line comes from; ``path`` is '' where there is no page to go to."""

    day: str
    title: str
    path: str


class Sources:
    """The entries of a record by their addresses."""

    def __init__(self, worked: Figures, words: Words, at: Addresses) -> None:
        self._entries = {entry.slug: entry for entry in worked.logbook.entries}
        self._answers = {key: entry for entry in reversed(worked.logbook.entries) for key in entry.facts.answers}
        self._words, self._at = words, at

    def entry(self, slug: str) -> Entry | None:
        """The entry at an address; None for a ledger's line."""
        return self._entries.get(slug)

    def of(self, slug: str, day: date) -> Source:
        """The source of a line that names its entry and its day."""
        entry = self._entries.get(slug)
        title = entry.facts.title if entry else LEDGER
        return Source(self._words.brief_day(day), title, self._at.entry(slug))

    def maybe(self, slug: str, day: date | None) -> Source | None:
        """The same, for what may not have happened yet."""
        return self.of(slug, day) if day is not None else None

    def answer(self, question: str) -> Source | None:
        """The first entry that answers a question; None while it is open."""
        entry = self._answers.get(question)
        return self.whole(entry) if entry else None

    def whole(self, entry: Entry) -> Source:
        """The source that an entry is as a whole."""
        return self.of(entry.slug, entry.day)
