"""Markdown tokens to the pieces of a document: headings below the entry's own, links settled, photos as figures.

The tokens are those the reader made; a place goes with every block, so that a sign the print fonts lack can be told
with its file and line. Raw HTML is shown as it was written, comments are left out, as on the site.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from markdown_it.token import Token

from buildlog.basics.frozen import frozen
from buildlog.handover.document_fit import fitted
from buildlog.handover.document_nodes import Node, unlinked
from buildlog.records.prose import Prose

_MOST = 6
_COMMENT = re.compile(r"<!--.*?-->", re.DOTALL)
_ALIGN = re.compile(r"text-align:\s*right")
_EXTERNAL = re.compile(r"(https?|mailto|tel):", re.IGNORECASE)
_BOX = re.compile(r'<input class="task-list-item-checkbox"([^>]*)>')
_MARKS = {"em": "em", "strong": "strong", "s": "strike"}


@frozen
class Ways:
    """What a text cannot know: where a link to a file of the project leads in the document, and how a photo is shown.

    Both give nothing where this reader may not follow or see.
    """

    target: Callable[[str], str]
    photo: Callable[[str, str, str], Node | None]
    """Given file, alternative text and caption, the photo's node."""


def tree(prose: Prose, ways: Ways, level: int) -> list[Node]:
    """The blocks of a text; its highest headings get ``level``, none skips one."""
    if not prose.tokens:
        return []
    return _Reader(prose, ways, level).all()


@dataclass
class _Reader:
    """Goes through the tokens of one text."""

    prose: Prose
    ways: Ways
    level: int
    at: int = 0
    depth: int = 0
    notes: dict[int, list[Node]] = field(default_factory=dict)

    def all(self) -> list[Node]:
        tokens = list(self.prose.tokens)
        ranks = sorted({token.tag for token in tokens if token.type == "heading_open"})
        self._ranks = {tag: number for number, tag in enumerate(ranks)}
        begin = next((n for n, token in enumerate(tokens) if token.type == "footnote_block_open"), len(tokens))
        self._footnotes(tokens[begin:])
        return self._blocks(tokens[:begin])

    def _footnotes(self, tokens: Sequence[Token]) -> None:
        """The notes at the end, kept by their numbers for the marks in the text."""
        number: int | None = None
        held: list[Token] = []
        for token in tokens:
            if token.type == "footnote_open":
                number, held = int(token.meta["id"]), []
            elif token.type == "footnote_close" and number is not None:
                self.notes[number] = self._blocks(held)
            else:
                held.append(token)

    def _blocks(self, tokens: Sequence[Token]) -> list[Node]:
        made: list[Node] = []
        index = 0
        while index < len(tokens):
            end = _end(tokens, index)
            made += [self._placed(node, tokens[index]) for node in self._block(tokens[index], tokens[index + 1 : end])]
            index = end + 1 if tokens[index].nesting == 1 else index + 1
        return made

    def _placed(self, node: Node, token: Token) -> Node:
        first = token.map[0] if token.map else -1
        return node | {"line": self.prose.first_line + first} if first >= 0 else node

    def _block(self, token: Token, inner: Sequence[Token]) -> Iterator[Node]:
        kind = token.type
        if kind == "paragraph_open":
            yield from self._paragraph(inner[0])
        elif kind == "heading_open":
            yield self._heading(token, inner[0])
        elif kind in {"bullet_list_open", "ordered_list_open"}:
            yield self._list(token, inner)
        elif kind == "blockquote_open":
            yield {"t": "quote", "c": self._blocks(inner)}
        elif kind == "table_open":
            yield self._table(inner)
        elif kind.startswith("container_"):
            yield {"t": "box", "c": self._blocks(inner), "sticky": False} if inner else {"t": "space"}
        elif kind in {"fence", "code_block"}:
            yield {"t": "listing", "s": token.content.rstrip("\n")}
        elif kind == "hr":
            yield {"t": "rule"}
        elif kind == "html_block":
            yield from _shown_html(token.content)

    def _paragraph(self, inline: Token) -> Iterator[Node]:
        """A paragraph; photos that stand alone become figures, photos within a line follow it."""
        children = inline.children or []
        photos = [node for child in children if child.type == "image" for node in self._photo(child)]
        words = self._inline([child for child in children if child.type != "image"])
        if any(node["t"] != "text" or node["s"].strip() for node in words):
            yield {"t": "para", "kind": "", "c": words, "sticky": False}
        if photos:
            yield {"t": "photos", "c": photos}

    def _photo(self, image: Token) -> Iterator[Node]:
        node = self.ways.photo(str(image.attrGet("src") or ""), image.content, str(image.attrGet("title") or ""))
        if node is not None:
            yield node

    def _heading(self, token: Token, inline: Token) -> Node:
        rank = min(self._ranks[token.tag], self.depth)
        self.depth = rank + 1
        words = self._inline(inline.children or [])
        return {"t": "heading", "level": min(_MOST, self.level + rank), "to": "", "c": words, "marked": False}

    def _list(self, token: Token, inner: Sequence[Token]) -> Node:
        items = []
        index = 0
        while index < len(inner):
            end = _end(inner, index)
            items.append(self._blocks(inner[index + 1 : end]))
            index = end + 1
        numbered = token.type == "ordered_list_open"
        tight = all(one.hidden for one in inner if one.type == "paragraph_open" and one.level == token.level + 2)
        start = int(token.attrGet("start") or 1) if numbered else 1
        return {"t": "list", "numbered": numbered, "start": start, "tight": tight, "items": items}

    def _table(self, inner: Sequence[Token]) -> Node:
        """A table of a text: its head gives the columns and how they are set."""
        columns: list[Node] = []
        rows: list[Node] = []
        cells: list[list[Node]] = []
        for number, token in enumerate(inner):
            if token.type == "th_open":
                right = bool(_ALIGN.search(str(token.attrGet("style") or "")))
                words = unlinked(self._inline(inner[number + 1].children or []))
                columns.append({"head": words, "width": "auto" if right else "1fr", "right": right})
            elif token.type == "td_open":
                cells.append(self._inline(inner[number + 1].children or []))
            elif token.type == "tr_open":
                cells = []
            elif token.type == "tr_close" and cells:
                rows.append({"cells": cells, "kind": "", "to": ""})
        return fitted({"t": "table", "columns": columns, "rows": rows})

    def _inline(self, children: Sequence[Token]) -> list[Node]:
        made: list[Node] = []
        index = 0
        while index < len(children):
            child = children[index]
            end = _end(children, index)
            inner = children[index + 1 : end]
            if child.type == "link_open":
                made += self._link(str(child.attrGet("href") or ""), self._inline(inner))
            elif child.nesting == 1:
                made.append({"t": _MARKS.get(child.type.removesuffix("_open"), "plain"), "c": self._inline(inner)})
            else:
                made += self._word(child)
            index = end + 1 if child.nesting == 1 else index + 1
        return made

    def _word(self, token: Token) -> Iterator[Node]:
        kind = token.type
        if kind == "text":
            yield {"t": "text", "s": token.content}
        elif kind == "softbreak":
            yield {"t": "text", "s": " "}
        elif kind == "hardbreak":
            yield {"t": "break"}
        elif kind == "code_inline":
            yield {"t": "code", "s": token.content}
        elif kind == "footnote_ref":
            yield {"t": "note", "c": self.notes.get(int(token.meta["id"]), [])}
        elif kind == "html_inline":
            yield from _html(token.content)

    def _link(self, href: str, words: list[Node]) -> list[Node]:
        """A link out of the document, a link within it, or its words alone."""
        if _EXTERNAL.match(href):
            return [{"t": "out", "to": href, "c": words}]
        target = self.ways.target(href)
        return [{"t": "to", "to": target, "c": words}] if target else words


def _shown_html(content: str) -> Iterator[Node]:
    """HTML as it was written, without its comments."""
    shown = _COMMENT.sub("", content).strip()
    if shown:
        yield {"t": "para", "kind": "", "c": [{"t": "text", "s": shown}], "sticky": False}


def _html(content: str) -> Iterator[dict[str, Any]]:
    box = _BOX.match(content)
    if box:
        yield {"t": "tick", "done": "checked" in box[1]}
        return
    shown = _COMMENT.sub("", content)
    if shown:
        yield {"t": "text", "s": shown}


def _end(tokens: Sequence[Token], start: int) -> int:
    """The index of what closes the token at ``start``; its own where it opens nothing."""
    depth = 0
    for index in range(start, len(tokens)):
        depth += tokens[index].nesting
        if depth == 0:
            return index
    return len(tokens)
