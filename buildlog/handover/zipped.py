"""A folder as a zip that is the same bytes whenever and wherever it is made: files by name, one fixed date."""

from __future__ import annotations

import shutil
import zipfile
from pathlib import Path

DATE = (1980, 1, 1, 0, 0, 0)
"""The first moment a zip can name."""
STORED = (".jpg", ".jpeg", ".png", ".webp", ".pdf", ".woff2", ".zip", ".heic")
"""Packed within themselves already."""
_UNIX, _MODE = 3, 0o100644 << 16


def zipped(folder: Path, target: Path) -> None:
    """Writes the zip of a folder, which lies in it under its own name (RFC 8493, 4.2)."""
    files = {path.relative_to(folder.parent).as_posix(): path for path in folder.rglob("*") if path.is_file()}
    with zipfile.ZipFile(target, "w") as archive:
        for name, path in sorted(files.items()):
            one = zipfile.ZipInfo(name, DATE)
            stored = name.lower().endswith(STORED)
            one.compress_type = zipfile.ZIP_STORED if stored else zipfile.ZIP_DEFLATED
            one.create_system, one.external_attr = _UNIX, _MODE
            one.file_size = path.stat().st_size
            with path.open("rb") as source, archive.open(one, "w") as place:
                shutil.copyfileobj(source, place, 1 << 20)
