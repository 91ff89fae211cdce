"""A zip that is the same bytes whenever and wherever it is made: files in the order they are given, one fixed date."""

from __future__ import annotations

import shutil
import zipfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

DATE = (1980, 1, 1, 0, 0, 0)
"""The first moment a zip can name."""
STORED = (".jpg", ".jpeg", ".png", ".webp", ".pdf", ".woff2", ".zip", ".heic")
"""Packed within themselves already."""
_UNIX, _MODE = 3, 0o100644 << 16


@contextmanager
def zipping(target: Path) -> Iterator[Callable[[str, Path], None]]:
    """A zip on its way; what it gives adds a file under a name."""
    with zipfile.ZipFile(target, "w") as archive:

        def add(name: str, path: Path) -> None:
            one = zipfile.ZipInfo(name, DATE)
            stored = name.lower().endswith(STORED)
            one.compress_type = zipfile.ZIP_STORED if stored else zipfile.ZIP_DEFLATED
            one.create_system, one.external_attr = _UNIX, _MODE
            one.file_size = path.stat().st_size
            with path.open("rb") as source, archive.open(one, "w") as place:
                shutil.copyfileobj(source, place, 1 << 20)

        yield add
