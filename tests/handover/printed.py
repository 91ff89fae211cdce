"""The demo's documents on paper, printed once for all tests of a run, and ways to read them back."""

from __future__ import annotations

import io
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pikepdf
from pypdf import PageObject, PdfReader

from buildlog.basics.problems import Severity
from buildlog.figures.figures import Figures, figures
from buildlog.handover.document import TEMPLATE, document
from buildlog.handover.document_binder import Attachment
from buildlog.handover.glyphs import coverage, printable
from buildlog.handover.pdf import Press
from buildlog.handover.sheets import TEMPLATE as SHEETS
from buildlog.handover.sheets import log_sheets
from buildlog.pages.sheet import Addresses
from buildlog.pages.site_sheets import photos
from buildlog.pages.words import Words
from buildlog.reading.read import read_logbook
from buildlog.records.audience import seen_by
from buildlog.site.pictures import Wanted, develop
from buildlog.site.prints import prints
from buildlog.site.theme import built_in

ROOT = Path(__file__).parent.parent.parent / "content"
PRINT_FOLDER = built_in() / "print"
FINGERPRINT = "0123456789abcdef" * 4
LEDGER = Attachment("weight.csv", b"day,item\r\n2026-01-01,x\r\n", "text/csv", "Ledger of weight", "data")


@dataclass(frozen=True)
class Printed:
    """One audience's documents on paper."""

    worked: Figures
    record: bytes
    sheets: bytes
    long_edges: tuple[int, ...]

    def pdf(self) -> pikepdf.Pdf:
        return pikepdf.open(io.BytesIO(self.record))

    def text(self) -> str:
        return plain(self.record)


@cache
def plain(pdf: bytes) -> str:
    """All words of a document without the spaces and hyphens that breaking lines puts in."""
    return squeezed("".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages))


def squeezed(words: str) -> str:
    return re.sub(r"[\s\u00ad\u2010-]+", "", words)


def made(audience: str, folder: Path, paper: str = "a4", root: Path = ROOT) -> Printed:
    book = seen_by(read_logbook(root).logbook, audience)
    worked, _ = figures(book)
    words, at = Words(book), Addresses(book)
    cache, work = folder / "cache", folder / "work"
    work.mkdir()
    wanted = [Wanted(root / file, file) for file in photos(book)]
    pictures, faults = develop(wanted, cache, cache)
    assert not faults
    shown = prints(pictures, cache)
    press = Press(PRINT_FOLDER, work)
    press.prepare({one.path for one in shown.values()}, [LEDGER])
    record = document(worked, words, at, shown, {}, fingerprint=FINGERPRINT, attachments=[LEDGER], paper=paper)
    pages = log_sheets(worked, words, at, fingerprint=FINGERPRINT, paper=paper)
    for tree, template in ((record, TEMPLATE), (pages, SHEETS)):
        ready, lacking = printable(tree, coverage(PRINT_FOLDER / "fonts"))
        assert not [one for one in lacking if one.severity is Severity.ERROR]
        press.print(ready, template, folder / f"{template}.pdf", worked.on)
    edges = tuple(max(one.width, one.height) for one in shown.values())
    return Printed(worked, (folder / f"{TEMPLATE}.pdf").read_bytes(), (folder / f"{SHEETS}.pdf").read_bytes(), edges)


@dataclass(frozen=True)
class Run:
    """Some signs as they stand on a page: how far from its left and lower edge, in what type."""

    text: str
    x: float
    y: float
    size: float
    font: str


def runs(page: PageObject) -> list[Run]:
    """The words of a page with their places."""
    found: list[Run] = []

    def seen(text: str, cm: list[float], tm: list[float], font: dict[str, object] | None, size: float) -> None:
        if text.strip():
            x, y = tm[4] * cm[0] + tm[5] * cm[2] + cm[4], tm[4] * cm[1] + tm[5] * cm[3] + cm[5]
            name = str((font or {}).get("/BaseFont", ""))
            found.append(Run(text, x, y, abs(size * tm[3] * cm[3]), name))

    page.extract_text(visitor_text=seen)
    return found


@cache
def parts(pdf: bytes) -> dict[str, str]:
    """Each part of a document by its title, with its words."""
    reader = PdfReader(io.BytesIO(pdf))
    heads = [one for one in reader.outline if not isinstance(one, list)]
    first = [reader.get_destination_page_number(one) or 0 for one in heads]
    said = [page.extract_text() for page in reader.pages]
    return {
        str(head.title): "\n".join(said[begin:end])
        for head, begin, end in zip(heads, first, [*first[1:], len(said)], strict=True)
    }
