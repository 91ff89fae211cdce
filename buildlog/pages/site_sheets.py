"""All pages of a site, in one visible list, and what they need beside them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import overload

from buildlog.figures.figures import Figures
from buildlog.pages.balance import balance_sheets
from buildlog.pages.components import component_sheets
from buildlog.pages.cost import cost_sheets
from buildlog.pages.decisions import decision_sheets
from buildlog.pages.directives import directive_sheets
from buildlog.pages.due import due_sheets
from buildlog.pages.entry import entry_sheets
from buildlog.pages.findings import finding_sheets
from buildlog.pages.front import front_sheets
from buildlog.pages.gallery import gallery_sheets
from buildlog.pages.hours import hours_sheets
from buildlog.pages.log import log_sheets
from buildlog.pages.notfound import notfound_sheets
from buildlog.pages.records import record_sheets
from buildlog.pages.sheet import Addresses, Sheet, is_picture, paper_names, photos_of
from buildlog.pages.signatures import signature_sheets
from buildlog.pages.systems import system_sheets
from buildlog.pages.weight import weight_sheets
from buildlog.pages.words import Words
from buildlog.pages.writing import writing_sheets
from buildlog.records.logbook import Logbook

SHEETS = (
    front_sheets,
    log_sheets,
    entry_sheets,
    system_sheets,
    cost_sheets,
    hours_sheets,
    weight_sheets,
    balance_sheets,
    component_sheets,
    finding_sheets,
    record_sheets,
    directive_sheets,
    signature_sheets,
    due_sheets,
    decision_sheets,
    gallery_sheets,
    writing_sheets,
    notfound_sheets,
)
"""Every kind of page."""


ON_PAPER = (
    entry_sheets,
    system_sheets,
    weight_sheets,
    balance_sheets,
    component_sheets,
    finding_sheets,
    record_sheets,
    directive_sheets,
    signature_sheets,
    due_sheets,
    decision_sheets,
)
"""The kinds whose views a printed document says the same from."""


@dataclass(frozen=True, order=True)
class Share:
    """Some of the pages: those of one kind, by its place in `SHEETS`, or one of several parts of them; or all."""

    kind: int = -1
    part: int = 0
    parts: int = 1


_HEAVIEST = (log_sheets, hours_sheets, weight_sheets, front_sheets, system_sheets, gallery_sheets, cost_sheets)
"""The kinds whose pages take longest, but for the entries' own."""
_PARTS = 8


class Sheets(Sequence[Sheet]):
    """All pages that this audience's logbook makes; a kind is made when it is first asked for.

    ``between`` is called before each page and may break it off.
    """

    def __init__(self, worked: Figures, between: Callable[[], None] = lambda: None) -> None:
        self._given = worked, Words(worked.logbook), Addresses(worked.logbook)
        self._between = between
        self._made: dict[str, tuple[Sheet, ...]] = {}

    @property
    def begun(self) -> bool:
        """Whether any page was made already."""
        return bool(self._made)

    def on_paper(self) -> list[Sheet]:
        """The pages whose views a printed document needs."""
        return [sheet for make in ON_PAPER for sheet in self._of(make)]

    @staticmethod
    def shares() -> list[Share]:
        """All pages in shares, those first that take longest; sorted they are in the order of the pages."""
        heavy = [Share(SHEETS.index(make)) for make in _HEAVIEST]
        entries = [Share(SHEETS.index(entry_sheets), part, _PARTS) for part in range(_PARTS)]
        kinds = [Share(number) for number, make in enumerate(SHEETS) if make not in (*_HEAVIEST, entry_sheets)]
        return [*heavy, *entries, *kinds]

    def of(self, share: Share) -> Iterator[Sheet]:
        """The pages of a share, made as they are asked for and not held."""
        if share == Share():
            return iter(self)
        make = SHEETS[share.kind]
        return entry_sheets(*self._given, part=(share.part, share.parts)) if share.parts > 1 else make(*self._given)

    def _of(self, make: Callable[..., Iterable[Sheet]]) -> tuple[Sheet, ...]:
        if make.__name__ not in self._made:
            sheets = []
            for sheet in make(*self._given):
                self._between()
                sheets.append(sheet)
            self._made[make.__name__] = tuple(sheets)
        return self._made[make.__name__]

    @cached_property
    def _all(self) -> list[Sheet]:
        return [sheet for make in SHEETS for sheet in self._of(make)]

    @overload
    def __getitem__(self, at: int) -> Sheet: ...
    @overload
    def __getitem__(self, at: slice) -> list[Sheet]: ...
    def __getitem__(self, at: int | slice) -> Sheet | list[Sheet]:
        return self._all[at]

    def __len__(self) -> int:
        return len(self._all)


def site_sheets(worked: Figures) -> list[Sheet]:
    """All pages that this audience's logbook makes."""
    return list(Sheets(worked))


def sheet_at(worked: Figures, path: str) -> Sheet | None:
    """The page at a path, made ahead of the others; None where there is none."""
    words, at = Words(worked.logbook), Addresses(worked.logbook)
    if path.startswith("log/"):
        return next(entry_sheets(worked, words, at, path), None)
    likely = sorted(SHEETS, key=lambda make: make.__name__[:3] != ("fro" if path == "index.html" else path[:3]))
    found = (sheet for make in likely if make is not entry_sheets for sheet in make(worked, words, at))
    return next((sheet for sheet in found if sheet.path == path), None)


def photos(logbook: Logbook) -> list[str]:
    """Every picture that the pages may show, each once: photos, and papers that are pictures."""
    wanted: dict[str, None] = {}
    for entry in logbook.told():
        wanted |= dict.fromkeys(photo.file for photo in photos_of(entry))
    for text in logbook.texts():
        wanted |= dict.fromkeys(reference.target for reference in text.prose.references if reference.picture)
    wanted |= dict.fromkeys(page.facts.picture for page in logbook.pages if page.facts.picture)
    wanted |= dict.fromkeys(part.photo for part in logbook.components.values() if part.photo)
    wanted |= dict.fromkeys(line.paper for entry in logbook.told() for line in entry.facts.signed if line.paper)
    wanted |= dict.fromkeys(file for fact in logbook.history.facts for file in fact.evidence)
    wanted |= dict.fromkeys(file for file in sorted(logbook.files) if file.startswith("documents/"))
    if logbook.sight.name != "public" and logbook.project.package.cover:
        wanted[logbook.project.package.cover] = None
    return [file for file in wanted if file in logbook.files and is_picture(file)]


def papers(logbook: Logbook) -> Mapping[str, str]:
    """The papers that are no pictures, by the names they are published under."""
    return {name: file for file, name in paper_names(logbook).items()}


def resolver(logbook: Logbook, pictures: Mapping[str, str]) -> Callable[[str], str | None]:
    """Where a text's link to a file of the project leads in the site; None where this audience may not follow it.

    ``pictures`` gives the published name of each picture.
    """
    at = Addresses(logbook)

    def resolve(file: str) -> str | None:
        return at.file(file) or pictures.get(file)

    return resolve
