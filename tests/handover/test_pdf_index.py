"""The index: what it names, that its page numbers are true, that it can be left out, and what it must not tell."""

from __future__ import annotations

import io
import re
from pathlib import Path

from pypdf import PdfReader

from buildlog.figures.figures import figures
from buildlog.handover.document import document
from buildlog.pages.sheet import Addresses
from buildlog.pages.words import Words
from buildlog.reading.read import read_logbook
from buildlog.records.audience import seen_by
from tests.handover.printed import Printed, parts, squeezed
from tests.making import PROJECT, entry, write

FACTS = """\
title: Both hoses
date: 2026-03-07
system: fuel
hours: {owner: 1:00, mechanic: 0:30}
parts: [{item: Hose, cost: 12.00 USD, supplier: Ridge Supply, part_no: TV-9, serial: S-77, component: hose}]
findings: [{key: F-2, found: A crack, standing: cosmetic}, {key: F-10, found: Another, standing: cosmetic}]
"""
HIDDEN = "audiences:\n  inspector: {suppliers: no, serials: no, names: no}\n"


def index_of(root: Path, audience: str, more: str = "") -> dict[str, list[str]]:
    """The index's terms by kind, as data."""
    project = PROJECT.partition("audiences:")[0] + more
    files: dict[str, str | bytes] = {
        "project.yaml": project,
        "components.yaml": "hose: {name: Fuel hose, system: fuel}\n",
        "log/2026-03-07-hoses.md": entry(FACTS),
    }
    book = seen_by(read_logbook(write(root, files)).logbook, audience)
    worked, _ = figures(book)
    made = document(worked, Words(book), Addresses(book), {}, {})
    assert [part["to"] for part in made["parts"]][-1] == ("index" if "leave_out" not in more else "sources")
    if made["parts"][-1]["to"] != "index":
        return {}
    (columns,) = (node for node in made["parts"][-1]["body"] if node["t"] == "columns")
    heads, lists = columns["c"][::2], columns["c"][1::2]
    return {head["c"][0]["s"]: [one["name"] for one in told["terms"]] for head, told in zip(heads, lists, strict=True)}


def test_it_names_what_somebody_looks_up_in_the_order_of_numbers(tmp_path: Path) -> None:
    found = index_of(tmp_path, "buyer")
    assert found["Systems"] == ["Fuel"]
    assert found["Components"] == ["Fuel hose"]
    assert found["Part and serial numbers"] == ["S-77", "TV-9"]
    assert found["Findings"] == ["F-2", "F-10"]
    assert found["People"] == ["Ann Sample", "Bob Example"]
    assert found["Suppliers and shops"] == ["Ridge Supply"]


def test_it_tells_no_more_than_the_reader_may_see(tmp_path: Path) -> None:
    found = index_of(tmp_path, "inspector", HIDDEN)
    assert "People" not in found
    assert "Suppliers and shops" not in found
    assert found["Part and serial numbers"] == ["TV-9"]


def test_it_can_be_left_out(tmp_path: Path) -> None:
    assert index_of(tmp_path, "buyer", "package: {leave_out: [index]}\n") == {}


def test_each_page_named_tells_of_the_thing(buyer: Printed) -> None:
    reader = PdfReader(io.BytesIO(buyer.record))
    said = [squeezed(page.extract_text()) for page in reader.pages]
    index = parts(buyer.record)["Index"]
    keys = re.findall(r"^(F-\d+)\s+([\d, \u2013]+)$", index, re.MULTILINE)
    assert len(keys) == len(buyer.worked.findings)
    for key, numbers in keys:
        pages = [int(one) for one in re.findall(r"\d+", numbers)]
        assert squeezed(key) in said[pages[0] - 1], "the first is the row in the part on findings"
        state = next(one for one in buyer.worked.findings if one.line.key == key)
        told = [number for number in pages if squeezed(state.line.found)[:20] in said[number - 1]]
        assert len(told) >= 2, (key, pages)


def test_its_page_numbers_are_links_to_those_pages(buyer: Printed) -> None:
    reader = PdfReader(io.BytesIO(buyer.record))
    last = len(reader.pages)
    begin = next(
        n for n, page in enumerate(reader.pages, 1) if n > 3 and squeezed(page.extract_text()).find("Bypage;") > 0
    )
    links = [note.get_object() for n in range(begin, last + 1) for note in reader.pages[n - 1].get("/Annots", [])]
    assert len(links) > 100
    assert all(link["/Subtype"] == "/Link" and str(link.get("/Contents", "")) for link in links)
