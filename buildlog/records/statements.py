"""What the words of a signed condition inspection say: the statement that is asked for, and how far the inspection went.

The statement is asked for by the aircraft's own operating limitations: it "was found to be in a condition for safe
operation", and never the word of type-certificated aircraft.
"""

from __future__ import annotations

import re

SAFE = "condition for safe operation"
"""What the statement of a condition inspection says."""
NOT_FOR_THIS = "airworthy"
"""What it does not say: the word claims conformity with a type certificate."""


def folded(words: str | None) -> str:
    """Words on one line and without capitals, to be looked through."""
    return " ".join((words or "").split()).casefold()


def is_statement(words: str | None) -> bool:
    """Whether words are the statement."""
    said = folded(words)
    return SAFE in said and NOT_FOR_THIS not in said


def extent_in(words: str | None) -> str | None:
    """How far the inspection went, where the statement names it as the operating limitations do."""
    said = re.search(r"scope and detail of appendix d[^,.;]*", " ".join((words or "").split()), re.IGNORECASE)
    return said[0] if said else None
