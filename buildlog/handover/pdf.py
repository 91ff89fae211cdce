"""A document to a PDF: PDF/A-3a and PDF/UA-1 in one file, made by the typesetting engine in a process of its own.

The engine keeps every picture in memory; when its process ends, all of that goes back. The engine reads nothing but a
folder made for it: the templates, the document as JSON, the pictures, the attachments. It gets a fixed time, no font of
this computer and no network, so the same document gives the same bytes.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from buildlog.handover.document_binder import Attachment

STANDARDS: list[Literal["a-3a", "ua-1"]] = ["a-3a", "ua-1"]
FONTS = "fonts"
TOO_LONG_S = 1800


class CannotPrintError(Exception):
    """The engine refused a document; what it said stands in the words."""


@dataclass(frozen=True)
class Press:
    """What a document is printed with: the theme's print folder, and an empty folder to work in."""

    templates: Path
    work: Path

    def prepare(self, pictures: Iterable[Path], attachments: Iterable[Attachment] = ()) -> None:
        """Lays out what the engine may read; may be done once for several documents."""
        for template in sorted(self.templates.glob("*.typ")):
            shutil.copyfile(template, self.work / template.name)
        (self.work / "pictures").mkdir(exist_ok=True)
        for picture in pictures:
            _lay(picture, self.work / "pictures" / picture.name)
        for one in attachments:
            (self.work / one.name).write_bytes(one.content)

    def print(self, document: Mapping[str, object], template: str, target: Path, day: date | None) -> None:
        """Writes the PDF, or raises `CannotPrintError` with the engine's own words."""
        text = json.dumps(document, ensure_ascii=False, separators=(",", ":"))
        (self.work / "doc.json").write_text(text, "utf-8")
        on = day or date(1970, 1, 1)
        stamp = int(datetime(on.year, on.month, on.day, tzinfo=UTC).timestamp())
        order = [str(self.work / template), str(self.work), str(self.templates / FONTS), str(target), str(stamp)]
        run = [sys.executable, "-P", __file__, *order]
        done = subprocess.run(  # noqa: S603 - our own program
            run, capture_output=True, text=True, encoding="utf-8", errors="replace", timeout=TOO_LONG_S, check=False
        )
        if done.returncode:
            raise CannotPrintError(done.stderr.strip() or f"the engine ended with {done.returncode}")


def _lay(source: Path, target: Path) -> None:
    """The same picture in the working folder: a link where the file system has them, else a copy."""
    if target.exists():
        return
    try:
        target.hardlink_to(source)
    except OSError:
        shutil.copyfile(source, target)


def _compile(template: str, root: str, fonts: str, target: str, stamp: str) -> int:
    """The child's whole work."""
    import typst

    compiler = typst.Compiler(input=template, root=root, font_paths=[fonts], ignore_system_fonts=True)
    try:
        compiler.compile(output=target, format="pdf", pdf_standards=[*STANDARDS], timestamp=int(stamp))
    except typst.TypstError as error:
        sys.stderr.write(f"{error.diagnostic or error.message}\n")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(_compile(*sys.argv[1:]))
