"""What was signed, as the log says: by whom, for what, and what a rule asks of such an entry."""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.handover.document_binder import Binder
from buildlog.handover.document_nodes import (
    Line,
    Node,
    column,
    heading,
    line,
    para,
    part,
    row,
    soft,
    source,
    still_open,
    tab,
    table,
    to,
    under,
)
from buildlog.pages.signatures import SignatureLine

_SIGNED = (
    column("Entry", "1.5fr"),
    column("By whom, for what", "1.8fr"),
    column("In these words", "2.4fr"),
    column("Seal", "1.2fr"),
)
_UNSIGNED = (column("System", "1fr"), column("Entry", "2fr"))


def part_signed(binder: Binder) -> Node | None:
    """Signatures in the log, then work that wants one."""
    view = binder.signatures
    if view is None:
        return None
    body = [
        para(view.summary, kind="lede"),
        para("Names and certificates are copied from the log: they are claims, not signatures.", kind="note"),
        *table(_SIGNED, [row(*_cells(one, binder)) for one in view.signatures]),
    ]
    wanting = [row(tab(one.tab), source(one.source)) for one in view.unsigned]
    if wanting:
        body += [heading(2, "Work that wants a signature"), *table(_UNSIGNED, wanting)]
    return part("Sign-offs", "signatures.html", body)


def _cells(one: SignatureLine, binder: Binder) -> Iterator[Line]:
    yield line(source(one.source), under([piece for covered in one.covers for piece in line(covered.words, " ")]))
    held = f" ({one.certificate})" if one.certificate else ""
    papers: Line = []
    for paper in one.papers:
        papers += line("; " if papers else "", to(paper.words, binder.paper(paper.file)))
    yield line(f"{one.signer}{held}", under(f"{one.day}, as {one.what}"), under(papers))
    lacking = [
        piece for point in one.points if point.missing for piece in under(still_open(f"{point.asks}: not shown"))
    ]
    yield line(one.words or soft("words not copied"), lacking)
    yield line(one.seal.words if one.seal else "")
