"""::: blocks for an audience: what is wrong with them, told from the parsed tokens.

Nothing meant for few may be shown to all because a line was misread.

A line of ::: that the parser took for text is a fault; so are a block that is never closed, one inside another (the
first ::: would end both), and a footnote in a block (footnotes are printed at the end, outside of it).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from markdown_it.token import Token

from buildlog.basics.names import suggestion
from buildlog.basics.problems import Place, Problem, shown
from buildlog.reading.source import Source

AUDIENCE_BLOCKS = ("handover", "private")
_OPENING = re.compile(r"container_(\w+)_open")
_FENCE_LINE = re.compile(r"[ \t]*:::+[ \t]*(.*?)[ \t]*")


def block_faults(tokens: Sequence[Token], source: Source, first: int) -> list[Problem]:
    """Every fault of the ::: blocks in a text whose first line is line ``first`` of ``source``."""
    blocks = [token for token in tokens if token.type.startswith("container_") and _OPENING.fullmatch(token.type)]
    faults = list(_block_lines(blocks, source, first))
    nested = sum(fault.name == "nested-block" for fault in faults)
    return [*faults, *_leftovers(tokens, source, first, nested), *_footnotes(tokens, blocks, source, first)]


def _line(source: Source, number: int) -> Place:
    """The whole of a line, or of the last one there is."""
    number = min(number, len(source.starts))
    start = source.starts[number - 1]
    text = source.line(number)
    return source.place(start + len(text) - len(text.lstrip()), start + len(text))


def _block_lines(blocks: Sequence[Token], source: Source, first: int) -> Iterator[Problem]:
    outer_end = -1
    for token in blocks:
        begin, end = token.map or (0, 0)
        place = _line(source, first + begin)
        if begin < outer_end:
            yield Problem(
                place,
                "nested-block",
                "this ::: block begins inside another, and the first ::: would end both",
                "end the other block before it with a line of  :::",
            )
            continue
        outer_end = end
        last = source.line(first + end) if first + end <= len(source.starts) else ""
        if not re.match(r"[ \t>]*:::", last):
            yield Problem(
                place,
                "unclosed-block",
                "this ::: block is never closed, so all that follows is in it",
                "put a line with only  :::  where it ends",
            )


def _leftovers(tokens: Sequence[Token], source: Source, first: int, untold: int) -> Iterator[Problem]:
    """Lines of ::: that opened and closed nothing; ``untold`` ends belong to faults that are told already."""
    for token in tokens:
        if ":::" not in token.content or token.type not in {"inline", "html_block"} or token.map is None:
            continue
        if token.type == "html_block" and token.content.lstrip().startswith("<!--"):
            continue
        for number, line in enumerate(token.content.split("\n")):
            found = _FENCE_LINE.fullmatch(line)
            if not found:
                continue
            place = _line(source, first + token.map[0] + number)
            if found[1]:
                untold += 1
                yield _no_block(place, found[1])
            elif untold:
                untold -= 1
            else:
                yield Problem(
                    place,
                    "stray-block-end",
                    "this ::: ends no block",
                    "take the line out, or begin the block with  ::: handover  or  ::: private",
                )


def _no_block(place: Place, name: str) -> Problem:
    if name.split(" ", 1)[0] in AUDIENCE_BLOCKS:
        return Problem(
            place,
            "block-in-text",
            "this ::: line is read as text, not as the beginning of a block",
            "put an empty line before it, and no HTML round it",
        )
    return Problem(
        place,
        "unknown-block",
        f"::: {shown(name)} is no kind of block",
        suggestion(name, AUDIENCE_BLOCKS, "write  ::: handover  or  ::: private"),
    )


def _footnotes(tokens: Sequence[Token], blocks: Sequence[Token], source: Source, first: int) -> Iterator[Problem]:
    spans = [token.map for token in blocks if token.map]
    in_notes = False
    for token in tokens:
        in_notes = (in_notes or token.type == "footnote_block_open") and token.type != "footnote_block_close"
        if token.type != "inline" or token.map is None or not any(a <= token.map[0] < b for a, b in spans):
            continue
        if in_notes or any(child.type == "footnote_ref" for child in token.children or ()):
            yield Problem(
                _line(source, first + token.map[0]),
                "footnote-in-block",
                "a footnote of a ::: block is printed at the end of the page, where everybody can read it",
                "write what it says in the text of the block",
            )
