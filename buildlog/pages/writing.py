"""Free pages, as the builder wrote them."""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.basics.frozen import frozen
from buildlog.figures.figures import Figures
from buildlog.pages.sheet import Addresses, Link, Sheet, first_words
from buildlog.pages.words import Words
from buildlog.records.logbook import Logbook
from buildlog.records.prose import Prose
from buildlog.records.writings import Page


@frozen
class WritingView:
    """A free page."""

    title: str
    text: Prose
    others: tuple[Link, ...]


def writing_sheets(worked: Figures, words: Words, at: Addresses) -> Iterator[Sheet]:
    """Every page of pages/ but front.md, which is the front page's."""
    del words
    for page in worked.logbook.pages:
        if page.slug == "front":
            continue
        photo = next((one.target for one in page.prose.references if one.picture), "")
        yield Sheet(
            at.file(page.file),
            "page.html",
            page.facts.title,
            WritingView(page.facts.title, page.prose, _others(page, worked.logbook, at)),
            description=first_words(page.prose, 180),
            picture=page.facts.picture or photo,
            worked_from="the builder\u2019s own words",
            name=page.facts.title,
        )


def _others(page: Page, book: Logbook, at: Addresses) -> tuple[Link, ...]:
    """The other pages that want to be found."""
    found = [other for other in in_order(book) if other is not page]
    return tuple(Link(other.facts.title, at.file(other.file)) for other in found)


def in_order(book: Logbook) -> list[Page]:
    """The pages that want to be found, in the builder's order; front.md is the front page's."""
    pages = [page for page in book.pages if page.facts.menu and page.slug != "front"]
    return sorted(pages, key=lambda page: (page.facts.order is None, page.facts.order or 0, page.facts.title))
