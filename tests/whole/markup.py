"""What the HTML standard asks of a page, as far as it can be told for certain: parse errors, and rules beyond the parser.

The parser names what is not well formed. The rules beside it are the standard's content models of the elements that we
use, references that must lead to something, and what a name for assistive technology asks (ARIA in HTML).
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterator
from itertools import pairwise
from xml.etree.ElementTree import Element

from tinyhtml5.parser import HTMLParser

SVG = "{http://www.w3.org/2000/svg}svg"
PHRASING = {"p", "span", "b", "i", "em", "strong", "small", "sup", "sub", "q", "code", "button", "label", "s", "del"}
HEADINGS = {f"h{level}" for level in range(1, 7)}
FLOW = HEADINGS | {
    *("div", "p", "ul", "ol", "dl", "table", "section", "article", "aside", "nav", "header", "footer", "main"),
    *("figure", "blockquote", "pre", "hr", "details", "dialog", "form"),
}
CHILDREN = {
    "ul": {"li"},
    "ol": {"li"},
    "dl": {"dt", "dd", "div"},
    "table": {"caption", "colgroup", "thead", "tbody", "tfoot"},
    "tr": {"th", "td"},
    "select": {"option", "optgroup"},
}
REFERENCES = ("for", "aria-labelledby", "aria-describedby", "aria-controls", "aria-owns", "popovertarget", "headers")
UNNAMED = {"div", "span", "p", "b", "i", "em", "strong", "small", "sup", "sub", "code", "del", "caption"}
"""Elements without a role of their own, which may not be given a name (ARIA in HTML, 6.2)."""


def faults(page: bytes) -> list[str]:
    """What is wrong with a page, each with where: a line and column, or an element."""
    parser = HTMLParser(namespace_html_elements=False)
    root = parser.parse(page, transport_encoding="utf-8")
    found = [f"{line}:{column}: {code} {more or ''}".strip() for (line, column), code, more in parser.errors]
    return found + [words for rule in RULES for words in rule(root)]


def _language(root: Element) -> Iterator[str]:
    if not re.fullmatch(r"[a-z]{2,3}(-[A-Za-z0-9]{2,8})*", root.get("lang") or ""):
        yield f"lang is {root.get('lang')!r}"
    if not (root.findtext("head/title") or "").strip():
        yield "no title"
    if len(list(root.iter("main"))) != 1:
        yield "not one main"


def _ids(root: Element) -> Iterator[str]:
    ids = Counter(element.attrib["id"] for element in root.iter() if "id" in element.attrib)
    yield from (f"id {name!r} stands {count} times" for name, count in ids.items() if count > 1)
    yield from (f"id {name!r} is no name" for name in ids if not name or re.search(r"\s", name))
    for element in root.iter():
        for attribute in REFERENCES:
            for name in element.get(attribute, "").split():
                if name not in ids:
                    yield f"{_told(element)}: {attribute} leads to no {name!r}"


def _interactive(element: Element) -> bool:
    """Interactive content by 3.2.5.2.7, or made so by tabindex."""
    return (
        element.tag in {"button", "select", "textarea", "label", "details", "iframe", "embed"}
        or (element.tag == "a" and "href" in element.attrib)
        or (element.tag in {"audio", "video"} and "controls" in element.attrib)
        or (element.tag == "input" and element.get("type") != "hidden")
        or "tabindex" in element.attrib
    )


def _nesting(root: Element) -> Iterator[str]:
    for element in root.iter():
        if element.tag in {"a", "button"}:
            wrong = [inner for inner in element.iter() if _interactive(inner)]
            yield from (f"{_told(inner)} within {_told(element)}" for inner in wrong if inner is not element)
        if element.tag in PHRASING | HEADINGS:
            wrong = [inner for inner in element.iter() if inner.tag in FLOW]
            yield from (f"{_told(inner)} within {_told(element)}" for inner in wrong if inner is not element)
        allowed = CHILDREN.get(str(element.tag))
        for child in element if allowed else ():
            if isinstance(child.tag, str) and child.tag not in {*allowed, "script", "template"}:
                yield f"{_told(child)} straight within {_told(element)}"


def _headings(root: Element) -> Iterator[str]:
    levels = [int(str(element.tag)[1]) for element in root.iter() if element.tag in HEADINGS]
    if levels.count(1) != 1 or levels[0] != 1:
        yield f"headings begin {levels[:3]}, with {levels.count(1)} of the first"
    for before, after in pairwise(levels):
        if after - before > 1:
            yield f"h{after} follows h{before}"
    yield from (f"{_told(one)} is empty" for one in root.iter() if one.tag in HEADINGS and not _text(one))


def _pictures(root: Element) -> Iterator[str]:
    for image in root.iter("img"):
        if "alt" not in image.attrib:
            yield f"{_told(image)} has no alt"
        if not (image.get("width", "").isdecimal() and image.get("height", "").isdecimal()):
            yield f"{_told(image)} has no width and height"
    for drawing in root.iter(SVG):
        if drawing.get("aria-hidden") != "true" and not (drawing.get("role") == "img" and drawing.get("aria-label")):
            yield f"{_told(drawing)} is neither hidden nor named"


def _names(root: Element) -> Iterator[str]:
    hidden = {id(inner) for element in root.iter() if "hidden" in element.attrib for inner in element.iter()}
    for element in (one for one in root.iter() if id(one) not in hidden):  # what is hidden, a script fills
        named = bool(element.get("aria-label", "").strip() or element.get("aria-labelledby"))
        if "aria-label" in element.attrib and not named:
            yield f"{_told(element)}: aria-label is empty"
        if named and element.tag in UNNAMED and "role" not in element.attrib:
            yield f"{_told(element)} may not be named"
        if element.tag in {"a", "button", "summary", "th"} and not named and not _text(element):
            yield f"{_told(element)} says nothing"
        if element.tag == "nav" and not named:
            yield f"{_told(element)} is one of several without a name"
    labels = {label.get("for") for label in root.iter("label")}
    for control in (one for one in root.iter() if one.tag in {"input", "select", "textarea"}):
        if control.get("type") != "hidden" and control.get("id") not in labels and not control.get("aria-label"):
            yield f"{_told(control)} has no label"


def _tables(root: Element) -> Iterator[str]:
    """Every row of a table is as wide as the others (the table model, 4.9.12)."""
    for table in root.iter("table"):
        widths, below = [], Counter[int]()
        rows = list(table.iter("tr"))
        for at, row in enumerate(rows):
            width = below[at]
            for cell in row:
                across, down = int(cell.get("colspan", "1")), int(cell.get("rowspan", "1"))
                width += across
                below.update({at + further: across for further in range(1, down)})
            widths.append(width)
        if len({*widths}) > 1:
            yield f"{_told(table)} has rows of {sorted({*widths})} cells"
        yield from (f"{_told(head)} has no scope" for head in table.iter("th") if "scope" not in head.attrib)


def _text(element: Element) -> str:
    said = "".join(element.itertext()) + "".join(image.get("alt", "") for image in element.iter("img"))
    return said.strip()


def _told(element: Element) -> str:
    """An element as somebody would look for it."""
    held = "".join(
        f' {name}="{element.get(name)}"' for name in ("id", "class", "href", "aria-label") if element.get(name)
    )
    return f"<{str(element.tag).rpartition('}')[2]}{held}> {_text(element)[:30]!r}"


RULES: tuple[Callable[[Element], Iterator[str]], ...] = (
    _language,
    _ids,
    _nesting,
    _headings,
    _pictures,
    _names,
    _tables,
)
