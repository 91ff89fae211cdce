"""Links within a document, settled before it is drawn: each leads to a place that is there, or is words alone.

A link to a place within a page of the site (systems/fuel.html#work) falls back to that page.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from buildlog.handover.document_nodes import Node

_LINKS = {"to", "tab"}


def settled(document: Node) -> Node:
    """The document with every link that leads nowhere taken off its words, and every place named once."""
    places: set[str] = set()
    once = _named_once(document, places)
    result = _led(once, frozenset(places))
    assert isinstance(result, dict)  # noqa: S101 - what goes in as a document comes out as one
    return result


def places(node: Any) -> Iterator[str]:
    """Every place that can be linked to."""
    if isinstance(node, dict):
        if node.get("to") and node.get("t") not in {*_LINKS, "out"}:
            yield node["to"]
        for value in node.values():
            yield from places(value)
    elif isinstance(node, list):
        for one in node:
            yield from places(one)


def _named_once(node: Any, seen: set[str]) -> Any:
    """A name belongs to the first place that has it: the engine refuses a second."""
    if isinstance(node, list):
        return [_named_once(one, seen) for one in node]
    if not isinstance(node, dict):
        return node
    made = dict(node)
    if node.get("to") and node.get("t") not in {*_LINKS, "out"}:
        made["to"] = "" if node["to"] in seen else node["to"]
        seen.add(node["to"])
    return {key: _named_once(value, seen) for key, value in made.items()}


def _led(node: Any, known: frozenset[str]) -> Any:
    if isinstance(node, list):
        return [_led(one, known) for one in node]
    if not isinstance(node, dict):
        return node
    made = {key: _led(value, known) for key, value in node.items()}
    if node.get("t") in _LINKS and node.get("to"):
        target = node["to"] if node["to"] in known else node["to"].partition("#")[0]
        found = target if target in known else ""
        made["to"] = found
        if node["t"] == "to" and not found:
            made["t"] = "plain"
    return made
