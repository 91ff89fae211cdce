"""The whole job on one screen: text, records, checks, figures, pages, files."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from buildlog.basics.beside import FEW, both, can_be
from buildlog.basics.frozen import frozen
from buildlog.basics.problems import Problem, Severity, in_order
from buildlog.reading.memory import Memory as Texts
from buildlog.reading.read import Reading, read_logbook
from buildlog.records.audience import Shown, seen_by
from buildlog.records.logbook import Logbook
from buildlog.site.alone import alone
from buildlog.site.faults import Fault
from buildlog.site.folder import Delivered, deliver, exchange
from buildlog.site.kept_pages import KeptPages
from buildlog.site.prose import laid_out
from buildlog.site.workshop import Workshop
from buildlog.still import Listing, listing

if TYPE_CHECKING:
    from buildlog.compose import Composed, Prepared, Progress
    from buildlog.figures.figures import Figures
    from buildlog.reworded import Standing
    from buildlog.site.pages_before import PagesBefore
    from buildlog.site.pictures import Developing, Picture

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


@frozen
class Published:
    """What publishing did: the problems found, and what was delivered (None when errors kept it from being made)."""

    reading: Reading
    problems: tuple[Problem, ...]
    delivered: Delivered | None
    pages: int = 0
    pictures: int = 0
    notes: tuple[str, ...] = ()
    target: Path = Path()
    standing: Standing | None = None
    """What is needed to change the words of its texts alone."""

    @property
    def failed(self) -> bool:
        """Whether nothing was published."""
        return self.delivered is None or bool(self.delivered.faults)


@dataclass
class Last:
    """The last publication of a process, and the files that it was made from."""

    published: Published
    files: Listing


@dataclass
class Memory:
    """What one run leaves to the next one; ``pages`` and ``last`` only in a process that will publish again."""

    texts: Texts = field(default_factory=Texts)
    shown: Shown = field(default_factory=Shown)
    pages: KeptPages | None = field(default_factory=KeptPages)
    pictures: dict[str, Picture] = field(default_factory=dict)
    last: Last | None = None
    before: PagesBefore | None = None
    """What is known from another process of the pages that lie in the site."""
    write_down: Callable[[Standing], None] = lambda _: None
    """Called, maybe in a copy of this process, with how the site stands once its pages are delivered."""
    between: Callable[[], None] = lambda: None
    """Called many times in a run, before anything is delivered; what it raises breaks the run off."""


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
    memory = memory or Memory(pages=None)
    if memory.last is not None and target not in (None, memory.last.published.target):
        memory.last = None  # what is remembered is another site
    again = _reworded(root, cache, audience, memory)
    if again is not None:
        return again
    files = listing(root, target or root / "site", cache) if memory.pages is not None else None
    done = _whole(root, target, cache, audience, progress, memory)
    if files is not None and not done.failed:
        memory.last = Last(done, files)
    return done


def _whole(
    root: Path, target: Path | None, cache: Path, audience: str, progress: Progress | None, memory: Memory
) -> Published:
    """Everything read and worked out."""
    reading = read_logbook(root, memory.texts, laid_out, _load)
    memory.between()
    from buildlog.compose import compose, no_theme, prepare
    from buildlog.site.theme import theme_of

    target = target or (root / (reading.logbook.project.site or "site")).resolve()
    theme = theme_of(root, reading.logbook.project.theme)
    problems, worked, developing = _checked(root, cache, reading, audience, memory)
    reading = reading.lean({problem.place.file for problem in problems})
    if theme is None:
        problems.append(no_theme(reading.logbook))
    if theme is None or _stopped(problems):
        return Published(reading, tuple(in_order(problems)), None)

    ready, faults = prepare(root, worked, theme, cache, progress, memory.between, developing)
    del developing  # and the index of the picture cache
    memory.pictures = dict(ready.pictures)
    problems += faults
    before = memory.before
    if before:
        before.load(target, theme, ready.frame)
    with _workshop(cache, target, memory) as laid:
        try:
            made, more = compose(ready, memory.pages, memory.between, laid, before=before)
        except OSError as error:
            return Published(reading, tuple(in_order(problems)), Delivered(faults=(_no_room(error),)))
        problems += more
        if _stopped(problems):
            return Published(reading, tuple(in_order(problems)), None)
        found = tuple(in_order(problems))
        standing = _standing(reading.logbook, ready, found, made, memory.texts)

        def delivered_now() -> Delivered:
            return deliver(made.staged, target, [root / name for name in CONTENT])

        # What later runs can spare themselves is written down by a copy while this process delivers.
        apart = memory.pages is None and len(reading.logbook.entries) > FEW and can_be()
        _, delivered = both(lambda: memory.write_down(standing), delivered_now, beside=apart)
    if before and not delivered.faults:
        before.keep((page.path, page.origin) for page in made.pages if page.origin)
    return Published(reading, found, delivered, len(made.pages), len(ready.pictures), made.notes, target, standing)


def _load() -> None:
    """Loads what is needed after reading, while another process begins to read."""
    import buildlog.audit.run
    import buildlog.compose  # noqa: F401 - see above


def _checked(
    root: Path, cache: Path, reading: Reading, audience: str, memory: Memory
) -> tuple[list[Problem], Figures, Developing | None]:
    """All problems of a record, and the figures of what the audience may see of it; both at once for a long one.

    Then the pictures that are ready are looked up meanwhile as well.
    """
    from buildlog.audit.run import audit
    from buildlog.compose import looked_up
    from buildlog.figures.figures import figures

    beside = memory.pages is None and len(reading.logbook.entries) > FEW and can_be()

    def problems() -> list[Problem]:
        worked, impossible = figures(reading.logbook)
        return in_order([*reading.problems, *impossible, *audit(worked, audience, None, memory.between)])

    def seen() -> tuple[Figures, Developing | None]:
        worked, _ = figures(seen_by(reading.logbook, audience, memory.shown))
        return worked, looked_up(root, worked, cache) if beside else None

    found, (worked, developing) = both(problems, seen, beside=beside)
    return found, worked, developing


def _stopped(problems: list[Problem]) -> bool:
    return any(problem.severity is Severity.ERROR for problem in problems)


@contextmanager
def _workshop(cache: Path, target: Path, memory: Memory) -> Iterator[Workshop | None]:
    """Where pages lie while they are made; none where they are held for the next run, or another run is using it."""
    if memory.pages is not None or not _can_be(cache / "pages"):
        yield None
        return
    with alone(cache / "pages") as free:
        yield Workshop(cache / "pages", target) if free else None


def _can_be(folder: Path) -> bool:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError:
        return False
    return True


def _no_room(error: OSError) -> Fault:
    where = error.filename2 or error.filename or ""
    words = f"the pages could not be made ({error.strerror or error}: {where})"
    return Fault("the site", words, "see whether the disk has room and that you may write there, then publish again")


def _standing(book: Logbook, ready: Prepared, problems: tuple[Problem, ...], made: Composed, texts: Texts) -> Standing:
    from buildlog.reworded import standing_of

    pages = ((page.path, page.packed, page.texts) for page in made.pages if page.texts)
    return standing_of(book, ready.worked.logbook, problems, ready.frame, pages, texts)


def _reworded(root: Path, cache: Path, audience: str, memory: Memory) -> Published | None:
    """The publication that is there with other words in some of its texts, where no more than these changed."""
    pages = reworded_pages(root, cache, audience, memory)
    last = memory.last
    if pages is None or last is None:
        return None
    changed, files = pages
    delivered = exchange(changed, last.published.target)
    if delivered is None:
        return None
    made = last.published.delivered
    whole = {*made.written, *made.unchanged} if made else set()
    unchanged = tuple(sorted(whole - {*delivered.written}))
    memory.last = Last(replace(last.published, delivered=replace(delivered, unchanged=unchanged)), files)
    return memory.last.published


def reworded_pages(root: Path, cache: Path, audience: str, memory: Memory) -> tuple[dict[str, bytes], Listing] | None:
    """The pages that show other words since the last run in this process, if only words changed; and the files as they are."""
    last = memory.last
    standing = last.published.standing if last else None
    if last is None or standing is None or memory.pages is None or standing.eyes.name != audience:
        return None
    from buildlog.site.theme import theme_of

    files = listing(root, last.published.target, cache)
    if files.rest != last.files.rest or not last.files.trusted:
        return None
    recent = {*last.files.recent()}
    moved = files.moved(last.files.texts, lambda file: False if file in recent else None)
    theme = theme_of(root, standing.theme)
    if moved is None or theme is None:
        return None

    from buildlog.reworded import reworded

    kept = memory.pages
    pages = reworded(root, files.files, moved, standing, memory.texts, lambda: kept.environment(theme, cache))
    return None if pages is None else (pages, files)
