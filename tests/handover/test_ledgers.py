"""The ledgers as CSV: read back by two readers they are the figures; the dictionary knows every column; nothing leaks."""

from __future__ import annotations

import csv
import io
from decimal import Decimal
from pathlib import Path

import pandas as pd
import pytest

from buildlog.figures.figures import Figures, figures
from buildlog.handover.ledgers import DICTIONARY, ledgers
from buildlog.records.audience import AUDIENCES, seen_by
from tests.making import read
from tests.pages.laying import FILES, rules

MORE: dict[str, str | bytes] = FILES | {
    "directives.yaml": "directives:\n"
    "  - {key: D-1, number: D 1, title: Look, about: engine, applies: unknown, because: Lot not seen, due: 2027-06-30}\n",
    "checks.yaml": "checks:\n  - {key: altimeter, name: Altimeter test, every: 24 calendar months, last: 2026-03-01}\n",
    "documents/letter.pdf": b"3",
    "log/2026-08-01-odd.md": "---\ntitle: 'Signs: \"quoted\", comma; \u00e9 \u2192'\ndate: 2026-08-01\nsystem: cabin\n"
    'documents: [{file: documents/letter.pdf, title: "A, B and \\"C\\"", kind: letter}]\n'
    'components: [{tagged: engine, state: serviceable, because: "first line\\nsecond line"}]\n---\nWords.\n',
}
Table = list[dict[str, str]]


def seen(root: Path, audience: str, files: dict[str, str | bytes] = MORE) -> Figures:
    return figures(seen_by(read(root, files).logbook, audience))[0]


def table(content: bytes) -> Table:
    return list(csv.DictReader(io.StringIO(content.decode("utf-8"), newline=""), strict=True))


def cents(rows: Table, name: str) -> int:
    return sum(int(Decimal(row[name]) * 100) for row in rows if row[name])


def test_the_ledgers_are_the_figures(tmp_path: Path) -> None:
    worked = seen(tmp_path, "buyer")
    made = {name: table(content) for name, content in ledgers(worked).items()}
    assert [row["entry"] for row in made["entries.csv"]] == [entry.slug for entry in worked.logbook.told()]
    assert [row["title"] for row in made["entries.csv"]][-1] == 'Signs: "quoted", comma; \u00e9 \u2192'
    assert sum(int(row["minutes"]) for row in made["hours.csv"]) == worked.labour.minutes() == 1170
    assert cents(made["costs.csv"], "value") == worked.cost.net() == 126225
    assert cents(made["costs-by-system.csv"], "net") == 126225
    assert {row["system"]: row["net"] for row in made["costs-by-system.csv"]}["fuel"] == "7.50"
    assert [row["component"] for row in made["components.csv"]] == [*worked.components]
    assert len(made["component-events.csv"]) == sum(len(state.events) for state in worked.components.values())
    assert [(row["item"], row["weight"], row["arm"]) for row in made["weight-changes.csv"]] == [
        ("Old battery", "-24.3", "73.00"),
        ("New battery", "5.1", "73.00"),
        ("An entry not shown here", "2.0", "10.00"),
    ]
    assert [(row["finding"], row["standing"], row["closed"]) for row in made["findings.csv"]] == [
        ("F-1", "before flight", "2026-07-08"),
        ("F-2", "cosmetic", ""),
    ]
    assert [row["component"] for row in made["equipment.csv"]] == [line.state.key for line in worked.equipment]
    assert [(row["on"], row["says"]) for row in made["history-facts.csv"]] == [
        ("2001~", "A meter"),
        ("2006-23", "A neighbour"),
    ]
    assert [(row["directive"], row["state"], row["due"]) for row in made["directives.csv"]] == [
        ("D-1", "not-determined", "2027-06-30")
    ]
    assert {row["key"]: row["due"] for row in made["checks.csv"]}["altimeter"] == "2028-03-31"
    assert [row["title"] for row in made["documents.csv"]] == ['A, B and "C"']


@pytest.mark.parametrize("audience", AUDIENCES)
def test_the_dictionary_has_every_column_and_no_other(tmp_path: Path, audience: str) -> None:
    made = ledgers(seen(tmp_path, audience))
    heads = [(name, column) for name, content in made.items() for column in table_head(content)]
    rows = table(made[DICTIONARY])
    assert [(row["file"], row["column"]) for row in rows] == heads
    assert len(set(heads)) == len(heads)
    assert all(row["meaning"] for row in rows)


def table_head(content: bytes) -> list[str]:
    return next(csv.reader(io.StringIO(content.decode(), newline="")))


def test_pandas_reads_the_same(tmp_path: Path) -> None:
    for name, content in ledgers(seen(tmp_path, "builder")).items():
        frame = pd.read_csv(io.BytesIO(content), dtype=str, keep_default_na=False)
        assert frame.to_dict("records") == table(content), name
        assert list(frame.columns) == table_head(content)


def test_lines_end_as_rfc_4180_says_and_there_is_no_mark(tmp_path: Path) -> None:
    for name, content in ledgers(seen(tmp_path, "buyer")).items():
        assert content.endswith(b"\r\n") and not content.startswith(b"\xef\xbb\xbf"), name
        rows = list(csv.reader(io.StringIO(content.decode(), newline="")))
        inside = sum(cell.count("\n") for row in rows for cell in row)
        assert content.count(b"\r\n") == len(rows)
        assert content.count(b"\n") == len(rows) + inside
        assert len({len(row) for row in rows}) == 1


def test_an_inspector_gets_no_money(tmp_path: Path) -> None:
    made = ledgers(seen(tmp_path, "inspector"))
    assert not [name for name in made if "cost" in name]
    text = b"\n".join(made.values())
    for figure in (b"212.00", b"905.75", b"271.73", b"45.00", b"receipt.pdf", b"USD"):
        assert figure not in text, figure
        assert figure in b"\n".join(ledgers(seen(tmp_path / "buyer", "buyer")).values()) or figure == b"905.75"


def test_totals_alone_show_no_line_of_money(tmp_path: Path) -> None:
    made = ledgers(seen(tmp_path, "public", rules("costs: totals")))
    assert "costs.csv" not in made and "costs-by-system.csv" in made


@pytest.mark.parametrize("audience", ["public", "inspector", "buyer"])
def test_a_private_entry_leaves_weights_and_no_words(tmp_path: Path, audience: str) -> None:
    text = b"\n".join(ledgers(seen(tmp_path, audience)).values())
    for word in (b"private", b"Private", b"Secret box", b"50.00 USD"):
        assert word not in text
    assert b"An entry not shown here" in text


def test_no_hours_no_serials_no_days_where_they_may_not_be_seen(tmp_path: Path) -> None:
    files = MORE | {"project.yaml": rules("hours: no, exact_dates: no, costs: none")["project.yaml"]}
    made = ledgers(seen(tmp_path, "public", files))
    assert "hours.csv" not in made
    assert not any(row["minutes"] for row in table(made["entries.csv"]))
    assert {len(row["day"]) for row in table(made["weight-changes.csv"])} == {len("2026-07")}
    assert {len(row["due"]) for row in table(made["checks.csv"]) if row["due"]} == {len("2028-03")}
    assert b"S-77" not in b"\n".join(made.values())


def test_nothing_is_judged(tmp_path: Path) -> None:
    text = b"\n".join(ledgers(seen(tmp_path, "buyer")).values()).decode().casefold()
    for word in ("airworthiness", "compliant", "approved"):
        assert word not in text
