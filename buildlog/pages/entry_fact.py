"""What a fact of the margin is."""

from __future__ import annotations

from buildlog.basics.frozen import frozen

MOST = 5
"""Lines of weight or of components in the margin; more stand in a table under the text only."""


@frozen
class Said:
    """A line of a fact. ``mark``: open, shut or ''; ``basis``: how a weight is known; ``note``: softer."""

    words: str
    path: str = ""
    mark: str = ""
    basis: str = ""
    note: str = ""


@frozen
class Fact:
    """One fact of the margin: its name, a large figure or '', where its lines are, and lines."""

    name: str
    figure: str = ""
    path: str = ""
    lines: tuple[Said, ...] = ()
    broad: bool = False
    """Whether it wants the room of two beside others."""
