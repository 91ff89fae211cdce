"""Markdown: CommonMark with tables, strikethrough, footnotes, task lists and ::: blocks for an audience.

Inline tokens carry no place, so a link or picture is looked for in the lines of its paragraph.
"""

from __future__ import annotations

import hashlib
import posixpath
import re
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from functools import cache, lru_cache
from itertools import takewhile
from typing import Any
from urllib.parse import unquote

from markdown_it import MarkdownIt
from markdown_it.token import Token
from mdit_py_plugins.container import container_plugin
from mdit_py_plugins.footnote import footnote_plugin
from mdit_py_plugins.tasklists import tasklists_plugin

from buildlog.basics.names import suggestion
from buildlog.basics.problems import Place, Problem, Severity, shown
from buildlog.reading.audience_blocks import AUDIENCE_BLOCKS, block_faults
from buildlog.reading.source import Source
from buildlog.records.prose import Prose, Reference, Written, opening_of, said_in

_ADDRESS = re.compile(r"[a-zA-Z][a-zA-Z0-9+.-]+:")
_CONTAINER = re.compile(r"container_(\w+)_(open|close)")
_MARK = re.compile(r"\[\^[^\]\s]{1,80}\]")
TASK_BOX = '<input class="task-list-item-checkbox"'
"""How the box of a task list arrives: as HTML that the parser itself wrote."""
_SAFE = ("https:", "http:", "mailto:", "tel:")
_TARGETS = {"image": "src", "link_open": "href"}
Lay = Callable[[Sequence[Token]], Any]
"""What lays a text out for pages; what it makes is nobody's business here."""


_MARKS = {
    "blocks": (":::",),
    "notes": ("[^", "^["),
    "boxes": ("[ ]", "[x]", "[X]"),
    "struck": ("~~",),
    "tables": ("|",),
    "angles": ("<",),
}
"""What must stand somewhere in a text for some rules to find anything; without it they need not be asked on every line."""


def parser(text: str) -> MarkdownIt:
    """The Markdown parser, without the rules that can find nothing in this text."""
    return _parser(frozenset(name for name, marks in _MARKS.items() if any(mark in text for mark in marks)))


@cache
def _parser(marks: frozenset[str]) -> MarkdownIt:
    """The parser for texts with these marks; raw HTML arrives as tokens of its own, which are never passed through."""
    markdown = MarkdownIt("commonmark", {"html": True, "typographer": False})
    markdown.enable([rule for name, rule in (("tables", "table"), ("struck", "strikethrough")) if name in marks])
    if "angles" not in marks:
        markdown.disable(["html_block", "html_inline", "autolink"])
    if "notes" in marks:
        markdown.use(footnote_plugin)
    if "boxes" in marks:
        markdown.use(tasklists_plugin)
    for name in AUDIENCE_BLOCKS if "blocks" in marks else ():
        markdown.use(container_plugin, name)
    markdown.validateLink = lambda _: True  # type: ignore[method-assign,assignment]  # judged below, with a place
    return markdown


def read_prose(
    source: Source, start: int, known: Collection[str], lay: Lay | None = None
) -> tuple[Prose, list[Problem]]:
    """The Markdown from an offset to the end of a source, with what it links to and shows.

    ``known`` holds the files of the project; a target that is none of them is a problem. ``lay`` lays the tokens out for
    pages while they are there.
    """
    text = source.text[start:]
    first = source.place(start).line
    env: dict[str, Any] = {}
    tokens = parser(text).parse(text, env)
    problems = block_faults(tokens, source, first) + _footnotes(env, source, start)
    references: list[Reference] = []
    for token, audience in _with_audience(tokens):
        if token.type == "html_block":
            problems += _html(token.content, Place(source.file, first + (token.map or [0])[0]))
        elif token.type == "inline" and token.children:
            block = token.map or [0, 1]
            lines = (first + block[0], first + block[1])
            _inline(token.children, source, lines, audience, known, references, problems)
    digest = hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()
    plain = not any(token.type.startswith("container_") for token in tokens)
    written = Written(text, tuple(reference.target for reference in references), parsed_again)
    said, laid = said_in(tokens, first), lay(tokens) if lay else None
    opening = opening_of(tokens)
    prose = Prose(tuple(references), text, first, source.file, plain, digest, opening, said, laid, written)
    return prose, problems


@lru_cache(maxsize=16)
def parsed_again(text: str, targets: Sequence[str]) -> Sequence[Token]:
    """The tokens of a text that was read before, its links and pictures leading where they were found to lead."""
    tokens, led = parser(text).parse(text, {}), iter(targets)
    for token in tokens:
        for child in token.children or () if token.type == "inline" else ():
            if name := _TARGETS.get(child.type):
                child.attrSet(name, next(led))
    return tuple(tokens)


def _footnotes(env: Mapping[str, Any], source: Source, start: int) -> list[Problem]:
    """Footnotes that no mark in the text asks for: they would be left out without a word."""
    problems = []
    for name, number in env.get("footnotes", {}).get("refs", {}).items():
        if number < 0:
            mark = f"[^{name[1:]}]"
            at = source.text.find(mark + ":", start)
            place = source.place(at, at + len(mark)) if at >= 0 else Place(source.file, source.place(start).line)
            problems.append(
                Problem(
                    place,
                    "unused-footnote",
                    f"nothing in the text has the footnote {shown(mark)}",
                    f"write  {mark}  where it belongs",
                    Severity.WARNING,
                )
            )
    return problems


def _with_audience(tokens: Sequence[Token]) -> Iterator[tuple[Token, str]]:
    """The tokens of words and HTML with the audience of the ::: block they stand in."""
    inside: list[str] = []
    for token in tokens:
        if token.type in {"inline", "html_block"}:
            yield token, "private" if "private" in inside else "handover" if inside else "public"
        elif found := _CONTAINER.fullmatch(token.type) if token.type.startswith("container_") else None:
            if found[2] == "open":
                inside.append(found[1])
            else:
                inside.pop()


def _inline(
    children: Sequence[Token],
    source: Source,
    lines: tuple[int, int],
    audience: str,
    known: Collection[str],
    references: list[Reference],
    problems: list[Problem],
) -> None:
    """Collect the links and pictures of one paragraph, giving each the path it has from the project folder."""
    seen: dict[str, int] = {}
    for index, token in enumerate(children):
        if token.type == "text" and (lost := _MARK.search(token.content)):
            problems.append(
                Problem(
                    _find(source, lines, lost[0], lost[0], {}),
                    "missing-footnote",
                    f"there is no footnote {shown(lost[0])}",
                    f"write it on a line of its own, as in  {lost[0]}: \u2026\nor put this in backquotes",
                    Severity.WARNING,
                )
            )
        if token.type == "html_inline":
            problems += _html(token.content, Place(source.file, lines[0]))
        name = _TARGETS.get(token.type)
        if name is None:
            continue
        raw = str(token.attrGet(name) or "")
        written = unquote(raw)
        place = _find(source, lines, raw, written, seen)
        target, found = _target(written, source.file, place, known, picture=name == "src")
        target = raw if target == written and _ADDRESS.match(target) else target  # an address keeps its % signs
        problems += found
        token.attrSet(name, target)
        words = token.content if name == "src" else _words(children[index + 1 :])
        references.append(Reference(target, place, name == "src", words, str(token.attrGet("title") or ""), audience))


def _words(children: Sequence[Token]) -> str:
    """What a link says: all up to its end."""
    inner = takewhile(lambda token: token.type != "link_close", children)
    return "".join(" " if token.type == "softbreak" else token.content for token in inner)


def _find(source: Source, lines: tuple[int, int], raw: str, written: str, seen: dict[str, int]) -> Place:
    """Where in the paragraph's lines a target stands; the nth mention for the nth link to it."""
    begin = source.starts[min(lines[0], len(source.starts)) - 1]
    end = source.starts[lines[1] - 1] if lines[1] - 1 < len(source.starts) else len(source.text)
    for form in dict.fromkeys((raw, written)):
        at = source.text.find(form, seen.get(form, begin), end) if form else -1
        if at >= 0:
            seen[form] = at + len(form)
            return source.place(at, at + len(form))
    return Place(source.file, lines[0])


def _target(written: str, file: str, place: Place, known: Collection[str], picture: bool) -> tuple[str, list[Problem]]:
    """The path from the project folder, or the address, that a link means."""
    if _ADDRESS.match(written):
        if picture:
            return "", [
                Problem(
                    place,
                    "far-picture",
                    f"{shown(written)} is not a picture of this project",
                    "save it under photos/ and write  ![what it shows](../photos/name.jpg)",
                )
            ]
        if written.lower().startswith(_SAFE):
            return written, []
        return "", [
            Problem(
                place,
                "odd-link",
                f"{shown(written)} is no kind of link that is followed here",
                "links start with https: or mailto:, or name a file of the project",
            )
        ]
    path, hash_, anchor = written.partition("#")
    if not path and (picture or not anchor):
        return "", [Problem(place, "odd-link", "this leads nowhere", "write the file or address between the ( )")]
    if not path:
        return written, []
    target, problems = project_path(path, file, place, known, "photo" if picture else "file")
    return target + hash_ + anchor, problems


_DOWN = re.compile(r"[^./:][^/:]*(?:/[^./][^/]*)*")
"""Paths that lead down step by step, in which there is nothing to be put right."""


def _tries(here: str, plain: str) -> list[str]:
    return [posixpath.normpath(posixpath.join(here, plain)), posixpath.normpath(plain)]


def project_path(
    written: str, file: str, place: Place, known: Collection[str], what: str = "file"
) -> tuple[str, list[Problem]]:
    """The path from the project folder of a path written in ``file``: from there, or from that file's own folder."""
    plain = written.replace("\\", "/")
    here = posixpath.dirname(file)
    tries = [f"{here}/{plain}", plain] if here and _DOWN.fullmatch(plain) else _tries(here, plain)
    for path in tries:
        if path in known:
            return path, []
    if plain.startswith("/") or re.match(r"[A-Za-z]:", plain) or all(path.startswith("..") for path in tries):
        return "", [
            Problem(
                place,
                "outside-folder",
                f"{shown(written)} leaves the project folder",
                "copy the file into the project and name it from there",
            )
        ]
    from_top = plain.split("/", 1)[0] in {"photos", "documents", "log", "pages"}
    best = next((path for path in (reversed(tries) if from_top else tries) if not path.startswith("..")), tries[-1])
    folder = posixpath.dirname(best)
    near = suggestion(best, [name for name in known if posixpath.dirname(name) == folder][:2000])
    near = near or suggestion(best, [name for name in known if posixpath.basename(name) == posixpath.basename(best)])
    name = "missing-photo" if what == "photo" else "missing-file"
    return "", [
        Problem(
            place,
            name,
            f"there is no {what} {shown(best, 200)}",
            near or "put the file there, or mend the name; large and small letters count",
        )
    ]


def _html(content: str, place: Place) -> list[Problem]:
    """Comments are dropped without a word, as they were meant to be; other HTML is shown as it was written."""
    if content.startswith(TASK_BOX) or re.fullmatch(r"\s*(<!--.*?-->\s*)+", content, re.DOTALL):
        return []
    return [
        Problem(
            place,
            "html-in-text",
            "HTML in the text is not passed on; it will show as it stands",
            "say it in Markdown, or put it in backquotes",
            Severity.WARNING,
        )
    ]
