"""The papers and photos that the record rests on, each with its fingerprint."""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.handover.document_binder import Binder
from buildlog.handover.document_nodes import Node, code, column, heading, line, para, part, row, table, to, under
from buildlog.pages.sheet import photos_of

_COLUMNS = (column("File, and its SHA-256", "3fr"), column("What it is", "2fr"), column("Told in", "1.6fr"))
_HALF = 32


def part_documents(binder: Binder) -> Node | None:
    """Documents first, then photos; what this reader may not see is in neither."""
    papers, photos = list(_papers(binder)), list(_photos(binder))
    words = (
        "The fingerprint is the SHA-256 of the file as it is kept in the builder\u2019s project. A file with another fingerprint "
        "is another file, if only by a sign."
    )
    body = [
        *([heading(2, "Papers"), *table(_COLUMNS, papers)] if papers else []),
        *([heading(2, "Photos"), *table(_COLUMNS, photos)] if photos else []),
    ]
    return part("Documents and their fingerprints", "documents", [para(words, kind="lede"), *body] if body else [])


def _papers(binder: Binder) -> Iterator[Node]:
    desk = binder.desk
    told: dict[str, tuple[str, str, str]] = {}
    for entry in desk.worked.logbook.told():
        for paper in entry.facts.documents:
            told.setdefault(paper.file, (paper.title, paper.kind.replace("-", " "), entry.slug))
    for file in sorted(desk.worked.logbook.files):
        if file.startswith("documents/"):
            title, kind, slug = told.get(file, ("not described", "", ""))
            yield _row(file, line(title, under(kind)), slug, binder)


def _photos(binder: Binder) -> Iterator[Node]:
    seen: set[str] = set()
    for entry in binder.desk.worked.logbook.told():
        for photo in photos_of(entry):
            if photo.file in binder.desk.worked.logbook.files and photo.file not in seen:
                seen.add(photo.file)
                yield _row(photo.file, line(photo.caption or photo.alt), entry.slug, binder)


def _row(file: str, what: list[Node], slug: str, binder: Binder) -> Node:
    """A file; its fingerprint in two lines, so that it can be compared half by half."""
    digest = binder.digests.get(file, "")
    shown = under([code(digest[:_HALF]), {"t": "break"}, code(digest[_HALF:])]) if digest else []
    entry = binder.desk.sources.entry(slug)
    told = to(entry.facts.title, binder.desk.at.entry(slug)) if entry else []
    return row(line(file, shown), what, told, target=binder.paper(file))
