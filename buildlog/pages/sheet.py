"""What every page has: its address, its template, its view; and the frame round it that all pages share."""

from __future__ import annotations

import posixpath
import re
from datetime import date
from typing import Any

from buildlog.basics.films import is_film
from buildlog.basics.frozen import frozen
from buildlog.basics.names import slug
from buildlog.records.entry import Entry
from buildlog.records.logbook import Logbook
from buildlog.records.prose import Prose


@frozen
class Link:
    """A link by its words and the path of its page from the site's folder."""

    words: str
    path: str


@frozen
class Tab:
    """A system's number and name, always both, linked to its sheet ('' if it has none)."""

    code: str
    name: str
    path: str


@frozen
class Photo:
    """A photo to show: the original's path in the project, with its words."""

    file: str
    caption: str = ""
    alt: str = ""


@frozen
class Sheet:
    """One page of the site: ``path`` from the site's folder, and a frozen view for the template of the theme."""

    path: str
    template: str
    title: str
    view: Any
    section: str = ""
    """The path of the menu's item that is current."""
    description: str = ""
    picture: str = ""
    """The photo (path in the project) for share cards."""
    worked_from: str = ""
    name: str = ""
    """What the title block calls this sheet."""
    updated: date | None = None
    listed: bool = True
    """Whether the sitemap names it."""


@frozen
class Group:
    """Items of the menu that belong together, and what they are called together."""

    name: str
    links: tuple[Link, ...]


@frozen
class Frame:
    """What all pages share."""

    title: str
    mark: str
    aircraft: str
    aircraft_mark: str
    language: str
    state_of: str
    worked_from: str
    groups: tuple[Group, ...]
    foot: tuple[Link, ...]
    cautions: tuple[str, ...]
    address: str = ""
    audience: str = "public"

    @property
    def menu(self) -> tuple[Link, ...]:
        """All items of the menu, one after the other."""
        return tuple(link for group in self.groups for link in group.links)


_PICTURES = (".jpg", ".jpeg", ".png", ".webp", ".heic", ".heif", ".gif", ".tif", ".tiff", ".bmp", ".avif")
CAUTIONS = (
    "This record approves nothing for flight.",
    "The aircraft is weighed before it flies; inspections and return to service are for those licensed to do them.",
    "The local authority\u2019s rules prevail.",
)


class Addresses:
    """Where each thing has its page. An entry's address comes from its file name and never changes with its words."""

    def __init__(self, logbook: Logbook) -> None:
        self._logbook = logbook
        self._tabs: dict[str, Tab] = {}
        self._entries = {entry.slug: self._entry(entry) for entry in logbook.told()}
        self._files = {entry.file: self._entries[entry.slug] for entry in logbook.told()}
        self._files |= {decision.file: f"decisions/{decision.slug}.html" for decision in logbook.decisions}
        self._files |= {page.file: self._page(page.slug) for page in logbook.pages}
        self._files |= paper_names(logbook)
        self._files |= {"loading.yaml": "weight.html", "components.yaml": "components.html"}

    def _entry(self, entry: Entry) -> str:
        """Without exact dates the day is not in the address either."""
        name = entry.slug
        day = re.match(r"\d{4}-\d{2}(-\d{2})-", name)
        if day and not self._logbook.sight.exact_dates:
            name = name[: day.start(1)] + name[day.end(1) :]
        return f"log/{name}.html"

    @staticmethod
    def _page(name: str) -> str:
        return "index.html" if name == "front" else f"pages/{name}.html"

    def entry(self, name: str) -> str:
        """An entry's page by its file's stem; '' where this audience has none."""
        return self._entries.get(name, "")

    def file(self, file: str) -> str:
        """The page made of a file of the project, or a paper that is no picture; '' where there is none.

        Pictures, papers among them, have names only the picture maker knows: templates ask ``picture(file)``.
        """
        return self._files.get(file, "")

    @staticmethod
    def system(key: str) -> str:
        """A system's sheet; '' for no system."""
        return f"systems/{slug(key)}.html" if key else ""

    @staticmethod
    def component(key: str) -> str:
        """A component's page."""
        return f"components/{slug(key)}.html"

    def tab(self, key: str) -> Tab:
        """A system's number and name."""
        if key not in self._tabs:
            system = self._logbook.system(key)
            self._tabs[key] = Tab(system.code, system.name, self.system(key))
        return self._tabs[key]


def is_picture(file: str) -> bool:
    """Whether a file is shown as a picture, by its ending, or as a film; a film among the papers stays a paper."""
    return file.lower().endswith(_PICTURES) or (is_film(file) and not file.startswith("documents/"))


def paper_names(logbook: Logbook) -> dict[str, str]:
    """The papers this audience may see that are no pictures, with the paths they are published under."""
    names: dict[str, str] = {}
    for file in sorted(logbook.files):
        if file.startswith("documents/") and not is_picture(file):
            stem, ending = posixpath.splitext(file.removeprefix("documents/"))
            name, number = f"documents/{slug(stem)}{ending.lower()}", 2
            while name in names.values():
                name, number = f"documents/{slug(stem)}-{number}{ending.lower()}", number + 1
            names[file] = name
    return names


def photos_of(entry: Entry) -> list[Photo]:
    """An entry's photos in the order they are met: those in the text, then those only listed."""
    listed = {line.file: line for line in entry.facts.photos}
    found: dict[str, Photo] = {}
    for reference in entry.prose.references:
        if reference.picture and reference.target and reference.target not in found:
            line = listed.get(reference.target)
            caption = reference.title or (line.caption if line else "") or ""
            found[reference.target] = Photo(
                reference.target, caption, reference.words or (line.alt if line else "") or ""
            )
    for file, line in listed.items():
        found.setdefault(file, Photo(file, line.caption or "", line.alt or line.caption or ""))
    return list(found.values())


def unplaced_photos(entry: Entry) -> list[Photo]:
    """The photos that the text does not place, for the end of the entry."""
    placed = {reference.target for reference in entry.prose.references if reference.picture}
    return [photo for photo in photos_of(entry) if photo.file not in placed]


def lead_photo(entry: Entry) -> Photo | None:
    """The photo that stands for the entry in lists: the one it names, else the first that is no film."""
    photos = photos_of(entry)
    chosen = next((photo for photo in photos if photo.file == entry.facts.picture), None)
    still = next((photo for photo in photos if not is_film(photo.file)), None)
    return chosen or still or (photos[0] if photos else None)


def first_words(prose: Prose, most: int = 200) -> str:
    """The first paragraph of a text as plain words, cut at a word."""
    words = prose.opening
    return words if len(words) <= most else words[:most].rsplit(" ", 1)[0].rstrip(",;:.") + " \u2026"
