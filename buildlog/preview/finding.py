"""Which file of the site an address means: nothing outside it, nothing hidden, nothing that is not a plain file."""

from __future__ import annotations

import mimetypes
import os
import re
from pathlib import Path
from urllib.parse import unquote_to_bytes

from buildlog.basics.frozen import frozen
from buildlog.site.addresses import problem_of

INDEX = "index.html"
_TYPES = {
    "html": "text/html; charset=utf-8",
    "css": "text/css; charset=utf-8",
    "js": "text/javascript; charset=utf-8",
    "json": "application/json",
    "xml": "application/xml",
    "ics": "text/calendar; charset=utf-8",
    "csv": "text/csv; charset=utf-8",
    "txt": "text/plain; charset=utf-8",
    "md": "text/plain; charset=utf-8",
    "svg": "image/svg+xml",
    "png": "image/png",
    "jpg": "image/jpeg",
    "jpeg": "image/jpeg",
    "webp": "image/webp",
    "avif": "image/avif",
    "gif": "image/gif",
    "heic": "image/heic",
    "tif": "image/tiff",
    "tiff": "image/tiff",
    "mp4": "video/mp4",
    "m4v": "video/mp4",
    "mov": "video/quicktime",
    "webm": "video/webm",
    "woff2": "font/woff2",
    "woff": "font/woff",
    "pdf": "application/pdf",
    "zip": "application/zip",
}
"""Set here, because what a system says of an ending differs from one to the next."""


@frozen
class Slice:
    """The part of a file that is asked for: from its first byte to its last, both counted."""

    first: int
    last: int

    @property
    def length(self) -> int:
        """How many bytes."""
        return self.last - self.first + 1


def name_of(target: str) -> str | None:
    """The name in the site that a request's target means, None if it means none; a folder's ends in a slash.

    The front page is ``index.html``. What begins with a dot is hidden, as the list of published files is.
    """
    path = target.partition("#")[0].partition("?")[0]
    if not path.startswith("/"):
        return None
    try:
        name = unquote_to_bytes(path[1:]).decode("utf-8")
    except UnicodeDecodeError:
        return None
    folder = name.endswith("/")
    bare = name[:-1] if folder else name
    if not name:
        return INDEX
    if problem_of(bare) is not None or any(part.startswith(".") for part in bare.split("/")):
        return None
    return name


def file_of(site: Path, name: str) -> Path | None:
    """The plain file of that name, None where there is none; a link that leads out of the site is none."""
    root = os.path.realpath(site)
    path = os.path.realpath(os.path.join(root, name))  # noqa: PTH118 - realpath is what is compared
    if os.path.commonpath([root, path]) != root or not os.path.isfile(path):  # noqa: PTH113
        return None
    return Path(path)


def type_of(path: Path) -> str:
    """The content type by the ending."""
    known = _TYPES.get(path.suffix[1:].lower())
    return known or mimetypes.guess_type(path.name)[0] or "application/octet-stream"


def slice_of(header: str | None, size: int) -> Slice | None:
    """The one part of a file of that size that a Range header asks for; None to send it whole.

    Raises ValueError where the part lies beyond the end.
    """
    asked = re.fullmatch(r"bytes=(\d{0,18})-(\d{0,18})", (header or "").replace(" ", ""))
    if asked is None or not any(asked.groups()):
        return None  # several parts, other units, or nonsense: the whole file is a right answer
    start, end = asked.groups()
    if not start:
        first, last = max(size - int(end), 0), size - 1
    else:
        first, last = int(start), min(int(end), size - 1) if end else size - 1
        if end and int(end) < first:
            return None
    if first >= size or (not start and not int(end)):
        raise ValueError(f"bytes from {first} are asked for, and there are {size}")
    return Slice(first, last)
