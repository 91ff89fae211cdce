"""The ledgers as CSV (RFC 4180: commas, CRLF, quotes doubled; UTF-8), each from the figures of one audience.

What that audience may not see is not in the figures and so not here; money has ledgers of its own, which are left out
whole where costs may not be seen. A column is written once, with its unit and meaning: the file of the ledger and the
data dictionary are both made from it.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Sequence

from buildlog.figures.figures import Figures
from buildlog.handover.ledger_columns import Ledger, Pen
from buildlog.handover.ledger_parts import PART_LEDGERS
from buildlog.handover.ledger_standing import STANDING_LEDGERS
from buildlog.handover.ledger_work import WORK_LEDGERS

DICTIONARY = "columns.csv"
"""The data dictionary: what each column of each file is."""
_DICTIONARY_HEAD = ("file", "column", "unit", "meaning")


def ledgers(worked: Figures) -> dict[str, bytes]:
    """Every ledger and the dictionary, by file name."""
    made = list(_made(worked))
    files = {ledger.name: _written([column.name for column in ledger.columns], ledger.lines()) for ledger in made}
    return {**files, DICTIONARY: _written(_DICTIONARY_HEAD, _dictionary(made))}


def _made(worked: Figures) -> Iterator[Ledger]:
    pen = Pen.of(worked)
    for make in (*WORK_LEDGERS, *PART_LEDGERS, *STANDING_LEDGERS):
        ledger = make(worked, pen)
        if ledger is not None:
            yield ledger


def _dictionary(made: Iterable[Ledger]) -> Iterator[Sequence[str]]:
    for ledger in made:
        for column in ledger.columns:
            yield (ledger.name, column.name, column.unit, column.meaning)
    meanings = ("a file of this folder", "a column of it", "the unit of its numbers", "what it says")
    for name, meaning in zip(_DICTIONARY_HEAD, meanings, strict=True):
        yield (DICTIONARY, name, "", meaning)


def _written(head: Sequence[str], lines: Iterable[Sequence[str]]) -> bytes:
    """A table as RFC 4180 writes it."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(head)
    writer.writerows(lines)
    return text.getvalue().encode()
