"""What was signed: each signature with what a rule asks of it and what is shown, its seal, and work that wants one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from buildlog.basics.frozen import frozen
from buildlog.basics.names import counted
from buildlog.pages.known import Paper
from buildlog.pages.lines import Desk, link_to
from buildlog.pages.seals import SealLine, seal_line
from buildlog.pages.sheet import Addresses, Link, Sheet, Tab
from buildlog.pages.sources import Source
from buildlog.pages.words import Words

if TYPE_CHECKING:
    from buildlog.figures.figures import Figures
    from buildlog.figures.signoffs import Point, Signature

PATH = "signatures.html"
SIGNED_AS = {
    "work": "the work done",
    "return-to-service": "return to service",
    "condition-inspection": "condition inspection",
}
"""What a signature says, in words."""


@frozen
class PointLine:
    """Something that a rule asks of a signed entry; ``missing`` where the record does not show it."""

    asks: str
    shown: str
    rule: str
    missing: bool
    papers: tuple[Paper, ...]


@frozen
class SignatureLine:
    """A signature. ``signer`` is a role where names may not be seen; ``certificate`` is '' where none is shown."""

    anchor: str
    day: str
    what: str
    signer: str
    certificate: str
    words: str
    source: Source
    tabs: tuple[Tab, ...]
    covers: tuple[Link, ...]
    points: tuple[PointLine, ...]
    missing: str
    papers: tuple[Paper, ...]
    seal: SealLine | None

    @property
    def who(self) -> str:
        """In one line: by whom, under what certificate, when, as what."""
        held = f" ({self.certificate})" if self.certificate else ""
        return f"by {self.signer}{held}, {self.day}, as {self.what}"


@frozen
class UnsignedLine:
    """Work that wants a signature."""

    tab: Tab
    source: Source


@frozen
class SealedLine:
    """A sealed entry that nobody has signed."""

    source: Source
    seal: SealLine


@frozen
class SignaturesView:
    """The page of signatures."""

    signatures: tuple[SignatureLine, ...]
    unsigned: tuple[UnsignedLine, ...]
    sealed: tuple[SealedLine, ...]
    summary: str
    asked: bool
    """Whether rules say what a signed entry holds."""


def signature_sheets(worked: Figures, words: Words, at: Addresses) -> Iterator[Sheet]:
    """The page of signatures, if there is anything to tell on it."""
    desk, path = Desk.of(worked, words, at), signatures_path(worked)
    if not path:
        return
    lines = signature_lines(worked.signatures, desk)
    view = SignaturesView(
        lines,
        unsigned_lines(desk),
        tuple(_sealed(desk)),
        signatures_told(worked),
        any(line.points for line in lines),
    )
    yield Sheet(
        path,
        "signatures.html",
        "Signed",
        view,
        PATH,
        description=f"What was signed, by whom and over which words. {view.summary}",
        worked_from=counted(len(lines), "signature"),
        name="signatures",
        updated=max((signature.day for signature in worked.signatures), default=None),
    )


def signatures_path(worked: Figures) -> str:
    """Where the page of signatures is; '' where there is none."""
    return PATH if worked.signatures or worked.unsigned or worked.logbook.sealed() else ""


def signatures_told(worked: Figures) -> str:
    """All signatures and seals in a sentence or two, for this page, the page of records and the terminal."""
    seals = worked.logbook.sealed().values()
    broken = sum(not seal.whole for seal in seals)
    said = [counted(len(worked.signatures), "signature")] if worked.signatures else ["Nothing signed"]
    said += [f"{counted(len(seals), 'sealed entry', 'sealed entries')}"] if seals else []
    told = f"{', '.join(said)}."
    told += f" {broken} changed since it was sealed." if broken == 1 else ""
    told += f" {broken} changed since they were sealed." if broken > 1 else ""
    wanting = counted(len(worked.unsigned), "entry wants", "entries want")
    return told + (f" {wanting} a signature." if worked.unsigned else "")


def signature_anchor(signature: Signature, desk: Desk) -> str:
    """Where a signature stands on the page: by its entry's address, which says no day that may not be seen."""
    name = desk.at.entry(signature.entry).removeprefix("log/").removesuffix(".html")
    return f"{name}-{signature.nth}"


def signature_lines(signatures: Iterable[Signature], desk: Desk) -> tuple[SignatureLine, ...]:
    """Signatures in words, in the order of the log."""
    return tuple(_line(signature, desk) for signature in signatures)


def signatures_of(entries: Iterable[str], desk: Desk) -> tuple[SignatureLine, ...]:
    """The signatures in some entries, by the entries' addresses."""
    wanted = set(entries)
    return signature_lines((one for one in desk.worked.signatures if one.entry in wanted), desk)


def signatures_on(system: str, desk: Desk) -> tuple[SignatureLine, ...]:
    """The signatures over work on a system."""
    return signature_lines((one for one in desk.worked.signatures if system in one.systems), desk)


def unsigned_lines(desk: Desk, system: str | None = None) -> tuple[UnsignedLine, ...]:
    """Work that wants a signature: all of it, or that of a system."""
    return tuple(
        UnsignedLine(desk.at.tab(work.system), desk.sources.of(work.entry, work.day))
        for work in desk.worked.unsigned
        if system is None or work.system == system
    )


def _line(signature: Signature, desk: Desk) -> SignatureLine:
    line, entry = signature.line, desk.sources.entry(signature.entry)
    person, named, held = signature.person, desk.worked.logbook.sight.names, signature.certificate
    signer = (person.name if named else f"the {person.role}") if person else f"the {line.by}"
    links = (link_to(key, desk) for key in signature.components)
    seal = desk.seals.get(signature.entry)
    return SignatureLine(
        signature_anchor(signature, desk),
        desk.words.day(line.date),
        SIGNED_AS[line.as_],
        signer,
        ", ".join(filter(None, (held.kind, held.number))) if held else "",
        line.words or "",
        desk.sources.of(signature.entry, entry.day if entry else line.date),
        tuple(desk.at.tab(key) for key in signature.systems),
        tuple(link for link in links if link),
        tuple(_point(point, desk) for point in signature.points),
        "; ".join(signature.missing),
        desk.papers.of([line.paper] if line.paper else []),
        seal_line(seal, desk.worked.logbook, desk.words) if seal else None,
    )


def _point(point: Point, desk: Desk) -> PointLine:
    papers = desk.papers.of([point.shown] if point.shown else []) if point.is_file else ()
    shown = point.instead if point.shown is None else desk.words.day(point.day) if point.day else point.shown
    return PointLine(
        point.asks, "" if papers else shown, point.rule, point.shown is None and not point.kept_back, papers
    )


def _sealed(desk: Desk) -> Iterator[SealedLine]:
    """Sealed entries without a signature."""
    signed = {signature.entry for signature in desk.worked.signatures}
    for name, seal in desk.seals.items():
        entry = desk.sources.entry(name)
        if name not in signed and entry is not None:
            yield SealedLine(desk.sources.whole(entry), seal_line(seal, desk.worked.logbook, desk.words))
