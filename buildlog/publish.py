"""The whole job on one screen: text, records, checks, figures, pages, files."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from buildlog.basics.problems import Place, Problem, Severity, in_order
from buildlog.check import check
from buildlog.figures.figures import Figures, figures
from buildlog.pages.due import CALENDAR, due_events
from buildlog.pages.feed import news
from buildlog.pages.frame import frame_of
from buildlog.pages.sheet import Frame, Sheet
from buildlog.pages.site_sheets import Sheets, papers, photos, resolver, sheet_at
from buildlog.pages.words import Words
from buildlog.reading.memory import Memory as Texts
from buildlog.reading.read import Reading, read_logbook
from buildlog.records.audience import Shown, seen_by
from buildlog.records.logbook import Logbook
from buildlog.records.pictures import pictures_of
from buildlog.site.calendar import Day, calendar
from buildlog.site.faults import Fault
from buildlog.site.feed import Item, atom, sitemap
from buildlog.site.folder import Delivered, Staged, deliver
from buildlog.site.kept_pages import KeptPages
from buildlog.site.pictures import Picture, Size, Wanted, develop
from buildlog.site.prints import cards
from buildlog.site.prose import laid_out
from buildlog.site.render import Renderer
from buildlog.site.theme import Theme, theme_of

Progress = Callable[[int, int], None]
CONTENT = (
    "log",
    "photos",
    "documents",
    "pages",
    "decisions",
    "ledgers",
    "themes",
    "components",
    "history",
    "plan",
    "directives",
    "checks",
    "loading",
)
"""Folders of a project that no site may be written into."""


@dataclass(frozen=True)
class Published:
    """What publishing did: the problems found, and what was delivered (None when errors kept it from being made)."""

    reading: Reading
    problems: tuple[Problem, ...]
    delivered: Delivered | None
    pages: int = 0
    pictures: int = 0
    notes: tuple[str, ...] = ()
    target: Path = Path()

    @property
    def failed(self) -> bool:
        """Whether nothing was published."""
        return self.delivered is None or bool(self.delivered.faults)


@dataclass
class Memory:
    """What one run leaves to the next one in the same process."""

    texts: Texts = field(default_factory=Texts)
    shown: Shown = field(default_factory=Shown)
    pages: KeptPages = field(default_factory=KeptPages)
    pictures: dict[str, Picture] = field(default_factory=dict)
    between: Callable[[], None] = lambda: None
    """Called many times in a run, before anything is delivered; what it raises breaks the run off."""


@dataclass(frozen=True)
class Prepared:
    """What the pages for one audience are made from: its figures, the views, and the pictures ready in the cache."""

    root: Path
    cache: Path
    theme: Theme
    worked: Figures
    frame: Frame
    sheets: Sequence[Sheet]
    pictures: Mapping[str, Picture]


@dataclass(frozen=True)
class Composed:
    """A site for one audience: all its files, and what is to be said of them."""

    staged: Staged
    notes: tuple[str, ...] = ()


def publish(
    root: Path,
    target: Path | None,
    cache: Path,
    audience: str = "public",
    progress: Progress | None = None,
    memory: Memory | None = None,
) -> Published:
    """The site of a project for an audience, made aside and moved into ``target`` (None: where project.yaml says).

    Errors in the content stop it before anything is touched. With the ``memory`` of the run before, in the same process,
    only what changed is read and made again.
    """
    memory = memory or Memory()
    reading, _, problems = check(root, audience=audience, texts=memory.texts, lay=laid_out, between=memory.between)
    target = target or (root / (reading.logbook.project.site or "site")).resolve()
    theme = theme_of(root, reading.logbook.project.theme)
    if theme is None:
        problems.append(no_theme(reading.logbook))
    if theme is None or any(problem.severity is Severity.ERROR for problem in problems):
        return Published(reading, tuple(in_order(problems)), None)

    ready, faults = prepare(root, reading.logbook, audience, theme, cache, progress, memory.between)
    memory.pictures = dict(ready.pictures)
    made, more = compose(ready, memory.pages, memory.between)
    problems += faults + more
    if any(problem.severity is Severity.ERROR for problem in problems):
        return Published(reading, tuple(in_order(problems)), None)
    delivered = deliver(made.staged, target, [root / name for name in CONTENT])
    counts = len(ready.sheets), len(ready.pictures)
    return Published(reading, tuple(in_order(problems)), delivered, *counts, made.notes, target)


def prepare(
    root: Path,
    logbook: Logbook,
    audience: str,
    theme: Theme,
    cache: Path,
    progress: Progress | None = None,
    between: Callable[[], None] = lambda: None,
    *,
    paper_first: bool = False,
) -> tuple[Prepared, list[Problem]]:
    """Everything that pages for an audience are made from, and the pictures that cannot be used.

    With ``paper_first`` only the views that a document is printed from are made already.
    """
    seen = seen_by(logbook, audience)
    worked, _ = figures(seen)
    sheets = Sheets(worked, between)
    wanted = [Wanted(root / file, file) for file in photos(seen, sheets.on_paper() if paper_first else sheets)]
    pictures, faults = develop(wanted, cache, cache, progress, kind=seen.project.pictures.format)
    ready = Prepared(root, cache, theme, worked, frame_of(worked), sheets, pictures)
    named = pictures_of(seen)
    return ready, [_problem(fault, named.get(fault.shown)) for fault in faults]


def compose(
    ready: Prepared, kept: KeptPages | None = None, between: Callable[[], None] = lambda: None
) -> tuple[Composed, list[Problem]]:
    """Every file of a site, delivered nowhere yet, and what stood in the way of its pages."""
    seen, staged, problems = ready.worked.logbook, Staged(), list[Problem]()
    carded = (
        cards(ready.pictures, (sheet.picture for sheet in ready.sheets), ready.cache) if ready.frame.address else {}
    )
    kept = kept or KeptPages()
    renderer = _renderer(ready, kept, carded)
    for sheet in ready.sheets:
        between()
        content, fault = renderer.html(sheet)
        problems += [_problem(fault)] if fault else []
        staged.write(sheet.path, content)
    kept.forget({sheet.path for sheet in ready.sheets})
    notes = _beside_the_pages(staged, ready.worked, ready.frame, ready.sheets)
    for size in (*(size for made in ready.pictures.values() for size in made.files), *carded.values()):
        staged.place(size.name, ready.cache / size.name, named_by_content=True)
    for name, file in papers(seen).items():
        staged.place(name, ready.root / file)
    for name, path in ready.theme.assets.items():
        staged.place(name, path)
    return Composed(staged, tuple(notes)), problems


def _renderer(ready: Prepared, kept: KeptPages, carded: Mapping[str, Size]) -> Renderer:
    opened = {file: made.files[0].name for file, made in ready.pictures.items()}
    environment = kept.environment(ready.theme, ready.cache)
    resolve = resolver(ready.worked.logbook, opened)
    return Renderer(environment, ready.frame, ready.pictures, resolve, carded, kept)


def glimpse(root: Path, cache: Path, audience: str, path: str, memory: Memory) -> bytes | None:
    """One page of the site as the folder is now, ahead of everything else; None where that cannot be said so soon.

    Nothing is checked, and of the pictures only new ones are looked at: what `publish` says after it is what holds.
    """
    reading = read_logbook(root, memory.texts, laid_out)
    theme = theme_of(root, reading.logbook.project.theme)
    if theme is None or any(problem.severity is Severity.ERROR for problem in reading.problems):
        return None
    seen = seen_by(reading.logbook, audience, memory.shown)
    worked, impossible = figures(seen)
    sheet = None if impossible else sheet_at(worked, path)
    if sheet is None:
        return None
    news = [Wanted(root / file, file) for file in photos(seen, [sheet]) if file not in memory.pictures]
    pictures, faults = develop(news, cache, cache, kind=seen.project.pictures.format) if news else ({}, [])
    ready = Prepared(root, cache, theme, worked, frame_of(worked), (sheet,), {**memory.pictures, **pictures})
    carded = cards(ready.pictures, [sheet.picture], cache) if ready.frame.address else {}
    content, fault = _renderer(ready, memory.pages, carded).html(sheet)
    return None if fault or faults else content


def _beside_the_pages(staged: Staged, worked: Figures, frame: Frame, sheets: Sequence[Sheet]) -> list[str]:
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
    staged.write(
        "sitemap.xml", sitemap(frame.address, [(sheet.path, sheet.updated) for sheet in sheets if sheet.listed])
    )
    return []


def no_theme(logbook: Logbook) -> Problem:
    """That the theme a project asks for is nowhere."""
    return Problem(
        Place("project.yaml"),
        "no-such-theme",
        f"there is no theme {logbook.project.theme!r}",
        "use  theme: hangar , or put one under themes/",
    )


def _problem(fault: Fault, named: Place | None = None) -> Problem:
    """A fault of the picture or page makers as a problem of the line that names the file, else of the file itself."""
    if named:
        return Problem(named, "cannot-use", f"{fault.shown}: {fault.words}", fault.remedy)
    file, _, line = fault.shown.partition(":")
    return Problem(Place(file, int(line) if line.isdigit() else 0), "cannot-use", fault.words, fault.remedy)
