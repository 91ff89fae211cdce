"""The newest entries, as the feed tells them."""

from __future__ import annotations

from datetime import date

from buildlog.basics.frozen import frozen
from buildlog.figures.figures import Figures
from buildlog.pages.sheet import Addresses, first_words

MOST = 30


@frozen
class News:
    """An entry of the feed: its address, by which it is known for ever, its title, day and first words."""

    path: str
    title: str
    day: date
    summary: str


def news(worked: Figures) -> list[News]:
    """The newest entries, newest first."""
    at = Addresses(worked.logbook)
    newest = list(worked.logbook.told())[: -MOST - 1 : -1]
    return [
        News(at.entry(entry.slug), entry.facts.title, entry.day, entry.facts.summary or first_words(entry.prose, 280))
        for entry in newest
    ]
