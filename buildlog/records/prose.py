"""The text of an entry, page or decision: what it links to, shows and says, and how its Markdown is had again.

Tokens take many times the room of the words they stand for, and nearly nobody wants them once a text is read. So a text
keeps what is asked of it often; its tokens are parsed again for those who do want them.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import field
from typing import TYPE_CHECKING, Any

from buildlog.basics.frozen import frozen
from buildlog.basics.problems import Place

if TYPE_CHECKING:
    from markdown_it.token import Token


@frozen
class Reference:
    """A link or picture in the text: where it points (a path from the project folder, or an address), and what it says."""

    target: str
    place: Place
    picture: bool = False
    words: str = ""
    title: str = ""
    audience: str = "public"


@frozen
class Written:
    """Markdown as it was written, where each of its links and pictures leads in order, and who parses it."""

    text: str
    targets: tuple[str, ...]
    parse: Callable[[str, Sequence[str]], Sequence[Token]]


@frozen
class Prose:
    """A text, parsed once for everything that is asked of all texts."""

    references: tuple[Reference, ...] = ()
    source: str = ""
    first_line: int = 1
    file: str = ""
    plain: bool = False
    """Whether no part of it is for one audience alone: no ::: block."""
    digest: str = ""
    """Of the text as it was written and of what was taken out of it since: two with the same have the same tokens."""
    opening: str = ""
    """Its first paragraph as plain words."""
    said: tuple[tuple[int, str], ...] = field(default=(), compare=False, repr=False)
    """Every line of words that a reader sees, with its number in the file."""
    laid: Any = field(default=None, compare=False, repr=False)
    """The text as pages take it, where somebody laid it out while it was read."""
    written: Written | None = field(default=None, compare=False, repr=False)
    left: tuple[Token, ...] | None = field(default=None, compare=False, repr=False)
    """The tokens, where some were taken out of them."""

    @property
    def tokens(self) -> Sequence[Token]:
        """Its Markdown as tokens, parsed again; they are shared, so nobody may change one."""
        if self.left is not None:
            return self.left
        return self.written.parse(self.written.text, self.written.targets) if self.written else ()


def opening_of(tokens: Sequence[Token]) -> str:
    """The first paragraph with any words in it, as plain words."""
    for number, token in enumerate(tokens):
        if token.type == "inline" and number and tokens[number - 1].type == "paragraph_open":
            words = " ".join("".join(_plain(child) for child in token.children or ()).split())
            if words:
                return words
    return ""


def _plain(token: Token) -> str:
    if token.type in {"text", "code_inline"}:
        return token.content
    return " " if token.type in {"softbreak", "hardbreak"} else ""


def said_in(tokens: Sequence[Token], first_line: int) -> tuple[tuple[int, str], ...]:
    """Every line of words in a text that begins at a line of its file, with its number; titles of links with their block."""
    lines: list[tuple[int, str]] = []
    for token in tokens:
        if token.type in {"inline", "fence", "code_block"}:
            line = first_line + (token.map or [0])[0]
            lines += [(line + offset, text) for offset, text in enumerate(token.content.split("\n"))]
            titles = (child.attrs.get("title") for child in token.children or ())
            lines += [(line, str(title)) for title in titles if title]
    return tuple(lines)
