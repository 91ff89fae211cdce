"""The second half of publishing: the pages for one audience and everything beside them, delivered nowhere yet."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping, Sequence
from dataclasses import field
from datetime import date
from pathlib import Path
from pickle import dumps

from buildlog.basics.beside import FEW, can_be, shared_out
from buildlog.basics.collecting import collected_anew
from buildlog.basics.frozen import frozen
from buildlog.basics.problems import Place, Problem
from buildlog.figures.figures import Figures
from buildlog.packing import packed
from buildlog.pages.due import CALENDAR, due_events
from buildlog.pages.feed import news
from buildlog.pages.frame import frame_of
from buildlog.pages.sheet import Frame, Sheet
from buildlog.pages.site_sheets import Share, Sheets, papers, photos, resolver
from buildlog.pages.words import Words
from buildlog.records.logbook import Logbook
from buildlog.records.pictures import pictures_of
from buildlog.site.calendar import Day, calendar
from buildlog.site.faults import Fault
from buildlog.site.feed import Item, atom, sitemap
from buildlog.site.kept_pages import KeptPages
from buildlog.site.pages_before import Origin, PagesBefore
from buildlog.site.pictures import Developing, Picture, Size, Wanted
from buildlog.site.prints import cards
from buildlog.site.render import Renderer
from buildlog.site.staged import Staged
from buildlog.site.theme import Theme
from buildlog.site.workshop import AsItWas, Workshop

Progress = Callable[[int, int], None]


@frozen
class Prepared:
    """What the pages for one audience are made from: its figures, the views, and the pictures ready in the cache."""

    root: Path
    cache: Path
    theme: Theme
    worked: Figures
    frame: Frame
    sheets: Sheets
    pictures: Mapping[str, Picture]


@frozen
class PageMade:
    """A page of the site: its content, the file it lies in or that it is as it was; and what else is to be known of it.

    ``packed`` is the page before its template and the answers to what it asked, where it shows ``texts`` of the project;
    ``cards`` are the share cards.
    """

    path: str
    content: bytes | Path | AsItWas
    updated: date | None
    listed: bool
    texts: tuple[str, ...]
    packed: tuple[bytes, bytes]
    cards: tuple[Size, ...]
    fault: Fault | None
    origin: Origin | None = None


@frozen
class Composed:
    """A site for one audience: all its files, its pages, and what is to be said of them."""

    staged: Staged
    pages: Sequence[PageMade] = ()
    notes: tuple[str, ...] = ()


def looked_up(root: Path, worked: Figures, cache: Path) -> Developing:
    """The pictures that pages of these figures show; only those are ready that were made before."""
    seen, base = worked.logbook, f"{root}{os.sep}"
    wanted = [Wanted(base + file.replace("/", os.sep), file) for file in photos(seen)]
    return Developing(wanted, cache, cache, seen.project.pictures.format)


def prepare(
    root: Path,
    worked: Figures,
    theme: Theme,
    cache: Path,
    progress: Progress | None = None,
    between: Callable[[], None] = lambda: None,
    developing: Developing | None = None,
) -> tuple[Prepared, list[Problem]]:
    """Everything that pages are made from that tell these figures, and the pictures that cannot be used.

    The pictures may have been looked up before.
    """
    pictures, faults = (developing or looked_up(root, worked, cache)).finish(progress)
    ready = Prepared(root, cache, theme, worked, frame_of(worked), Sheets(worked, between), pictures)
    named = pictures_of(worked.logbook) if faults else {}
    return ready, [problem_of(fault, named.get(fault.shown)) for fault in faults]


def compose(
    ready: Prepared,
    kept: KeptPages | None = None,
    between: Callable[[], None] = lambda: None,
    laid: Workshop | None = None,
    beside: bool | None = None,
    before: PagesBefore | None = None,
) -> tuple[Composed, list[Problem]]:
    """Every file of a site, and what stood in the way of its pages.

    With ``kept`` the pages of the last run in this process are made again only where something changed; without, pages
    are laid down as they are made, with a copy of this process if ``beside`` (left out: for many, where that can be);
    those that the site holds from ``before`` are not made.
    """
    pages = _pages(ready, renderer_of(ready, kept, before), between, laid, beside)
    if kept:
        kept.forget({page.path for page in pages})
    seen, staged = ready.worked.logbook, Staged()
    for page in pages:
        if isinstance(page.content, bytes):
            staged.write(page.path, page.content)
        elif isinstance(page.content, Path):
            staged.aside(page.path, page.content)
        else:
            staged.as_it_was(page.path, page.content)
    notes = _beside_the_pages(staged, ready.worked, ready.frame, pages)
    carded = dict.fromkeys(size for page in pages for size in page.cards)
    for size in (*(size for made in ready.pictures.values() for size in made.files), *carded):
        staged.place(size.name, f"{ready.cache}{os.sep}{size.name}", named_by_content=True)
    for name, file in papers(seen).items():
        staged.place(name, ready.root / file)
    for name, path in ready.theme.assets.items():
        staged.place(name, path)
    return Composed(staged, pages, tuple(notes)), [problem_of(page.fault) for page in pages if page.fault]


def _pages(
    ready: Prepared,
    renderer: Renderer,
    between: Callable[[], None],
    laid: Workshop | None,
    beside: bool | None,
) -> list[PageMade]:
    """All pages in the order of the site's kinds, by one process or two."""
    if renderer.kept or laid is None:
        return [_page(sheet, renderer, between) for sheet in ready.sheets]
    many = beside or len(ready.worked.logbook.entries) > FEW
    shares = ready.sheets.shares() if many and not ready.sheets.begun else [Share()]

    def made(share: Share) -> list[PageMade]:
        return [_page(sheet, renderer, between, laid) for sheet in ready.sheets.of(share)]

    with collected_anew():  # templates leave circles behind, a page's worth for each
        found = shared_out(shares, made, beside=can_be() if beside is None else beside)
    in_order = sorted(zip(shares, found, strict=True), key=lambda pair: pair[0])
    return [page for _, pages in in_order for page in pages]


def _page(sheet: Sheet, renderer: Renderer, between: Callable[[], None], laid: Workshop | None = None) -> PageMade:
    between()
    made, fault = renderer.html(sheet)
    content = laid.lay(sheet.path, made.content) if laid and isinstance(made.content, bytes) else made.content
    shown = tuple(size for (sort, _), size in made.answers.items() if sort == "card" and isinstance(size, Size))
    texts, held, origin = tuple(made.packed.texts) if made.packed else (), (b"", b""), None
    if made.packed and texts:
        held = made.packed.sheet, dumps(dict(zip(made.answers, renderer.said.of(made.answers), strict=True)))
    if made.packed and renderer.before:
        origin = renderer.before.origin(made.packed, made.answers, renderer.said)
    return PageMade(sheet.path, content, sheet.updated, sheet.listed, texts, held, shown, fault, origin)


def renderer_of(ready: Prepared, kept: KeptPages | None, before: PagesBefore | None = None) -> Renderer:
    """What turns the views into pages."""
    opened = {file: made.files[0].name for file, made in ready.pictures.items()}
    environment = kept.environment(ready.theme, ready.cache) if kept else ready.theme.environment(ready.cache)
    carded = Cards(ready.pictures, ready.cache if ready.frame.address else None)
    return Renderer(
        environment,
        ready.frame,
        ready.pictures,
        resolver(ready.worked.logbook, opened),
        carded.get,
        kept,
        packed,
        before,
    )


@frozen
class Cards:
    """The JPEGs for share cards, made when a page asks; none without a ``cache``, where a site has no address."""

    pictures: Mapping[str, Picture]
    cache: Path | None
    _made: dict[str, Size | None] = field(default_factory=dict)

    def get(self, file: str) -> Size | None:
        """The card of a picture; its name counts from the site's folder."""
        if self.cache is not None and file not in self._made:
            self._made[file] = cards(self.pictures, [file], self.cache).get(file)
        return self._made.get(file)


def _beside_the_pages(staged: Staged, worked: Figures, frame: Frame, pages: Sequence[PageMade]) -> list[str]:
    """The feed and, where the project says what its address is, the sitemap."""
    items = [Item(item.path, item.title, item.day, item.summary, item.path) for item in news(worked)]
    updated = items[0].updated if items else date(1970, 1, 1)
    seed = f"{frame.mark} {worked.logbook.project.aircraft.type}"
    staged.write(
        "feed.xml",
        atom(frame.title, frame.address or None, "feed.xml", seed, updated, frame.mark or frame.title, items),
    )
    days = [Day(one.key, one.day, one.summary, one.description) for one in due_events(worked, Words(worked.logbook))]
    if days and worked.on is not None:
        staged.write(CALENDAR, calendar(f"{frame.title}: falling due", seed, worked.on, days))
    if not frame.address:
        return ["no sitemap: project.yaml gives no  address:"]
    staged.write("sitemap.xml", sitemap(frame.address, [(page.path, page.updated) for page in pages if page.listed]))
    return []


def no_theme(logbook: Logbook) -> Problem:
    """That the theme a project asks for is nowhere."""
    return Problem(
        Place("project.yaml"),
        "no-such-theme",
        f"there is no theme {logbook.project.theme!r}",
        "use  theme: hangar , or put one under themes/",
    )


def problem_of(fault: Fault, named: Place | None = None) -> Problem:
    """A fault of the picture or page makers as a problem of the line that names the file, else of the file itself."""
    if named:
        return Problem(named, "cannot-use", f"{fault.shown}: {fault.words}", fault.remedy)
    file, _, line = fault.shown.partition(":")
    return Problem(Place(file, int(line) if line.isdigit() else 0), "cannot-use", fault.words, fault.remedy)
