"""Markdown tokens to HTML: links to pages, photos as figures, headings below the page's own, tables that can scroll."""

from __future__ import annotations

import html
import re
from collections.abc import Callable, Sequence
from functools import cache
from typing import Any

from markdown_it import MarkdownIt
from markdown_it.common.utils import escapeHtml
from markdown_it.renderer import RendererHTML
from markdown_it.token import Token
from mdit_py_plugins.footnote import footnote_plugin

from buildlog.basics.frozen import frozen
from buildlog.basics.names import slug

TOP_HEADING = 2


@frozen
class Hands:
    """What the text cannot know: where a link leads from this page (None: nowhere), and how photos are shown."""

    link: Callable[[str], str | None]
    figures: Callable[[list[Photo]], str]
    """Given the photos that stand together, the HTML that shows them."""


@frozen
class Open:
    """Where a link begins: where it leads, and its other attributes as HTML."""

    target: str
    attributes: str


@frozen
class Shut:
    """Where a link ends."""


@frozen
class Photos:
    """Photos that stand together, in a paragraph of their own or within a line."""

    photos: tuple[Photo, ...]
    within: bool = False


Photo = tuple[str, str, str]
"""File, alternative text, caption."""
Piece = str | Open | Shut | Photos
"""HTML that is the same on every page, or what each page has to say for itself."""
_SHUT = Shut()
_GAPS = {"link_open", "image", "html_inline"}
_HEADING = {"heading_open", "heading_close"}
_HEAD_CELL = {"th_open", "th_close"}
_BOXED = {"table_open", "table_close"}
_GAP = "\0"
"""Stands for a piece while HTML is made; no text holds one, as Markdown has none."""


@cache
def _renderer() -> MarkdownIt:
    return MarkdownIt("commonmark", {"html": True}).use(footnote_plugin)


def laid_out(tokens: Sequence[Token]) -> tuple[Piece, ...]:
    """The HTML of a text but for its links and photos. Comments are dropped, other raw HTML is shown as it was written."""
    markdown, gaps = _renderer(), list[Piece]()
    whole = str(markdown.renderer.render(_blocks(tokens, gaps), markdown.options, _footnotes()))
    words = whole.split(_GAP)
    pieces = [piece for pair in zip(words, gaps, strict=False) for piece in pair if piece]
    return (*pieces, *filter(None, words[-1:]))


def to_html(pieces: Sequence[Piece], hands: Hands) -> str:
    """A text as one page shows it: a link that leads nowhere from here leaves its words."""
    made: list[str] = []
    led: list[bool] = []
    for piece in pieces:
        if isinstance(piece, str):
            made.append(piece)
        elif isinstance(piece, Open):
            address = hands.link(piece.target)
            led.append(address is not None)
            if address is not None:
                made.append(f'<a href="{escapeHtml(address)}"{piece.attributes}>')
        elif isinstance(piece, Shut):
            made.append("</a>" if led.pop() else "")
        else:
            shown = hands.figures(list(piece.photos))
            made.append(_within_a_line(shown) if piece.within else shown)
    return "".join(made)


def _within_a_line(figures: str) -> str:
    for block in ("<figure", "</figure", "<figcaption", "</figcaption"):
        figures = figures.replace(block, "</span" if block[1] == "/" else "<span")
    return figures


def _gap(gaps: list[Piece], piece: Piece, *, inline: bool = False) -> Token:
    gaps.append(piece)
    return _raw(_GAP, inline=inline)


def _footnotes() -> dict[str, Any]:
    """The footnote plug-in numbers its notes from what the parser left behind; the tokens hold the same."""
    return {"footnotes": {"list": {}, "refs": {}}}


def _blocks(tokens: Sequence[Token], gaps: list[Piece]) -> list[Token]:
    headings = _Headings(tokens)
    made: list[Token] = []
    inside = -1
    for index, token in enumerate(tokens):
        kind = token.type
        if index <= inside:  # of a paragraph whose photos are told already
            continue
        if kind == "inline":
            made.append(_inline(token, gaps))
        elif kind == "paragraph_open":
            photos = _photos_alone(tokens[index + 1 : index + 2])
            inside = index + 2 if photos else inside
            made.append(_gap(gaps, Photos(tuple(photos))) if photos else token)
        elif kind in _HEADING:
            made.append(headings.of(token, tokens[index + 1 : index + 2]))
        elif kind in _HEAD_CELL:
            made.append(_head_cell(token, tokens[index + 1 if token.nesting == 1 else index - 1]))
        elif kind == "html_block":
            made.append(_raw(_without_html(token.content)))
        elif kind in _BOXED or kind.startswith("container_"):
            made += _wrapped(token)
        else:
            made.append(token)
    return made


def _wrapped(token: Token) -> list[Token]:
    """Tables scroll in a box of their own; audience blocks say whom they are for."""
    if token.type == "table_open":
        return [_raw('<div class="scroll" role="region" aria-label="Table" tabindex="0">'), token]
    if token.type == "table_close":
        return [token, _raw("</div>")]
    opening = token.type.endswith("_open")
    return [_raw(f'<div class="for-{token.type.split("_")[1]}">' if opening else "</div>")]


def _photos_alone(paragraph: Sequence[Token]) -> list[Photo]:
    """The photos of a paragraph that holds nothing else."""
    children = paragraph[0].children or [] if paragraph else []
    images = [child for child in children if child.type == "image"]
    if not images or any(child.type not in {"image", "softbreak"} and child.content.strip() for child in children):
        return []
    return [_photo(image) for image in images]


def _photo(image: Token) -> Photo:
    return (str(image.attrGet("src") or ""), image.content, str(image.attrGet("title") or ""))


def _head_cell(token: Token, inline: Token) -> Token:
    """The head of a column says that it is one; an empty one, as over the names of rows, is a cell like others."""
    if not inline.content.strip():
        return _like(token, tag="td")
    return _like(token, attrs=token.attrs | {"scope": "col"}) if token.nesting == 1 else token


class _Headings:
    """The headings of a text, below the page's own: whatever was written, none skips a level, and each has a name."""

    def __init__(self, tokens: Sequence[Token]) -> None:
        self._written = sorted({token.tag for token in tokens if token.type == "heading_open"})
        self._depth = 0
        self._tag = ""
        self._used: set[str] = set()

    def of(self, token: Token, inline: Sequence[Token]) -> Token:
        """What opens or closes a heading, as it is shown."""
        if token.type != "heading_open":
            return _like(token, tag=self._tag)
        rank = min(self._written.index(token.tag), self._depth)
        self._depth, self._tag = rank + 1, f"h{min(6, TOP_HEADING + rank)}"
        words = inline[0].content if inline else ""
        name, number = slug(words), 2
        while name in self._used:
            name, number = f"{slug(words)}-{number}", number + 1
        self._used.add(name)
        return _like(token, tag=self._tag, attrs=token.attrs | {"id": name})


def _like(token: Token, *, tag: str = "", attrs: dict[str, str | int | float] | None = None) -> Token:
    """A token that opens or closes a block, with another tag or other attributes; a whole copy takes many times as long."""
    made = Token(token.type, tag or token.tag, token.nesting, attrs=token.attrs if attrs is None else attrs)
    made.block, made.hidden, made.level = token.block, token.hidden, token.level
    return made


def _inline(token: Token, gaps: list[Piece]) -> Token:
    """A gap where a link begins and ends, and where a photo stands within a line."""
    if not any(child.type in _GAPS for child in token.children or ()):
        return token
    children: list[Token] = []
    for child in token.children or ():
        if child.type == "link_open":
            copy = child.copy()
            copy.attrs = {name: value for name, value in child.attrs.items() if name != "href"}
            attributes = RendererHTML.renderAttrs(copy)
            children.append(_gap(gaps, Open(str(child.attrGet("href") or ""), attributes), inline=True))
        elif child.type == "link_close":
            children.append(_gap(gaps, _SHUT, inline=True))
        elif child.type == "image":
            children.append(_gap(gaps, Photos((_photo(child),), within=True), inline=True))
        elif child.type == "html_inline":
            children.append(_raw(_without_html(child.content), inline=True))
        else:
            children.append(child)
    copy = token.copy()
    copy.children = children
    return copy


def _without_html(content: str) -> str:
    """Raw HTML as it was written, comments left out; the box of a task list, which our own parser puts in, stays a box."""
    box = re.match(r'<input class="task-list-item-checkbox"[^>]*>', content)
    if box:
        ticked = " checked" if "checked" in box[0].replace("checkbox", "") else ""
        return f'<input type="checkbox" disabled{ticked} aria-label="{"done" if ticked else "to do"}">'
    return html.escape(re.sub(r"<!--.*?-->", "", content, flags=re.DOTALL))


def _raw(markup: str, *, inline: bool = False) -> Token:
    return Token("html_inline" if inline else "html_block", "", 0, content=markup)
