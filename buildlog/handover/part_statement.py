"""What the document is and is not: the cautions, whom it was made for, and how to read it."""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.basics.names import counted
from buildlog.handover.document_binder import Binder
from buildlog.handover.document_nodes import Node, box, heading, para, part, points, still_open, strong

_AUDIENCES = {
    "buyer": "This copy is made for whoever buys the aircraft.",
    "inspector": "This copy is made for whoever inspects the aircraft.",
    "public": "This copy is made for everybody.",
    "builder": "This copy is the builder\u2019s own and holds everything that was written.",
}
CAUTIONS = (
    (
        "This is a compiled record. It approves nothing for flight, and it is no certificate, no inspection and no return to "
        "service."
    ),
    (
        "Only persons whom the authority has authorised approve a return to service or sign a condition inspection. Names "
        "and certificate numbers in it are copied from the log: they are claims, not signatures."
    ),
    (
        "The aircraft is weighed in its present condition before it flies. A computed centre of gravity is arithmetic and no "
        "weighing."
    ),
    "Unknown means unknown. That nothing is written about a thing proves nothing about it, either way.",
    "Lists of directives and bulletins may be incomplete; ask the authority and the makers.",
    "The operating limitations issued to this aircraft, and local rules, prevail over anything written here.",
    "Keep the originals. A fingerprint shows that a file has changed; it does not show that what it says is true.",
    "Entries that are knowingly false are an offence (in the United States: 14 CFR part 3).",
    "Days on which something falls due are computed as an aid; verify each before relying on it.",
)
"""What is printed before anything else: records.md section 8 of the design, grounded in 14 CFR 43.5, 43.7, 91.403, 91.417."""


def part_statement(binder: Binder) -> Node | None:
    """The first part; the contents follow it."""
    body = [
        para(_made_from(binder), kind="lede"),
        box(para(strong("What this is not")), *points(CAUTIONS, numbered=True)),
        heading(2, "How to read it", marked=False),
        *(para(words) for words in _reading(binder)),
        para("What is still open is written in red, behind a ring, as here: ", still_open("an open finding"), "."),
    ]
    return part("What this is, and what it is not", "statement", body)


def _made_from(binder: Binder) -> str:
    worked, words = binder.desk.worked, binder.desk.words
    told = counted(sum(1 for _ in worked.logbook.told()), "entry", "entries")
    state = f", as of {words.day(worked.on)}" if worked.on else ""
    audience = _AUDIENCES.get(worked.logbook.sight.name, "")
    return f"The record of the work on this aircraft, compiled from {told} of its builder\u2019s log{state}. {audience}".strip()


def _reading(binder: Binder) -> Iterator[str]:
    yield (
        "Every figure is a sum of lines in the log, and every line names its entry. Titles of entries are links: they lead "
        "to the entry in the part on the work. Nothing was typed into this document; what is wrong in it is wrong in the log "
        "and is corrected there."
    )
    yield (
        "Beside what is known stands how it is known: measured, by a document, by a marking, by what somebody states, "
        "inferred from something else, or unknown. Weights are weighed, published by a maker, or estimated. A figure with "
        "\u00b1 is good to that much."
    )
    if binder.fingerprint:
        yield (
            "The fingerprint in the foot of each page is that of the record it was made from. Two documents with the same "
            "fingerprint say the same; the whole of it stands on the cover."
        )
    if binder.attachments:
        yield (
            "The ledgers travel inside this file as attachments, in a plain form that a spreadsheet opens; the part on where "
            "each figure comes from lists them."
        )
