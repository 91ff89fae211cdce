"""The pages of the last run in the same process: one whose view, frame and surroundings are the same is not made again.

A page is made of its view, of what all pages share, of the theme's files, and of what it asked while it was made: which
picture has which copies, and where a link leads. All of that is compared; nothing is guessed.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Hashable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from buildlog.basics.frozen import frozen
from buildlog.site.workshop import AsItWas

if TYPE_CHECKING:
    from jinja2 import Environment

    from buildlog.site.theme import Theme

Answers = dict[tuple[str, str], Hashable]
"""What was asked while a page was made, by sort and name, and what the answer was."""


@frozen
class Packed:
    """A page as it was before its template, in which texts stand by their files; and what each text is known by."""

    sheet: bytes
    texts: Mapping[str, bytes]


@frozen
class Made:
    """A page as it was made, or that it is as it was; and of what: its answers, and what it was before its template."""

    content: bytes | AsItWas
    answers: Answers = field(default_factory=dict)
    packed: Packed | None = None


@frozen
class _Kept:
    page: Any
    frame: Any
    made: Made


@dataclass
class KeptPages:
    """The pages of the last run by path, and the theme they were made with."""

    _environment: Environment | None = None
    _theme: tuple[tuple[str, int, int], ...] = ()
    _pages: dict[str, _Kept] = field(default_factory=dict)

    def environment(self, theme: Theme, cache: Path | None = None) -> Environment:
        """The theme's templates, compiled once; a theme that was changed makes every page anew."""
        files = stamps_of(theme)
        if self._environment is None or files != self._theme:
            self._environment, self._theme, self._pages = theme.environment(cache), files, {}
        return self._environment

    def recall(self, page: Any, frame: Any, answer: Callable[[str, str], Hashable]) -> Made | None:
        """The page as it was made, if all that it was made of is the same."""
        kept = self._pages.get(page.path)
        if kept is None or kept.page != page or kept.frame != frame:
            return None
        return kept.made if all(answer(*asked) == said for asked, said in kept.made.answers.items()) else None

    def keep(self, page: Any, frame: Any, made: Made) -> None:
        """Remembers a page."""
        self._pages[page.path] = _Kept(page, frame, made)

    def forget(self, paths: Collection[str]) -> None:
        """Drops every page but these."""
        self._pages = {path: kept for path, kept in self._pages.items() if path in paths}


def stamps_of(theme: Theme) -> tuple[tuple[str, int, int], ...]:
    """The theme's files with their sizes and times of change."""
    files: list[tuple[str, int, int]] = []
    for folder in theme.folders:
        for path in _below(folder):
            seen = path.stat()
            files.append((str(path), seen.st_size, seen.st_mtime_ns))
    return tuple(files)


def _below(folder: Path) -> list[Path]:
    return sorted(path for path in folder.rglob("*.html") if path.is_file())
