"""Names: the nearest right one for a wrong one, and addresses made from words."""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Iterable

_FEW = 12
_STEM = 3
"""Letters that must agree before a word and the beginning of another are taken for one."""


def nearest(wrong: str, known: Iterable[str]) -> str | None:
    """The known name that looks most like ``wrong``, or None when none is near."""
    choices = sorted(set(known))
    folded = {name.casefold().replace("_", "-").replace(" ", "-"): name for name in choices}
    word = wrong.casefold().replace("_", "-").replace(" ", "-")
    if word in folded:
        return folded[word]
    found = difflib.get_close_matches(word, list(folded), n=1, cutoff=0.6)
    if found:
        return folded[found[0]]
    longer = [
        name
        for name in folded
        if min(len(name), len(word)) >= _STEM and (name.startswith(word) or word.startswith(name))
    ]
    return folded[longer[0]] if len(longer) == 1 else None


def suggestion(wrong: str, known: Iterable[str], otherwise: str = "") -> str:
    """A remedy for a wrong name: the nearest right one, else the list of them if it is short."""
    names = sorted(set(known))
    near = nearest(wrong, names)
    if near is not None:
        return f"did you mean  {near} ?"
    if names and len(names) <= _FEW:
        return "known here: " + ", ".join(names)
    return otherwise


def slug(words: str) -> str:
    """Words as a file name: lower case, letters, digits and hyphens, accents taken off where they can be."""
    plain = unicodedata.normalize("NFKD", words)
    plain = "".join(c for c in plain if not unicodedata.combining(c)).casefold()
    return re.sub(r"[^\w]+", "-", plain, flags=re.UNICODE).strip("-_") or "untitled"


def counted(number: int, one: str, many: str | None = None) -> str:
    """``1 entry``, ``2 entries``: a number and the right form of the word."""
    return f"{number} {one if number == 1 else many or one + 's'}"
