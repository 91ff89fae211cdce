"""The printed documents of the demo, opened again with other programs' eyes: pikepdf, pypdf, fonttools."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from pathlib import Path

import pdfua
import pikepdf
import pytest
from fontTools.ttLib import TTFont
from pypdf import PdfReader

from buildlog.handover.glyphs import coverage, printable
from buildlog.handover.pdf import CannotPrintError, Press
from buildlog.handover.sheets import TEMPLATE as SHEETS
from buildlog.pages.words import Words
from buildlog.site.prints import PRINT
from tests.handover.printed import LEDGER, PRINT_FOLDER, Printed, made, plain, squeezed


def test_it_says_what_it_is(buyer: Printed) -> None:
    for content in (buyer.record, buyer.sheets):
        pdf = pikepdf.open(io.BytesIO(content))
        assert bool(pdf.Root.MarkInfo.Marked)
        assert str(pdf.Root.Lang) == buyer.worked.logbook.project.locale
        assert bool(pdf.Root.ViewerPreferences.DisplayDocTitle)
        with pdf.open_metadata() as said:
            assert said["pdfaid:part"] == "3"
            assert said["pdfaid:conformance"] == "A"
            assert said["pdfuaid:part"] == "1"
            assert "Halloran Dunlin" in str(said["dc:title"])


def test_the_outline_names_every_part_and_entry(buyer: Printed) -> None:
    with buyer.pdf().open_outline() as outline:
        parts = [item.title for item in outline.root]
        names = {item.title for item in walk(outline.root)}
    assert parts[0] == "What this is, and what it is not"
    for part in (
        "What rules ask of the records",
        "Component status and times",
        "Weight and balance report",
        "Sign-offs",
    ):
        assert part in parts
    assert {entry.facts.title for entry in buyer.worked.logbook.told()} <= names


def walk(items: list[pikepdf.OutlineItem]) -> Iterator[pikepdf.OutlineItem]:
    for item in items:
        yield item
        yield from walk(item.children)


def elements(node: pikepdf.Object) -> Iterator[pikepdf.Dictionary]:
    """Every element of the structure tree."""
    below = node.get("/K", pikepdf.Array())
    for one in below if isinstance(below, pikepdf.Array) else [below]:
        if isinstance(one, pikepdf.Dictionary) and "/S" in one:
            yield one
            yield from elements(one)


def test_headings_tables_lists_and_figures_are_tagged(buyer: Printed) -> None:
    pdf = buyer.pdf()
    found = list(elements(pdf.Root.StructTreeRoot))
    kinds = {str(one.S) for one in found}
    assert {"/H1", "/H2", "/H3", "/Table", "/TH", "/TR", "/TD", "/L", "/LI", "/Figure", "/Link", "/P"} <= kinds
    pictures = [one for one in found if str(one.S) == "/Figure"]
    told = [one for one in pictures if str(one.get("/Alt", "")).strip()]
    assert pictures
    assert len(told) >= len(buyer.long_edges) / 2
    assert all("/Scope" in str(one.get("/A", "")) or "/A" in one for one in found if str(one.S) == "/TH")


def test_the_ledgers_travel_inside_with_their_relationship(buyer: Printed) -> None:
    pdf = buyer.pdf()
    assert list(pdf.attachments) == ["weight.csv"]
    held = next(iter(pdf.attachments.values()))
    assert held.get_file().read_bytes() == LEDGER.content
    assert held.get_file().mime_type == "text/csv"
    assert [str(one.AFRelationship) for one in pdf.Root.AF] == ["/Data"]


def fonts(pdf: pikepdf.Pdf) -> Iterator[pikepdf.Dictionary]:
    for page in pdf.pages:
        yield from page.get("/Resources", {}).get("/Font", {}).values()


def test_every_font_is_embedded_as_a_part_of_itself(buyer: Printed) -> None:
    names, pdf = set(), buyer.pdf()
    for font in fonts(pdf):
        inner = font.DescendantFonts[0] if "/DescendantFonts" in font else font
        assert re.match(r"/[A-Z]{6}\+", str(inner.BaseFont)), inner.BaseFont
        assert {"/FontFile2", "/FontFile3"} & set(inner.FontDescriptor.keys())
        assert "/ToUnicode" in font
        names.add(str(inner.BaseFont).partition("+")[2])
    assert any("Vollkorn" in name for name in names)
    assert any("SofiaSans" in name for name in names)


def test_the_text_can_be_read_back(buyer: Printed) -> None:
    text = buyer.text()
    for entry in buyer.worked.logbook.told():
        assert squeezed(entry.facts.title) in text
    words = Words(buyer.worked.logbook)
    assert squeezed(words.money(buyer.worked.cost.net())) in text
    empty = buyer.worked.weight.empty()
    assert empty is not None
    assert squeezed(words.weight(empty.kg)) in text


def test_each_page_names_the_aircraft_its_state_and_number(buyer: Printed) -> None:
    pages = PdfReader(io.BytesIO(buyer.record)).pages
    for number, page in enumerate(pages, 1):
        if number > 1:
            text = squeezed(page.extract_text())
            assert "HalloranDunlin" in text
            assert f"Page{number}of{len(pages)}" in text
            assert "0123456789abcdef" in text


def test_an_inspector_is_told_no_costs(buyer: Printed, inspector: Printed) -> None:
    cost = squeezed(Words(buyer.worked.logbook).money(buyer.worked.cost.net()))
    assert cost in buyer.text()
    assert "Cost,USD" in buyer.text()
    assert "Boughtandpaid" in buyer.text()
    for content in (inspector.record, inspector.sheets):
        assert cost not in plain(content)
        assert "Cost,USD" not in plain(content)
        assert "Boughtandpaid" not in plain(content)


def test_an_inspector_s_pages_name_no_amount_of_money(buyer: Printed, inspector: Printed) -> None:
    amount = re.compile(r"\d\.\d\d(?:USD|CAD)")
    assert len(amount.findall(buyer.text())) > 100
    for content in (inspector.record, inspector.sheets):
        assert amount.findall(plain(content)) == []


def test_every_entry_s_title_is_read_back(buyer: Printed, inspector: Printed) -> None:
    for printed in (buyer, inspector):
        text = printed.text()
        titles = [entry.facts.title for entry in printed.worked.logbook.told()]
        assert len(titles) > 20
        assert [title for title in titles if squeezed(title) not in text] == []


def test_paper_is_the_one_asked_for(buyer: Printed, inspector: Printed) -> None:
    for printed, size in ((buyer, [0, 0, 595, 842]), (inspector, [0, 0, 612, 792])):
        pdf = printed.pdf()
        assert [round(float(side)) for side in pdf.pages[0].MediaBox] == size


def test_pictures_are_no_larger_than_print_wants(buyer: Printed) -> None:
    assert max(buyer.long_edges) <= PRINT
    pdf = buyer.pdf()
    for page in pdf.pages:
        for image in page.get_images().values():
            assert max(int(image.Width), int(image.Height)) <= PRINT


def test_the_same_record_gives_the_same_bytes(buyer: Printed, tmp_path: Path) -> None:
    again = made("buyer", tmp_path)
    assert again.record == buyer.record
    assert again.sheets == buyer.sheets


def test_the_sheets_tell_each_piece_of_work_and_leave_room_to_sign(buyer: Printed) -> None:
    text = plain(buyer.sheets)
    for word in ("Airframelog", "Enginelog", "Propellerlog", "Signature", "Certificate:kindandnumber"):
        assert word in text


def test_a_sign_that_no_font_has_is_told_with_its_place() -> None:
    tree = {"t": "para", "file": "log/a.md", "line": 7, "c": [{"t": "text", "s": "hot \U0001f525"}]}
    ready, problems = printable(tree, coverage(PRINT_FOLDER / "fonts"), {"log/a.md": (7, "hot \U0001f525")})
    assert ready["c"][0]["s"] == "hot \u25af"
    assert [str(one.place) for one in problems] == ["log/a.md:7:5"]


def test_the_list_of_signs_is_true_of_the_fonts() -> None:
    """Every sign of a print font is in the list, save those that are never drawn alone."""
    known = coverage(PRINT_FOLDER / "fonts")
    regular = TTFont(PRINT_FOLDER / "fonts" / "vollkorn-400.ttf").getBestCmap()
    letters = [chr(number) for number in regular if chr(number).isalnum()]
    assert letters
    assert [sign for sign in letters if sign not in known] == []


def test_what_the_engine_refuses_is_told_in_its_words(tmp_path: Path) -> None:
    press = Press(PRINT_FOLDER, tmp_path)
    press.prepare([])
    with pytest.raises(CannotPrintError, match="parts"):
        press.print({"title": "No more than a title"}, SHEETS, tmp_path / "x.pdf", None)


def test_rules_of_archival_and_accessible_documents(buyer: Printed) -> None:
    """Rules of ISO 19005-3 (PDF/A-3a) and ISO 14289-1 (PDF/UA-1) that the structure shows; the list is from memory.

    A validator for part of PDF/UA-1 is asked too, below; none for PDF/A is a package of Python alone.
    """
    with buyer.pdf() as pdf:
        root = pdf.Root
        assert not pdf.is_encrypted
        assert "/ID" in pdf.trailer
        assert bool(root.MarkInfo.Marked)
        assert "/StructTreeRoot" in root
        assert str(root.Lang)
        intents = [one for one in root.OutputIntents if str(one.S) == "/GTS_PDFA1"]
        assert len(intents) == 1
        assert "/DestOutputProfile" in intents[0]
        assert "/JavaScript" not in root.get("/Names", {})
        assert "/AA" not in root
        for page in pdf.pages:
            assert str(page.obj.get("/Tabs", "/S")) == "/S"
            assert "/StructParents" in page.obj, "every page's content is tagged"
            for note in page.obj.get("/Annots", []):
                assert str(note.Subtype) == "/Link"
                assert "/Contents" in note or "/StructParent" in note
        with pdf.open_metadata() as said:
            assert said["pdfuaid:part"] == "1"
            assert said["dc:title"]
        for one in root.AF:
            assert str(one.UF)
            assert "/Subtype" in one.EF.F, "an attached file names its type"
            assert "/ModDate" in one.EF.F.Params


def test_a_validator_finds_nothing_against_accessibility(buyer: Printed, tmp_path: Path) -> None:
    """pdfua 0.1 decides 16 of the 106 rules of PDF/UA-1 that a machine can check.

    Its rule on empty headings (UA-14-001) stops at an error of its own at headings whose words stand in an array; that
    they are not empty is looked at here.
    """
    for name, content in (("handover.pdf", buyer.record), ("log-sheets.pdf", buyer.sheets)):
        path = tmp_path / name
        path.write_bytes(content)
        report = pdfua.validate(str(path))
        assert [str(one) for one in report.findings] == []
        assert {skip.rule_id for skip in report.skipped} <= {"UA-14-001"}
    pdf = buyer.pdf()
    heads = [one for one in elements(pdf.Root.StructTreeRoot) if re.fullmatch(r"/H\d", str(one.S))]
    assert len(heads) > 50
    assert all("/K" in one for one in heads)
