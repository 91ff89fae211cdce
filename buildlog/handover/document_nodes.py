"""The pieces a document is made of, as plain data that themes/*/print reads: blocks, and the words within a line.

Nothing here is markup: a text is a text, whatever signs it holds.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from buildlog.handover.document_fit import fitted
from buildlog.pages.sheet import Link, Tab
from buildlog.pages.sources import Source

Node = dict[str, Any]
"""A block, or some words within a line; ``t`` says which."""
Line = list[Node]
"""Words within a line."""
Said = str | Line | Node
"""Words as plain text, as one piece, or as pieces of a line."""


def line(*parts: Said) -> Line:
    """Pieces of a line, one after the other; empty texts are left out."""
    made: Line = []
    for part in parts:
        if isinstance(part, str):
            made += [{"t": "text", "s": part}] if part else []
        elif isinstance(part, dict):
            made.append(part)
        else:
            made += part
    return made


def strong(words: Said) -> Node:
    """Words that matter."""
    return {"t": "strong", "c": line(words)}


def soft(words: Said) -> Node:
    """Words that stand back."""
    return {"t": "soft", "c": line(words)}


def under(words: Said) -> Line:
    """Small words on a line of their own, under what they say more of; none for none."""
    made = line(words)
    return [{"t": "break"}, {"t": "small", "c": made}] if made else []


def still_open(words: Said) -> Node:
    """Words about what is still open: the red pencil."""
    return {"t": "open", "c": line(words)}


def shut(words: Said) -> Node:
    """Words about what is closed."""
    return {"t": "shut", "c": line(words)}


def to(words: Said, target: str) -> Line:
    """Words that lead to something in this document; plain words where there is nothing to lead to."""
    made = line(words)
    return [{"t": "to", "to": target, "c": made}] if target and made else made


def linked(link: Link | None) -> Line:
    """A link of a page."""
    return to(link.words, link.path) if link else []


def source(found: Source | None, *, day: bool = True) -> Line:
    """The entry something comes from: its day, and its title under it."""
    if found is None:
        return []
    return line(
        *([found.day] if day else []), *(under(to(found.title, found.path)) if day else to(found.title, found.path))
    )


def tab(found: Tab | None) -> Line:
    """A system's number and name."""
    return [{"t": "tab", "code": found.code, "name": found.name, "to": found.path}] if found else []


def code(words: str) -> Node:
    """A fingerprint, or something else to be compared sign by sign."""
    return {"t": "code", "s": words}


def para(*parts: Said, kind: str = "", sticky: bool = False) -> Node:
    """A paragraph; ``kind``: "" for reading, lede, note, facts; ``sticky`` keeps it on the page of what follows."""
    return {"t": "para", "kind": kind, "c": line(*parts), "sticky": sticky}


def heading(level: int, words: Said, target: str = "", *, marked: bool = True) -> Node:
    """A heading; ``target`` is what links lead to, ``marked`` whether the outline names it."""
    return {"t": "heading", "level": level, "to": target, "c": line(words), "marked": marked}


def anchor(target: str) -> Node:
    """A place that links lead to, without words of its own."""
    return {"t": "anchor", "to": target}


def column(head: Said, width: str = "auto", *, right: bool = False) -> Node:
    """A column of a table; ``width``: auto, or a share of what is left, as 2fr."""
    return {"head": line(head), "width": width, "right": right}


def row(*cells: Said, kind: str = "", target: str = "") -> Node:
    """A row of a table; ``kind``: "" or sum."""
    made = [line(cell) for cell in cells]
    return {"cells": made, "kind": kind, "to": target}


def group(words: Said) -> Node:
    """A row that names the rows under it; it comes again on each page, so nothing in it may be a link."""
    return {"cells": [unlinked(line(words))], "kind": "group", "to": ""}


def table(columns: Sequence[Node], rows: Iterable[Node]) -> list[Node]:
    """A table, without the columns that nothing stands in; nothing for no rows."""
    held = list(rows)
    plain = [one for one in held if one["kind"] != "group"]
    kept = [number for number in range(len(columns)) if any(one["cells"][number] for one in plain)]
    if not plain or not kept:
        return []
    cut = [one if one["kind"] == "group" else one | {"cells": [one["cells"][n] for n in kept]} for one in held]
    return [fitted({"t": "table", "columns": [columns[number] for number in kept], "rows": cut})]


def terms(pairs: Iterable[tuple[str, Said]], kind: str = "") -> list[Node]:
    """Names with what they are; nothing for none. ``kind``: "" or block, for a title block."""
    rows = [{"name": name, "c": line(words)} for name, words in pairs if words]
    return [{"t": "terms", "kind": kind, "rows": rows}] if rows else []


def strip(figures: Iterable[tuple[str, str, str]]) -> list[Node]:
    """Running totals in large figures: each figure, its unit, its words; nothing for none."""
    items = [{"figure": figure, "unit": unit, "words": words} for figure, unit, words in figures]
    return [{"t": "strip", "items": items}] if items else []


def inline_terms(pairs: Iterable[tuple[str, Said]]) -> Line:
    """Names with what they are, in one line: for what many things have a few of."""
    made: Line = []
    for name, words in pairs:
        if words:
            made += line("   " if made else "", soft(f"{name}\u00a0"), words)
    return made


def points(items: Iterable[Said], *, numbered: bool = False) -> list[Node]:
    """A list of one line each; nothing for none."""
    made = [[para(item, kind="facts")] for item in items]
    return [{"t": "list", "numbered": numbered, "start": 1, "tight": True, "items": made}] if made else []


def box(*blocks: Node, sticky: bool = False) -> Node:
    """What must not be missed, in a frame; ``sticky`` keeps it on the page of what follows."""
    return {"t": "box", "c": list(blocks), "sticky": sticky}


def chart(drawing: str, alternative: str, words: str = "") -> list[Node]:
    """A drawing as SVG with literal colours; nothing for none."""
    return [{"t": "chart", "svg": drawing, "alt": alternative, "c": line(words)}] if drawing else []


def signature(title: str, fields: Sequence[str], words: str = "") -> Node:
    """Room for a signature: what it is for, what is signed, and the lines to be filled in by hand."""
    return {"t": "signature", "title": title, "words": words, "fields": list(fields)}


def together(*blocks: Node) -> Node:
    """Blocks that stand on one page."""
    return {"t": "together", "c": list(blocks)}


def part(title: str, target: str, body: list[Node]) -> Node | None:
    """A part of the document with its heading; None where there is nothing in it."""
    return {"title": line(title), "to": target, "body": body} if body else None


def of_file(file: str, blocks: list[Node]) -> list[Node]:
    """Blocks with the file that their words were written in."""
    return [{"t": "group", "file": file, "c": blocks}] if blocks else []


def unlinked(words: Line) -> Line:
    """Words without links or notes, for heads: the engine refuses them in what is only drawn again."""
    return [_unlinked(node) for node in words]


def _unlinked(node: Node) -> Node:
    if node["t"] == "tab":
        return node | {"to": ""}
    if node["t"] == "note":
        return {"t": "text", "s": f" ({' '.join(texts(node))})"}
    kept = {"t": "plain"} if node["t"] in {"to", "out"} else {}
    return node | kept | ({"c": unlinked(node["c"])} if "c" in node else {})


def texts(node: object) -> Iterable[str]:
    """Every text within a node."""
    if isinstance(node, dict):
        if "s" in node:
            yield node["s"]
        yield from texts(node.get("c"))
    elif isinstance(node, list):
        for one in node:
            yield from texts(one)
