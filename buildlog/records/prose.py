"""The text of an entry, page or decision: Markdown tokens as data, with the links and pictures found in it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from buildlog.basics.problems import Place

if TYPE_CHECKING:
    from markdown_it.token import Token


@dataclass(frozen=True)
class Reference:
    """A link or picture in the text: where it points (a path from the project folder, or an address), and what it says."""

    target: str
    place: Place
    picture: bool = False
    words: str = ""
    title: str = ""
    audience: str = "public"


@dataclass(frozen=True)
class Prose:
    """Markdown, parsed once: every output is made from these tokens."""

    tokens: Sequence[Token] = field(default=(), compare=False)
    references: tuple[Reference, ...] = ()
    source: str = ""
    first_line: int = 1
    file: str = ""
    plain: bool = False
    """Whether no part of it is for one audience alone: no ::: block."""
    digest: str = ""
    """Of the text as it was written and of what was taken out of it since: two with the same have the same tokens."""
