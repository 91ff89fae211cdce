"""One page of a site ahead of all others: the one somebody is looking at while it is written."""

from __future__ import annotations

from pathlib import Path

from buildlog.basics.problems import Severity
from buildlog.compose import Prepared, renderer_of
from buildlog.figures.figures import figures
from buildlog.pages.frame import frame_of
from buildlog.pages.site_sheets import Sheets, photos, sheet_at
from buildlog.publish import Memory, reworded_pages
from buildlog.reading.read import read_logbook
from buildlog.records.audience import seen_by
from buildlog.site.pictures import Wanted, develop
from buildlog.site.prose import laid_out
from buildlog.site.theme import theme_of


def glimpse(root: Path, cache: Path, audience: str, path: str, memory: Memory) -> bytes | None:
    """One page of the site as the folder is now, ahead of everything else; None where that cannot be said so soon.

    Nothing is checked, and of the pictures only new ones are looked at: what `publish` says after it is what holds.
    """
    other_words = reworded_pages(root, cache, audience, memory)
    if other_words is not None:
        return other_words[0].get(path)
    reading = read_logbook(root, memory.texts, laid_out)
    theme = theme_of(root, reading.logbook.project.theme)
    if theme is None or any(problem.severity is Severity.ERROR for problem in reading.problems):
        return None
    seen = seen_by(reading.logbook, audience, memory.shown)
    worked, impossible = figures(seen)
    sheet = None if impossible else sheet_at(worked, path)
    if sheet is None:
        return None
    news = [Wanted(root / file, file) for file in photos(seen) if file not in memory.pictures]
    pictures, faults = develop(news, cache, cache, kind=seen.project.pictures.format) if news else ({}, [])
    known = {**memory.pictures, **pictures}
    ready = Prepared(root, cache, theme, worked, frame_of(worked), Sheets(worked), known)
    made, fault = renderer_of(ready, memory.pages).html(sheet)
    return made.content if isinstance(made.content, bytes) and not (fault or faults) else None
