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
import time
from collections.abc import Callable, Iterable, Mapping
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from buildlog.basics.frozen import frozen

if TYPE_CHECKING:
    from buildlog.handover.document_binder import Attachment

STANDARDS: list[Literal["a-3a", "ua-1"]] = ["a-3a", "ua-1"]
FONTS = "fonts"
TOO_LONG_S = 1800
_GLANCE_S = 0.5


class CannotPrintError(Exception):
    """The engine refused a document; what it said stands in the words."""


@frozen
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

    def start(self, document: Mapping[str, object], template: str, target: Path, day: date | None) -> Printing:
        """Begins to print, in a process of its own; several may be under way at once."""
        data = self.work / f"{target.stem}.json"
        data.write_text(json.dumps(document, ensure_ascii=False, separators=(",", ":")), "utf-8")
        on = day or date(1970, 1, 1)
        stamp = int(datetime(on.year, on.month, on.day, tzinfo=UTC).timestamp())
        order = [self.work / template, self.work, self.templates / FONTS, f"/{data.name}", target, stamp]
        run = [sys.executable, "-P", __file__, *map(str, order)]
        return Printing(target, subprocess.Popen(run, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE))  # noqa: S603

    def print(self, document: Mapping[str, object], template: str, target: Path, day: date | None) -> None:
        """Writes the PDF, or raises `CannotPrintError` with the engine's own words."""
        self.start(document, template, target, day).ready()


@frozen
class Printing:
    """A document that is being printed."""

    target: Path
    process: subprocess.Popen[bytes]
    waiting: Callable[[str, float], None] | None = None
    """Told from time to time for what the job waits, and for how many seconds it has."""

    def ready(self) -> Path:
        """The PDF, once it is there; raises `CannotPrintError` with the engine's own words."""
        began, said = time.monotonic(), b""
        while True:
            try:
                said = self.process.communicate(timeout=_GLANCE_S)[1]
                break
            except subprocess.TimeoutExpired:
                waited = time.monotonic() - began
                if self.waiting:
                    self.waiting(self.target.name, waited)
                if waited > TOO_LONG_S:
                    self.stop()
                    raise CannotPrintError(f"the engine did not end within {TOO_LONG_S} s") from None
        if self.process.returncode:
            words = said.decode("utf-8", errors="replace").strip()
            raise CannotPrintError(words or f"the engine ended with {self.process.returncode}")
        return self.target

    def stop(self) -> None:
        """Ends it, if it has not ended."""
        if self.process.poll() is None:
            self.process.kill()
        self.process.communicate()


def _lay(source: Path, target: Path) -> None:
    """The same picture in the working folder: a link where the file system has them, else a copy."""
    if target.exists():
        return
    try:
        target.hardlink_to(source)
    except OSError:
        shutil.copyfile(source, target)


def _compile(template: str, root: str, fonts: str, document: str, target: str, stamp: str) -> int:
    """The child's whole work."""
    import typst

    inputs = {"document": document}
    compiler = typst.Compiler(
        input=template, root=root, font_paths=[fonts], ignore_system_fonts=True, sys_inputs=inputs
    )
    try:
        compiler.compile(output=target, format="pdf", pdf_standards=[*STANDARDS], timestamp=int(stamp))
    except typst.TypstError as error:
        sys.stderr.write(f"{error.diagnostic or error.message}\n")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(_compile(*sys.argv[1:]))
