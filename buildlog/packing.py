"""A page before its template as bytes: the same for two pages that say the same, and a page again with other words.

A text stands in them by its file alone, so that words can be changed without making the page's view anew.
"""

from __future__ import annotations

import copyreg
import io
import pickle
from collections.abc import Callable, Mapping
from typing import Any

from buildlog.reading.memory import outline_of
from buildlog.records.prose import Prose
from buildlog.site.kept_pages import Packed


class UnknownError(LookupError):
    """Something is asked that was not asked when the page was made."""


def packed(sheet: Any) -> Packed:
    """A page before its template, and what each text that it shows is known by."""
    out = io.BytesIO()
    packer = _Packer(out)
    packer.dump(sheet)
    return Packed(out.getvalue(), packer.met)


def taken_out(given: bytes, texts: Mapping[str, Prose]) -> Any:
    """The page again, with these texts in their places.

    Raises UnknownError for a text that is not among them.
    """
    return _Unpacker(given, texts).load()


def placed(file: str) -> Prose:
    """Stands in a packed page for a text; only `_Unpacker` puts one there."""
    raise UnknownError(file)


class _Packer(pickle.Pickler):
    """Packs a page without its texts; nothing depends on whether two equal things are one thing."""

    def __init__(self, out: io.BytesIO) -> None:
        super().__init__(out, pickle.HIGHEST_PROTOCOL)
        self.fast = True
        self.met: dict[str, bytes] = {}
        self.dispatch_table = copyreg.dispatch_table | {Prose: self._named}

    def _named(self, prose: Prose) -> tuple[Callable[[str], Prose], tuple[str]]:
        self.met[prose.file] = prose.digest.encode() + outline_of(prose)
        return placed, (prose.file,)


class _Unpacker(pickle.Unpickler):
    def __init__(self, given: bytes, texts: Mapping[str, Prose]) -> None:
        super().__init__(io.BytesIO(given))
        self._texts = texts

    def find_class(self, module: str, name: str) -> Any:
        return self._placed if (module, name) == (__name__, "placed") else super().find_class(module, name)

    def _placed(self, file: str) -> Prose:
        try:
            return self._texts[file]
        except KeyError as unknown:
            raise UnknownError(file) from unknown
