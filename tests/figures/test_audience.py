"""What an audience may not see is gone before anything is worked out."""

from __future__ import annotations

from pathlib import Path

from buildlog.figures.figures import figures
from buildlog.records.audience import seen_by
from buildlog.records.kept_back import NOT_SHOWN
from buildlog.records.logbook import Logbook
from tests.making import PROJECT, entry, read

FILES: dict[str, str | bytes] = {
    "components.yaml": "pump: {name: Pump, serial: PMP-777}\n",
    "photos/open.jpg": b"1",
    "photos/tag.jpg": b"2",
    "documents/receipt.pdf": b"3",
    "documents/cert.pdf": b"4",
    "log/2026-07-04-open.md": entry(
        """
title: Open
date: 2026-07-04
system: fuel
hours: {owner: 2:00, mechanic: 1:00}
parts: [{item: Pump, cost: 100 USD, serial: PMP-777, supplier: Secret Shop, receipt: documents/receipt.pdf, component: pump}]
photos: [{file: photos/open.jpg, alt: Open}, {file: photos/tag.jpg, alt: Tag, audience: handover}]
documents: [{file: documents/cert.pdf, title: Certificate, kind: certificate}]
signed: {by: mechanic, as: work, date: 2026-07-04}
""",
        "Seen by all. ![Tag](../photos/tag.jpg)\n\n::: handover\nFor the package.\n:::\n\n::: private\nFor me.\n:::\n",
    ),
    "log/2026-07-05-kept.md": entry("""
title: Kept back
date: 2026-07-05
audience: private
system: fuel
hours: 3:00
cost: 50 USD
weight: [{installed: A secret thing, weight: 2 lb, arm: 10 in}]
findings: [{key: F-1, found: Hidden fault, standing: airworthiness}]
"""),
    "log/2026-07-06-shut.md": entry("title: Shut\ndate: 2026-07-06\ncloses: [{key: F-1, by: mended}]"),
    "log/2026-07-07-only-words.md": entry("title: Only words\ndate: 2026-07-07\naudience: private"),
}


def text_of(logbook: Logbook) -> str:
    entries = "".join(
        repr(e.facts) + "".join(t.content for t in e.prose.tokens) + repr(e.prose.references) for e in logbook.entries
    )
    return (
        entries
        + repr(logbook.project.people)
        + repr(logbook.project.aircraft)
        + repr(logbook.components)
        + repr(logbook.files)
    )


def test_the_public_sees_no_name_serial_supplier_receipt_or_private_word(tmp_path: Path) -> None:
    text = text_of(seen_by(read(tmp_path, FILES).logbook, "public"))
    for word in (
        "Secret Shop",
        "PMP-777",
        "SER-0001",
        "Bob Example",
        "998877",
        "receipt.pdf",
        "cert.pdf",
        "tag.jpg",
        "For the package",
        "For me",
        "Kept back",
        "secret thing",
        "Hidden fault",
        "Only words",
    ):
        assert word not in text, word
    assert "Seen by all" in text and "open.jpg" in text


def test_the_buyer_sees_the_package_and_not_what_is_private(tmp_path: Path) -> None:
    text = text_of(seen_by(read(tmp_path, FILES).logbook, "buyer"))
    for word in ("Secret Shop", "PMP-777", "Bob Example", "receipt.pdf", "cert.pdf", "tag.jpg", "For the package"):
        assert word in text, word
    for word in ("For me", "Kept back", "secret thing", "Only words"):
        assert word not in text, word


def test_the_inspector_sees_no_money_and_no_receipt(tmp_path: Path) -> None:
    seen = seen_by(read(tmp_path, FILES).logbook, "inspector")
    assert figures(seen)[0].cost.outlays == ()
    assert "receipt.pdf" not in text_of(seen) and "cert.pdf" in text_of(seen)


def test_hidden_weights_count_without_words_and_hidden_money_and_hours_do_not(tmp_path: Path) -> None:
    logbook = read(tmp_path, FILES).logbook
    whole, public = figures(logbook)[0], figures(seen_by(logbook, "public"))[0]
    assert public.weight.total() == whole.weight.total() != 0
    assert [change.item for change in public.weight.changes] == [NOT_SHOWN]
    assert (public.cost.net(), whole.cost.net()) == (10000, 15000)
    assert (public.labour.minutes(), whole.labour.minutes()) == (180, 360)
    assert [entry.slug for entry in public.logbook.told()] == ["2026-07-04-open", "2026-07-06-shut"]
    assert public.findings == ()


def test_months_only_where_days_may_not_be_seen(tmp_path: Path) -> None:
    files = FILES | {"project.yaml": PROJECT.replace("costs: full", "costs: full, exact_dates: no")}
    seen = seen_by(read(tmp_path, files).logbook, "public")
    assert {entry.day.day for entry in seen.entries} == {1}


def test_keys_that_are_names_become_roles(tmp_path: Path) -> None:
    project = PROJECT.replace("mechanic: {name", "bob: {name")
    files: dict[str, str | bytes] = {
        "project.yaml": project,
        "log/2026-07-04-x.md": entry("title: x\ndate: 2026-07-04\nhours: {bob: 1:00}"),
    }
    seen = seen_by(read(tmp_path, files).logbook, "public")
    assert figures(seen)[0].labour.by_person() == {"mechanic": 60}
