"""All photos and films by month, each with the entry it belongs to; many photos have a page for each year."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from buildlog.basics.films import is_film
from buildlog.basics.frozen import frozen
from buildlog.basics.names import counted
from buildlog.figures.figures import Figures
from buildlog.pages.sheet import Addresses, Link, Photo, Sheet, photos_of
from buildlog.pages.words import Words
from buildlog.records.entry import Entry

LONGEST = 200
"""Photos on one page; more have a page for each year."""


@frozen
class EntryPhotos:
    """The photos of one entry."""

    day: str
    link: Link
    photos: tuple[Photo, ...]


@frozen
class MonthPhotos:
    """A month's photos, and how many they are."""

    name: str
    number: str
    entries: tuple[EntryPhotos, ...]


@frozen
class GalleryView:
    """All photos, or those of a year."""

    title: str
    summary: str
    years: tuple[Link, ...]
    months: tuple[MonthPhotos, ...]


def gallery_sheets(worked: Figures, words: Words, at: Addresses) -> Iterator[Sheet]:
    """The photos, newest month first, in the order of their entries within it."""
    files = worked.logbook.files
    shown = {
        entry.slug: tuple(photo for photo in photos_of(entry) if photo.file in files) for entry in worked.logbook.told()
    }
    entries = [entry for entry in worked.logbook.told() if shown[entry.slug]][::-1]
    years = sorted({entry.day.year for entry in entries}, reverse=True)
    long = sum(map(len, shown.values())) > LONGEST and len(years) > 1
    links = tuple(Link(str(year), _path(year, years)) for year in years) if long else ()
    for year in years if long else [0]:
        mine = [entry for entry in entries if not year or entry.day.year == year]
        title = f"Photos, {year}" if year else "Photos"
        number = _number([photo.file for entry in mine for photo in shown[entry.slug]])
        summary = f"{number} from {counted(len(mine), 'entry', 'entries')}. Newest month first."
        months = tuple(_months(mine, shown, words, at))
        stills = (photo.file for entry in mine for photo in shown[entry.slug] if not is_film(photo.file))
        lead = next(stills, "")
        yield Sheet(
            _path(year, years) if year else "photos.html",
            "gallery.html",
            title,
            GalleryView(title, summary, links, months),
            "photos.html",
            summary,
            lead,
            number,
            title.lower(),
            mine[0].day if mine else None,
        )


def _number(files: list[str]) -> str:
    """How many photos and films these are, each counted once, in words."""
    films = {file for file in files if is_film(file)}
    said = [counted(len({*files} - films), "photo")] if {*files} - films or not films else []
    return " and ".join(said + ([counted(len(films), "film")] if films else []))


def _path(year: int, years: list[int]) -> str:
    return "photos.html" if year == years[0] else f"photos-{year}.html"


def _months(
    entries: list[Entry], shown: dict[str, tuple[Photo, ...]], words: Words, at: Addresses
) -> Iterator[MonthPhotos]:
    for first, group in groupby(entries, key=lambda entry: entry.day.replace(day=1)):
        mine = tuple(
            EntryPhotos(words.short_day(entry.day), Link(entry.facts.title, at.entry(entry.slug)), shown[entry.slug])
            for entry in group
        )
        yield MonthPhotos(words.month(first), str(sum(len(one.photos) for one in mine)), mine)
