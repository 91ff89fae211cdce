"""What a parser says of a text, as a value."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from buildlog.basics.problems import Misread


def misread(read: Callable[..., Any], *written: Any) -> Misread | None:
    """The parser's complaint, which must say what is wrong and what to type, or None; no other exception passes."""
    try:
        read(*written)
    except Misread as trouble:
        told = trouble
    else:
        return None
    assert told.name
    assert told.message
    assert told.remedy
    return told
