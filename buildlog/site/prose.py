"""Markdown tokens to HTML: links to pages, photos as figures, headings below the page's own, tables that can scroll."""

from __future__ import annotations

import html
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from markdown_it import MarkdownIt
from markdown_it.token import Token
from mdit_py_plugins.footnote import footnote_plugin

from buildlog.basics.names import slug

TOP_HEADING = 2


@dataclass(frozen=True)
class Hands:
    """What the text cannot know: where a link leads from this page (None: nowhere), and how photos are shown."""

    link: Callable[[str], str | None]
    figures: Callable[[list[tuple[str, str, str]]], str]
    """Given (file, alternative text, caption) of the photos that stand together, the HTML that shows them."""


@cache
def _renderer() -> MarkdownIt:
    return MarkdownIt("commonmark", {"html": True}).use(footnote_plugin)


def to_html(tokens: Sequence[Token], hands: Hands) -> str:
    """The HTML of a text. Comments are dropped, other raw HTML is shown as it was written."""
    markdown = _renderer()
    blocks = _blocks(tokens, hands)
    return str(markdown.renderer.render(blocks, markdown.options, _footnotes()))


def _footnotes() -> dict[str, Any]:
    """The footnote plug-in numbers its notes from what the parser left behind; the tokens hold the same."""
    return {"footnotes": {"list": {}, "refs": {}}}


def _blocks(tokens: Sequence[Token], hands: Hands) -> list[Token]:
    shift = TOP_HEADING - min((int(t.tag[1]) for t in tokens if t.type == "heading_open"), default=TOP_HEADING)
    used: set[str] = set()
    made: list[Token] = []
    index = 0
    while index < len(tokens):
        token = tokens[index]
        photos = _photos_alone(tokens, index)
        if photos:
            made.append(_raw(hands.figures(photos)))
            index += 3
            continue
        if token.type in {"heading_open", "heading_close"}:
            token = _heading(token, tokens[index + 1], shift, used)
        elif token.type == "html_block":
            token = _raw(_without_html(token.content))
        elif token.type == "inline":
            token = _inline(token, hands)
        made += _wrapped(token)
        index += 1
    return made


def _wrapped(token: Token) -> list[Token]:
    """Tables scroll in a box of their own, their heads say what they head; audience blocks say whom they are for."""
    if token.type == "th_open":
        head = token.copy()
        head.attrs = dict(token.attrs) | {"scope": "col"}
        return [head]
    if token.type == "table_open":
        return [_raw('<div class="scroll" role="region" aria-label="Table" tabindex="0">'), token]
    if token.type == "table_close":
        return [token, _raw("</div>")]
    if token.type.startswith("container_"):
        opening = token.type.endswith("_open")
        return [_raw(f'<div class="for-{token.type.split("_")[1]}">' if opening else "</div>")]
    return [token]


def _photos_alone(tokens: Sequence[Token], index: int) -> list[tuple[str, str, str]]:
    """The photos of a paragraph that holds nothing else."""
    if tokens[index].type != "paragraph_open" or index + 2 >= len(tokens):
        return []
    children = tokens[index + 1].children or []
    images = [child for child in children if child.type == "image"]
    rest = [child for child in children if child.type not in {"image", "softbreak"} and child.content.strip()]
    return [_photo(image) for image in images] if images and not rest else []


def _photo(image: Token) -> tuple[str, str, str]:
    return (str(image.attrGet("src") or ""), image.content, str(image.attrGet("title") or ""))


def _heading(token: Token, inline: Token, shift: int, used: set[str]) -> Token:
    copy = token.copy()
    copy.tag = f"h{min(6, int(token.tag[1]) + shift)}"
    if token.type == "heading_open":
        name, number = slug(inline.content), 2
        while name in used:
            name, number = f"{slug(inline.content)}-{number}", number + 1
        used.add(name)
        copy.attrs = dict(token.attrs) | {"id": name}
    return copy


def _inline(token: Token, hands: Hands) -> Token:
    """Links led to their pages, or taken off their words; photos within a line as small pictures."""
    children: list[Token] = []
    open_links: list[bool] = []
    for child in token.children or ():
        if child.type == "link_open":
            address = hands.link(str(child.attrGet("href") or ""))
            open_links.append(address is not None)
            if address is not None:
                led = child.copy()
                led.attrs = dict(child.attrs) | {"href": address}
                children.append(led)
        elif child.type == "link_close":
            if open_links.pop():
                children.append(child)
        elif child.type == "image":
            children.append(
                _raw(
                    hands.figures([_photo(child)])
                    .replace("<figure", "<span")
                    .replace("</figure", "</span")
                    .replace("<figcaption", "<span")
                    .replace("</figcaption", "</span"),
                    inline=True,
                )
            )
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
