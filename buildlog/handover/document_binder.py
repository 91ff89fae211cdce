"""What every part of the document is made with: the desk of the pages, the views of the site, the prints, the fingerprints."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field
from functools import cached_property
from typing import Any, TypeVar

from buildlog.basics.films import is_film
from buildlog.basics.frozen import frozen
from buildlog.handover.document_nodes import Node, line, para
from buildlog.handover.prose_tree import Ways, tree
from buildlog.pages.balance import BalanceView
from buildlog.pages.component import ComponentView
from buildlog.pages.components import ComponentsView
from buildlog.pages.decisions import DecisionsView, DecisionView
from buildlog.pages.directives import DirectivesView
from buildlog.pages.due import DueView
from buildlog.pages.entry import EntryView
from buildlog.pages.findings import FindingsView
from buildlog.pages.lines import Desk
from buildlog.pages.records import RecordsView
from buildlog.pages.sheet import Photo, Sheet
from buildlog.pages.signatures import SignaturesView
from buildlog.pages.site_sheets import site_sheets
from buildlog.pages.system import SystemView
from buildlog.pages.systems import SystemsView
from buildlog.pages.weight import WeightView, WeightYearView
from buildlog.pages.weight_ledger import LedgerLine
from buildlog.records.prose import Prose
from buildlog.site.prints import Printed

View = TypeVar("View")


@frozen
class Attachment:
    """A file that travels inside the document; ``relationship`` as PDF/A-3 names it: source, data, supplement."""

    name: str
    content: bytes
    mime: str
    description: str
    relationship: str = "data"


@frozen
class Binder:
    """One record on its way to paper."""

    desk: Desk
    prints: Mapping[str, Printed] = field(default_factory=dict)
    """The print copies of photos and papers, by their originals' paths in the project."""
    digests: Mapping[str, str] = field(default_factory=dict)
    """SHA-256 of the originals, by their paths in the project."""
    fingerprint: str = ""
    """The package's own, as it stands in the foot of each page; '' where there is none."""
    attachments: Sequence[Attachment] = ()
    sheets: Sequence[Sheet] = ()
    """The pages of the site for this reader, where they are made already."""

    @cached_property
    def _sheets(self) -> dict[str, Any]:
        """The views of the site that the document says the same from, by their paths."""
        return {sheet.path: sheet.view for sheet in self.sheets or site_sheets(self.desk.worked)}

    @property
    def balance(self) -> BalanceView:
        """Balance and loading."""
        return self._view("balance.html", BalanceView)

    @property
    def weight(self) -> WeightView:
        """Weight."""
        return self._view("weight.html", WeightView)

    @property
    def ledger(self) -> Sequence[LedgerLine]:
        """Every change and every weighing, also where the site has them on a page for each year."""
        years = [self._view(link.path, WeightYearView) for link in self.weight.pages if link.path != "weight.html"]
        return [line for year in years for line in year.ledger] or self.weight.ledger

    @property
    def components(self) -> ComponentsView:
        """The register."""
        return self._view("components.html", ComponentsView)

    @property
    def findings(self) -> FindingsView:
        """All findings."""
        return self._view("findings.html", FindingsView)

    @property
    def systems(self) -> SystemsView:
        """The table of systems, and what is known of the aircraft as a whole."""
        return self._view("systems.html", SystemsView)

    @property
    def decisions(self) -> DecisionsView:
        """The list of decisions."""
        return self._view("decisions.html", DecisionsView)

    @property
    def records(self) -> RecordsView | None:
        """What rules ask of the records; None where no page says so."""
        return self._perhaps("records.html", RecordsView)

    @property
    def signatures(self) -> SignaturesView | None:
        """What was signed; None where nothing was, and nothing wants it."""
        return self._perhaps("signatures.html", SignaturesView)

    @property
    def directives(self) -> DirectivesView | None:
        """Directives and bulletins; None where none was considered."""
        return self._perhaps("directives.html", DirectivesView)

    @property
    def due(self) -> DueView | None:
        """What falls due; None where nothing does."""
        return self._perhaps("due.html", DueView)

    def component(self, key: str) -> ComponentView:
        """One component."""
        return self._view(self.desk.at.component(key), ComponentView)

    def system(self, key: str) -> SystemView | None:
        """One system; None for one that has no sheet."""
        found = self._sheets.get(self.desk.at.system(key))
        return found if isinstance(found, SystemView) else None

    def entry(self, path: str) -> EntryView:
        """The entry that has its page there."""
        return self._view(path, EntryView)

    def decision(self, path: str) -> DecisionView:
        """The decision that has its page there."""
        return self._view(path, DecisionView)

    def _perhaps(self, path: str, kind: type[View]) -> View | None:
        return self._view(path, kind) if path in self._sheets else None

    def _view(self, path: str, kind: type[View]) -> View:
        view = self._sheets[path]
        assert isinstance(view, kind)  # noqa: S101 - each path has one kind of view
        return view

    def text(self, prose: Prose, level: int, about: str) -> list[Node]:
        """A text as blocks; ``about`` says what its photos show where nothing else does."""
        films: list[Node] = []

        def photo(file: str, alternative: str, caption: str) -> Node | None:
            shown = Photo(file, caption, alternative)
            films.extend(self._films([shown]))
            return self.photo(shown, about)

        return [*tree(prose, Ways(self._target, photo), level), *films]

    def _target(self, href: str) -> str:
        file, _, _ = href.partition("#")
        return self.paper(file) or self.desk.at.file(file)

    def paper(self, file: str) -> str:
        """Where a paper stands in the list of documents; '' for what is no paper this reader may see."""
        listed = file.startswith("documents/") and file in self.desk.worked.logbook.files
        return f"file {file}" if listed else ""

    def photo(self, photo: Photo, about: str) -> Node | None:
        """A photo with its words; None where there is no print of it."""
        print_ = self.prints.get(photo.file)
        if print_ is None or photo.file not in self.desk.worked.logbook.files:
            return None
        alternative = photo.alt or photo.caption or f"Photo: {about}"
        return {
            "path": f"/pictures/{print_.path.name}",
            "width": print_.width,
            "height": print_.height,
            "alt": " ".join(alternative.split()),
            "c": line(_film(photo) if is_film(photo.file) else photo.caption),
            "t": "photo",
        }

    def photos(self, shown: Sequence[Photo], about: str) -> list[Node]:
        """Photos in rows, and a line for each film of which there is no frame; nothing for none."""
        made = [node for photo in shown if (node := self.photo(photo, about))]
        return ([{"t": "photos", "c": made}] if made else []) + self._films(shown)

    def _films(self, shown: Sequence[Photo]) -> list[Node]:
        """A line for each film of which there is no frame to print."""
        files = self.desk.worked.logbook.files
        films = [one for one in shown if is_film(one.file) and one.file in files and one.file not in self.prints]
        return [para(_film(one), kind="note") for one in films]


def _film(film: Photo) -> str:
    """What stands for a film on paper: where it is in the package, and its words."""
    return f"Film, originals/{film.file}" + (f": {film.caption or film.alt}" if film.caption or film.alt else "")
