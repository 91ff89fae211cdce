"""Strict YAML: the core rules of YAML 1.2, each key once, no anchors or tags, and a place for every problem.

The C parser of PyYAML makes the nodes and we resolve them ourselves: only null, true and false become values, all
else stays text, so that 3:15, 012, no and 1.10 reach their own types as they were written.
"""

from __future__ import annotations

import re
from typing import Any

import yaml

from buildlog.basics.frozen import frozen
from buildlog.basics.problems import Place, Problem, Severity, shown
from buildlog.reading.malformed import malformed
from buildlog.reading.source import Source
from buildlog.records.types import PLACE_KEY

DEEPEST = 40
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_NULLS = {"", "~", "null", "Null", "NULL"}
_FLAGS = {"true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False}
_REMARK = re.compile(r"[ \t]+#")
_NOT_BREAKS = {0x85: " ", 0x2028: " ", 0x2029: " "}  # line ends to YAML 1.1, not to 1.2 and not to us
_ODD = re.compile("[^\\t\\n\\x20-\\x7e\\xa0-\\ud7ff\\ue000-\\ufefe\\uff00-\\ufffd\\U00010000-\\U0010ffff]")
_TAB = re.compile(r"^ *+(?:\t|(?:- ++)*+[^\s#'\"\[{|>][^#'\"\n]*?:\t|-\t)", re.MULTILINE)
# Only a text that holds one of these can have an anchor or a tag, or be nested deeper than DEEPEST.
_SUSPECT = re.compile(r"[&*!]|(?:^|[\s\[{,])\?(?:\s|$)|^ {20,}|^(?: *+[-:] ++){10,}", re.MULTILINE)
_HALF_A_COMMENT = re.compile(r"[ \t]+#([^\s#!][^\n]{0,30})")


@frozen
class Document:
    """A YAML text read: its value, with the place of each mapping under PLACE_KEY, and the nodes to find places in."""

    value: Any
    root: yaml.Node | None
    source: Source
    offset: int
    broken: bool = False
    """Whether it is no YAML at all, so that nothing is known of what it was to say."""

    def place(self, path: tuple[Any, ...], key: bool = False) -> Place:
        """The place of the value at ``path`` (or of its key), or of the nearest thing round it that is written."""
        node, at = self.root, self.root
        for step in path:
            name, node = _child(node, step)
            if node is None:
                break
            at = name if key and step == path[-1] and name is not None else node
        return self._place_of(at) if at is not None else Place(self.source.file, 1)

    def _place_of(self, node: yaml.Node) -> Place:
        return _place(self.source, self.offset, node)


def _place(source: Source, offset: int, node: yaml.Node) -> Place:
    start, end = node.start_mark.index + offset, node.end_mark.index + offset
    if isinstance(node, yaml.CollectionNode) and not node.flow_style:
        said = _first_line(node) + offset
        end = said if _REMARK.match(source.text, said, end) else end
    return source.place(start, end)


def _first_line(node: yaml.Node) -> int:
    """Where what a list or mapping writes on its first line ends."""
    inner = node
    while isinstance(inner, yaml.CollectionNode) and not inner.flow_style and inner.value:
        key, value = inner.value[0] if isinstance(inner, yaml.MappingNode) else (inner.value[0], inner.value[0])
        inner = value if value.start_mark.line == node.start_mark.line else key
    return int(inner.end_mark.index)


def _child(node: yaml.Node | None, step: Any) -> tuple[yaml.Node | None, yaml.Node | None]:
    """The (key, value) nodes under ``step``."""
    if isinstance(node, yaml.MappingNode):
        for key, value in node.value:
            if key.value == str(step):
                return key, value
    if isinstance(node, yaml.MappingNode) and step == 0:
        return None, node  # one group stands for a list of one
    if isinstance(node, yaml.SequenceNode) and isinstance(step, int) and step < len(node.value):
        return None, node.value[step]
    return None, None


def read_yaml(source: Source, start: int = 0, end: int | None = None) -> tuple[Document, list[Problem]]:
    """The YAML between two offsets of a source. A text with problems still gives what could be read of it."""
    text = source.text[start:end].translate(_NOT_BREAKS)
    problems = _forbidden(source, text, start)
    empty = Document(None, None, source, start, broken=True)
    if problems:
        return empty, problems
    try:
        node = yaml.compose(text, Loader=_LOADER)
    except yaml.YAMLError as error:
        return empty, [malformed(error, source, start)]
    value = _value(node, source, start, problems) if node is not None else None
    return Document(value, node, source, start), problems


def _forbidden(source: Source, text: str, start: int) -> list[Problem]:
    """What is refused before nodes are made of it: control characters, tabs, deep nesting, anchors and tags."""
    odd = _ODD.search(text)
    if odd:
        place = source.place(start + odd.start(), start + odd.end())
        return [
            Problem(
                place,
                "odd-character",
                f"the character U+{ord(odd[0]):04X}, which nobody can see, stands in the text",
                "delete it, or write this part of the line again",
            )
        ]
    tabs = (found.end() - 1 for found in _TAB.finditer(text))
    problems = [
        Problem(
            source.place(start + at, start + at + 1),
            "tab",
            "a tab stands where YAML wants spaces",
            "put spaces in its place",
        )
        for at in tabs
    ]
    if not problems and (_SUSPECT.search(text) or text.count("[") + text.count("{") > DEEPEST):
        return _by_event(source, text, start)
    return problems


def _by_event(source: Source, text: str, start: int) -> list[Problem]:
    """Anchors, tags and deep nesting, seen in the parser's events, which come one by one and overrun no stack."""
    problems: list[Problem] = []
    depth = 0
    try:
        for event in yaml.parse(text, Loader=_LOADER):
            depth += isinstance(event, yaml.CollectionStartEvent) - isinstance(event, yaml.CollectionEndEvent)
            place = source.place(event.start_mark.index + start if event.start_mark else start)
            if depth > DEEPEST:
                return [
                    Problem(
                        place,
                        "too-deep",
                        f"lists within lists more than {DEEPEST} deep begin here",
                        "write it flatter, or put a text that begins with [ or { in quotes",
                    )
                ]
            if isinstance(event, yaml.AliasEvent) or getattr(event, "anchor", None):
                problems.append(
                    Problem(
                        place,
                        "anchor",
                        "a text that begins with & or * is read as a sign for another place",
                        "put the text in quotes, or write the thing out where it is wanted",
                    )
                )
            elif getattr(event, "tag", None):
                problems.append(
                    Problem(
                        place,
                        "tag",
                        "a text that begins with ! is read as an order to the YAML reader",
                        "put the text in quotes",
                    )
                )
    except yaml.YAMLError:
        return problems  # the parser's own complaint comes when it is read
    return problems


def _value(node: yaml.Node, source: Source, start: int, problems: list[Problem]) -> Any:
    """A node as plain values; each mapping carries its place."""
    if isinstance(node, yaml.ScalarNode):
        problems += _cut_short(node, source, start)
        return _scalar(node)
    if isinstance(node, yaml.SequenceNode):
        return [_value(child, source, start, problems) for child in node.value]
    mapping: dict[str, Any] = {PLACE_KEY: _place(source, start, node)}
    seen: dict[str, yaml.Node] = {}
    last: tuple[str, yaml.Node] | None = None
    for key, value in node.value:
        if not isinstance(key, yaml.ScalarNode):
            problems.append(
                Problem(
                    _place(source, start, key),
                    "odd-key",
                    "a name before a colon must be plain words",
                    "write  name: value",
                )
            )
        elif key.value == PLACE_KEY:
            problems.append(
                Problem(
                    _place(source, start, key),
                    "odd-key",
                    f"{PLACE_KEY!r} cannot be a name before a colon",
                    "write another name",
                )
            )
        elif key.value in seen:
            first = _place(source, start, seen[key.value])
            problems.append(
                Problem(
                    _place(source, start, key),
                    "repeated-key",
                    f"{shown(key.value)} is written twice here",
                    "keep one of them",
                    also=(first,),
                )
            )
        elif getattr(node, "flow_style", False) and _lone_words(key, value, source, start):
            problems.append(_comma(source, start, key, last, mapping))
        else:
            seen[key.value] = key
            last = key.value, value
            mapping[key.value] = _value(value, source, start, problems)
    return mapping


def _scalar(node: yaml.ScalarNode) -> Any:
    if not node.style:
        if node.value in _NULLS:
            return None
        if node.value in _FLAGS:
            return _FLAGS[node.value]
    return str(node.value)


def _cut_short(node: yaml.ScalarNode, source: Source, start: int) -> list[Problem]:
    """A text that loses its end to a # that was perhaps not meant to begin a comment, as in  Cylinder #3."""
    at = start + node.end_mark.index
    found = _HALF_A_COMMENT.match(source.text, at) if not node.style and node.value else None
    if not found:
        return []
    return [
        Problem(
            source.place(found.start(1) - 1, found.end()),
            "cut-short",
            f"the rest of the line, from #{found[1][:1]}, is read as a comment",
            "put the text in quotes; if a comment is meant, a space after the # says so",
            Severity.WARNING,
        )
    ]


def _lone_words(key: yaml.Node, value: yaml.Node, source: Source, start: int) -> bool:
    """Whether a key in { } has no colon because a comma split a text there."""
    if not isinstance(value, yaml.ScalarNode) or value.style or value.value:
        return False
    return not source.text[start + key.end_mark.index :].lstrip().startswith(":")


def _comma(
    source: Source, start: int, key: yaml.Node, last: tuple[str, yaml.Node] | None, mapping: dict[str, Any]
) -> Problem:
    """The problem, and the text before the comma made whole again, so that it brings no second problem."""
    remedy = 'put the whole text in quotes, as in  {caption: "The new box, lid off"}'
    if last is not None and isinstance(mapping[last[0]], str) and not getattr(last[1], "style", None):
        whole = source.text[start + last[1].start_mark.index : start + key.end_mark.index]
        if "\n" not in whole and '"' not in whole:
            mapping[last[0]] = whole
            remedy = f'put the whole text in quotes:  {last[0]}: "{whole}"'
    return Problem(
        _place(source, start, key),
        "comma-in-braces",
        f"a comma inside {{ }} ends the text, so {shown(key.value)} stands alone",
        remedy,
    )
