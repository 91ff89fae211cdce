"""The page for an address that leads nowhere."""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.figures.figures import Figures
from buildlog.pages.sheet import Addresses, Sheet
from buildlog.pages.words import Words


def notfound_sheets(worked: Figures, words: Words, at: Addresses) -> Iterator[Sheet]:
    """404.html, which web hosts show for what is not there; the theme makes its links hold at any depth."""
    del worked, words, at
    yield Sheet("404.html", "notfound.html", "No such sheet", None, name="no such sheet", listed=False)
