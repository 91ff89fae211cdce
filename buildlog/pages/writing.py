"""Free pages, as the builder wrote them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from buildlog.figures.figures import Figures
from buildlog.pages.sheet import Addresses, Sheet, first_words
from buildlog.pages.words import Words
from buildlog.records.prose import Prose


@dataclass(frozen=True)
class WritingView:
    """A free page."""

    title: str
    text: Prose


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
            WritingView(page.facts.title, page.prose),
            description=first_words(page.prose, 180),
            picture=page.facts.picture or photo,
            worked_from="the builder\u2019s own words",
            name=page.facts.title,
        )
