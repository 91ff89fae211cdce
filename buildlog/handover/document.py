"""handover.pdf as plain data: the cover, and the parts in their order. themes/*/print/handover.typ draws it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from buildlog.figures.figures import Figures
from buildlog.handover.document_binder import Attachment, Binder
from buildlog.handover.document_links import places, settled
from buildlog.handover.document_nodes import Node, Said, code, terms
from buildlog.handover.part_components import part_components
from buildlog.handover.part_decisions import part_decisions
from buildlog.handover.part_documents import part_documents
from buildlog.handover.part_due import part_directives, part_due
from buildlog.handover.part_equipment import part_equipment
from buildlog.handover.part_findings import part_findings
from buildlog.handover.part_index import part_index
from buildlog.handover.part_records import part_records
from buildlog.handover.part_requirements import part_requirements
from buildlog.handover.part_signed import part_signed
from buildlog.handover.part_sources import part_sources
from buildlog.handover.part_statement import part_statement
from buildlog.handover.part_weight import part_weight
from buildlog.handover.part_work import part_work
from buildlog.pages.front import cover_photo
from buildlog.pages.lines import Desk
from buildlog.pages.sheet import Addresses, Photo, Sheet, photos_of
from buildlog.pages.words import Words
from buildlog.site.prints import Printed

PARTS = (
    part_statement,
    part_records,
    part_requirements,
    part_components,
    part_equipment,
    part_weight,
    part_findings,
    part_directives,
    part_due,
    part_work,
    part_signed,
    part_decisions,
    part_documents,
    part_sources,
)
"""The parts in the order of the document; one with nothing in it is left out. The index, made of them all, comes last."""
TEMPLATE = "handover.typ"
_SHORT = 16
_HEAD = 28
"""Signs of the aircraft's name in the head and foot of a page."""


def document(
    worked: Figures,
    words: Words,
    at: Addresses,
    prints: Mapping[str, Printed],
    digests: Mapping[str, str],
    *,
    fingerprint: str = "",
    attachments: Sequence[Attachment] = (),
    paper: str = "a4",
    sheets: Sequence[Sheet] = (),
) -> Node:
    """The whole document for the audience of this logbook.

    ``prints`` are the print copies of pictures and ``digests`` the SHA-256 of originals, both by path in the project;
    ``fingerprint`` is the package's; ``paper`` is a4 or letter; ``sheets`` are
    the pages of the site where they are made already.
    """
    binder = Binder(Desk.of(worked, words, at), prints, digests, fingerprint, attachments, sheets)
    left_out = {f"part_{name}" for name in worked.logbook.project.package.leave_out}
    parts = [made for part in PARTS if part.__name__ not in left_out and (made := part(binder)) is not None]
    index = None if "part_index" in left_out else part_index(binder, frozenset(places(parts)))
    named = _named(binder)
    return settled(
        {
            **frame(binder, f"Record of {named}", paper),
            "depth": 2,
            "attachments": [_attached(one) for one in attachments],
            "cover": _cover(binder, named),
            "parts": [*parts, *([index] if index else [])],
        }
    )


def frame(binder: Binder, title: str, paper: str) -> Node:
    """What every sheet of a document shares: title, language, paper, and the words in head and foot."""
    worked, words = binder.desk.worked, binder.desk.words
    language, _, region = worked.logbook.project.locale.replace("_", "-").partition("-")
    day = worked.on
    return {
        "title": title,
        "lang": language.lower(),
        "region": region[-2:].upper() if len(region) >= 2 else None,  # noqa: PLR2004 - country codes have two letters
        "paper": paper,
        "date": [day.year, day.month, day.day] if day else [1970, 1, 1],
        "aircraft": _named(binder),
        "aircraft_short": _cut(_named(binder)),
        "state_of": words.day(day) if day else "no entry yet",
        "fingerprint": binder.fingerprint,
        "fingerprint_short": " ".join(binder.fingerprint[n : n + 4] for n in range(0, _SHORT, 4)).strip(),
        "words": {
            "page": "Page",
            "of": "of",
            "state": "State of",
            "fingerprint": "Fingerprint",
            "contents": "Contents",
        },
    }


def _cut(name: str) -> str:
    """A name short enough for one line beside others; its end, the registration, is kept."""
    if len(name) <= _HEAD:
        return name
    end = name.rpartition(" ")[2][: _HEAD // 2]
    return f"{name[: _HEAD - len(end) - 2].rstrip()}\u2026 {end}"


def _named(binder: Binder) -> str:
    aircraft = binder.desk.worked.logbook.project.aircraft
    return f"{aircraft.type} {aircraft.mark or ''}".strip()


def _attached(one: Attachment) -> Node:
    return {
        "path": f"/{one.name}",
        "description": one.description,
        "mime": one.mime,
        "relationship": one.relationship,
    }


def _cover(binder: Binder, named: str) -> Node:
    project = binder.desk.worked.logbook.project
    photo = _cover_photo(binder)
    return {
        "kind": "Record of work, for handing over",
        "name": named,
        "line": project.headline or project.title,
        "photo": next(iter(binder.photos([photo], named)), None) if photo else None,
        "block": terms(_block(binder), "block"),
    }


def _cover_photo(binder: Binder) -> Photo | None:
    book = binder.desk.worked.logbook
    asked = book.project.package.cover
    if asked is not None and asked in book.files:
        told = (photo for entry in book.told() for photo in photos_of(entry) if photo.file == asked)
        return next(told, Photo(asked, "", book.project.aircraft.type))
    return cover_photo(book, next((page for page in book.pages if page.slug == "front"), None))


def _block(binder: Binder) -> Iterator[tuple[str, Said]]:
    """The title block of the cover."""
    worked, words = binder.desk.worked, binder.desk.words
    book, aircraft = worked.logbook, worked.logbook.project.aircraft
    yield "Aircraft", aircraft.type
    yield "Registration", aircraft.mark or "not known"
    yield "Serial number", (aircraft.serial or "not known") if book.sight.serials else ""
    yield "Category", aircraft.category or ""
    yield "Built", aircraft.year or ""
    yield "State of", words.day(worked.on) if worked.on else "no entry yet"
    yield "Made for", {"builder": "the builder"}.get(book.sight.name, book.sight.name)
    fingerprint = binder.fingerprint
    yield (
        "Fingerprint",
        [code(" ".join(fingerprint[n : n + 8] for n in range(0, len(fingerprint), 8)))] if fingerprint else "",
    )
