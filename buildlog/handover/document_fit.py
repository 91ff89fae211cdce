"""How wide the columns of a table may be, so that nothing in it stands over its edge.

A column as wide as its widest cell takes what it wants before the others get anything, so one long number could push the
rest of a table off the page. Widths are counted in signs of the facts' face, at a width of page of about a hundred: a
measure good enough to say which column must share, and from how many signs on a word must be broken in it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

Node = dict[str, Any]

ROOM = 98
"""Signs in a line of a table, over the whole width of the page (9 pt; A4 and letter differ by less than a sign)."""
DENSE_ROOM = 126
DENSE = 9
"""Columns from which on a table is set in small type."""
WIDEST = 24
"""Signs from which on a column is no longer as wide as its widest cell."""
LEAST = 6
"""Signs that a column has at least, for each share it has."""
WHOLE_ROWS, WHOLE_SIGNS = 6, 600
"""Rows and signs up to which a table stands on one page."""
LONG_CELL = 1000
"""Signs of a cell, over all columns, from which on its row may be broken between two pages."""
_BETWEEN = 1.3


def fitted(table: Node) -> Node:
    """The table with a width for every column, and the signs from which on words are broken in it."""
    columns, rows = list(table["columns"]), table["rows"]
    dense = len(columns) > DENSE
    room = (DENSE_ROOM if dense else ROOM) - _BETWEEN * (len(columns) - 1)
    wanted = [_wanted(number, columns, rows) for number in range(len(columns))]
    shares = [_share(column, want) for column, want in zip(columns, wanted, strict=True)]
    while _short(room, wanted, shares):
        widest = max((n for n, share in enumerate(shares) if not share), key=wanted.__getitem__)
        shares[widest] = max(0.8, wanted[widest] / 12)
    signs = _signs(room, wanted, shares)
    made = [
        column | {"width": f"{share:g}fr" if share else "auto", "most": most}
        for column, share, most in zip(columns, shares, signs, strict=True)
    ]
    plain = [row for row in rows if row["kind"] != "group"]
    said = sum(len(plain_text(cell)) for row in rows for cell in row["cells"])
    whole = len(plain) <= WHOLE_ROWS and said <= WHOLE_SIGNS
    return table | {"columns": made, "rows": [_row(row, len(columns)) for row in rows], "dense": dense, "whole": whole}


def _row(row: Node, columns: int) -> Node:
    longest = max((len(plain_text(cell)) for cell in row["cells"]), default=0)
    return row | {"long": longest * columns > LONG_CELL * 2}


def _wanted(number: int, columns: Sequence[Node], rows: Sequence[Node]) -> int:
    """The signs of the longest line in a column."""
    cells = [row["cells"][number] for row in rows if row["kind"] != "group"]
    lines = [line for cell in (columns[number]["head"], *cells) for line in plain_text(cell).split("\n")]
    return max(map(len, lines), default=0)


def _share(column: Node, wanted: int) -> float:
    """The share that a column asks for, 0 for one as wide as its widest cell."""
    if column["width"] != "auto":
        return float(column["width"].removesuffix("fr"))
    return 1.4 if wanted > WIDEST else 0.0


def _short(room: float, wanted: Sequence[int], shares: Sequence[float]) -> bool:
    """Whether the columns that take what they want leave too little for those that share."""
    fixed = sum(want for want, share in zip(wanted, shares, strict=True) if not share)
    return fixed > 0 and room - fixed < LEAST * sum(shares)


def _signs(room: float, wanted: Sequence[int], shares: Sequence[float]) -> list[int]:
    left = room - sum(want for want, share in zip(wanted, shares, strict=True) if not share)
    each = left / (sum(shares) or 1)
    return [max(2, int(share * each) - 1) if share else WIDEST for share in shares]


def plain_text(nodes: Sequence[Node]) -> str:
    """The words of a cell, a line of it a line."""
    return "".join(_words(nodes))


def _words(nodes: Sequence[Node]) -> Iterator[str]:
    for node in nodes:
        if node["t"] == "break":
            yield "\n"
        elif node["t"] == "tab":
            yield f"{node['code']}   {node['name']}"
        else:
            yield "  " if node["t"] in {"open", "shut"} else ""
            yield node.get("s", "")
            yield from _words(node.get("c", ()))
