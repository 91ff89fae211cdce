"""The pages of the last publication, from run to run: one that would be made of the same is not made again.

As in `kept_pages.py`, a page is made of its view, of what all pages share, of the theme's files and of what it asked while
it was made. Here only fingerprints of these are kept, and the size and time of the file that the site holds; a page whose
file was touched since is made again. It is a pickle: this user's own file, in this user's own cache.
"""

from __future__ import annotations

import hashlib
import io
import os
import pickle
import sys
from collections.abc import Callable, Hashable, Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import jinja2
import markupsafe

from buildlog.basics.frozen import frozen
from buildlog.site.kept_pages import Answers, Made, Packed, stamps_of
from buildlog.site.shelf import put
from buildlog.site.theme import Theme
from buildlog.site.workshop import AsItWas


@frozen
class Origin:
    """What a page was made of, as fingerprints: ``made`` but for what it ``asked``, and ``told`` the answers to that."""

    made: bytes
    asked: tuple[tuple[str, str], ...]
    told: bytes


@dataclass
class PagesBefore:
    """The pages that were written into one site, kept in the file ``place``; ``program`` stands for this program."""

    place: Path
    program: str
    _site: str = ""
    _same: bytes = b""
    _pages: Mapping[str, tuple[Origin, AsItWas]] = field(default_factory=dict)

    def load(self, site: Path, theme: Theme, frame: Any) -> None:
        """Takes up what was kept of a site, to make pages with this theme and this frame."""
        self._site = os.path.realpath(site)
        libraries = [(one.__file__, os.stat(one.__file__ or "").st_mtime_ns) for one in (jinja2, markupsafe)]
        given = (self.program, sys.version, libraries, stamps_of(theme), self._site)
        self._same = _digest(repr(given).encode("utf-8", "surrogatepass"), plainly(frame))
        self._pages = {}
        with suppress(Exception):  # a file of another time may raise anything at all
            pages = pickle.loads(self.place.read_bytes())  # noqa: S301 - our own file, see above
            self._pages = pages if isinstance(pages, dict) else {}

    def recall(self, path: str, packed: Packed, answer: Callable[[str, str], Hashable], said: Sayings) -> Made | None:
        """The page as it lies in the site, if it would be made of the same."""
        origin, there = self._pages.get(path, (None, None))
        if origin is None or there is None or origin.made != self._made_of(packed):
            return None
        answers: Answers = {asked: answer(*asked) for asked in origin.asked}
        if _digest(*said.of(answers)) != origin.told or self._stamp(path) != there:
            return None
        return Made(there, answers, packed)

    def origin(self, packed: Packed, answers: Answers, said: Sayings) -> Origin:
        """What a page was made of."""
        return Origin(self._made_of(packed), tuple(answers), _digest(*said.of(answers)))

    def keep(self, pages: Iterable[tuple[str, Origin]]) -> None:
        """Keeps what the pages of a site were made of that was just delivered."""
        found = ((path, origin, self._stamp(path)) for path, origin in pages)
        kept = {path: (origin, there) for path, origin, there in found if there}
        with suppress(OSError):  # without it the next run only takes longer
            put(self.place, pickle.dumps(kept, pickle.HIGHEST_PROTOCOL))

    def _made_of(self, packed: Packed) -> bytes:
        return _digest(self._same, packed.sheet, *packed.texts.values())

    def _stamp(self, path: str) -> AsItWas | None:
        try:
            seen = os.lstat(f"{self._site}/{path}")
        except (OSError, ValueError):
            return None
        return AsItWas(seen.st_size, seen.st_mtime_ns)


@dataclass
class Sayings:
    """Answers as bytes, for one renderer, which gives the same answer whenever it is asked the same."""

    _made: dict[tuple[str, str], bytes] = field(default_factory=dict)

    def of(self, answers: Answers) -> tuple[bytes, ...]:
        """Each answer, in the order they were asked."""
        made = self._made
        for asked, answer in answers.items():
            if asked not in made:
                made[asked] = plainly(answer)
        return tuple(made[asked] for asked in answers)


def plainly(thing: Any) -> bytes:
    """Something as bytes, in which nothing depends on whether two equal things in it are one thing."""
    out = io.BytesIO()
    pickler = pickle.Pickler(out, pickle.HIGHEST_PROTOCOL)
    pickler.fast = True
    pickler.dump(thing)
    return out.getvalue()


def _digest(*parts: bytes) -> bytes:
    whole = hashlib.blake2b(digest_size=20)
    for part in parts:
        whole.update(len(part).to_bytes(8, "big"))
        whole.update(part)
    return whole.digest()
