"""The package as a buyer and an inspector get it: what is in it, and what must not be."""

from __future__ import annotations

import io
import subprocess
import zipfile
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from PIL import Image
from pypdf import PdfReader

from buildlog.cli import main
from tests.making import entry, write

PROJECT = """\
title: A test aircraft
aircraft: {type: Test type, mark: N0000T, serial: "SER-0001"}
people:
  owner: {name: Ann Sample, role: owner}
  mechanic: {name: Bob Example, role: mechanic, certificate: {kind: mechanic, number: "998877"}}
audiences:
  buyer: {costs: full, receipts: yes, documents: yes}
  inspector: {costs: none, receipts: no, documents: yes}
locale: en-GB
"""


def picture(colour: str) -> bytes:
    made = io.BytesIO()
    Image.new("RGB", (900, 600), colour).save(made, "JPEG")
    return made.getvalue()


def project(more: str = "") -> dict[str, str | bytes]:
    return {
        "project.yaml": PROJECT + more,
        "components.yaml": "magneto: {name: Magneto, system: ignition}\n",
        "photos/one.jpg": picture("navy"),
        "photos/two.jpg": picture("olive"),
        "documents/receipt.pdf": b"%PDF-1.4 a receipt of four hundred and twelve",
        "documents/tag.pdf": b"%PDF-1.4 a tag",
        "log/2026-07-04-magneto.md": entry(
            "title: A magneto comes home\ndate: 2026-07-04\nsystem: [ignition]\nhours: {owner: 2:30}\n"
            "costs: [{item: Magneto, cost: 412.37 USD, supplier: Sparkworks, receipt: documents/receipt.pdf}]\n"
            "components: [{removed: magneto, state: unserviceable, tag: documents/tag.pdf}]\n"
            "findings: [{key: F-1, found: A crack between towers, standing: airworthiness, component: magneto}]\n"
            "photos: [{file: photos/one.jpg}, {file: photos/two.jpg}]"
        ),
        "log/2026-07-05-quiet.md": entry("title: A quiet day\ndate: 2026-07-05\nsystem: [fuel]", "Nothing moved.\n"),
        "log/2026-07-06-secret.md": entry(
            "title: Between me and me\ndate: 2026-07-06\naudience: private\nsystem: [fuel]", "Nobody reads this.\n"
        ),
    }


def hand_over(root: Path, audience: str, *more: str) -> Result:
    order = ["handover", "--project", str(root), "--for", audience, "--to", str(root.parent / audience), *more]
    return CliRunner().invoke(main, order)


def pdf_text(path: Path) -> str:
    return "\n".join(page.extract_text() for page in PdfReader(path).pages)


def everything(bag: Path) -> str:
    """All that can be read in a package: names, texts, PDF text, the metadata of pictures."""
    said = []
    for path in sorted(bag.rglob("*")):
        said.append(path.name)
        if path.suffix == ".pdf" and path.parent.name == "data":
            said.append(pdf_text(path))
            attached = PdfReader(path).attachments
            said += [f"{name} {content.decode()}" for name, held in attached.items() for content in held]
        elif path.suffix in {".jpg", ".png", ".webp"}:
            with Image.open(path) as opened:
                said.append(repr(opened.info | dict(opened.getexif())))
        elif path.is_file():
            said.append(path.read_text("utf-8", errors="replace"))
    return "\n".join(said)


@pytest.fixture(scope="module")
def packages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("packages")
    root = write(folder / "project", project())
    for audience in ("buyer", "inspector"):
        done = hand_over(root, audience)
        assert done.exit_code == 0, done.output
    return {audience: folder / audience for audience in ("buyer", "inspector")}


def test_the_buyer_has_costs_and_receipts_and_the_inspector_has_none(packages: dict[str, Path]) -> None:
    buyer, inspector = (everything(packages[audience]) for audience in ("buyer", "inspector"))
    for secret in ("412.37", "receipt.pdf"):
        assert secret in buyer
        assert secret not in inspector
    assert "four hundred and twelve" not in inspector
    assert (packages["buyer"] / "data/originals/documents/receipt.pdf").is_file()
    assert (packages["inspector"] / "data/originals/documents/tag.pdf").is_file()


def test_what_is_for_nobody_is_in_no_package(packages: dict[str, Path]) -> None:
    for bag in packages.values():
        said = everything(bag)
        assert "Nobody reads this" not in said
        assert "Between me and me" not in said


def test_the_document_tells_every_entry_and_names_every_part(packages: dict[str, Path]) -> None:
    said = " ".join(pdf_text(packages["buyer"] / "data/handover.pdf").split())
    for words in ("A magneto comes home", "A quiet day", "A crack between towers", "Component status"):
        assert words in said
    sheets = " ".join(pdf_text(packages["buyer"] / "data/log-sheets.pdf").split())
    assert "A magneto comes home" in sheets


def test_other_tools_take_the_bag_and_the_zip_holds_the_same(packages: dict[str, Path]) -> None:
    bag = packages["buyer"]
    done = subprocess.run(["sha256sum", "-c", "--quiet", "manifest-sha256.txt"], cwd=bag, check=False)  # noqa: S607
    assert done.returncode == 0
    with zipfile.ZipFile(bag.with_name("buyer.zip")) as packed:
        inside = {name.partition("/")[2] for name in packed.namelist()}
    assert inside == {path.relative_to(bag).as_posix() for path in bag.rglob("*") if path.is_file()}
    assert CliRunner().invoke(main, ["verify", str(bag.with_name("buyer.zip"))]).exit_code == 0
    (bag / "data/site/index.html").write_text("changed", "utf-8")
    told = CliRunner().invoke(main, ["verify", str(bag)])
    assert told.exit_code == 1
    assert "data/site/index.html" in told.output


def test_the_same_content_gives_the_same_bytes(tmp_path: Path) -> None:
    root = write(tmp_path / "project", project())
    assert hand_over(root, "inspector").exit_code == 0
    first = (tmp_path / "inspector.zip").read_bytes()
    assert hand_over(root, "inspector").exit_code == 0
    assert (tmp_path / "inspector.zip").read_bytes() == first


def test_every_missing_file_is_told_at_once_and_the_former_package_stays(tmp_path: Path) -> None:
    root = write(tmp_path / "project", project())
    assert hand_over(root, "buyer").exit_code == 0
    before = (tmp_path / "buyer.zip").read_bytes()
    (root / "photos/one.jpg").unlink()
    (root / "documents/tag.pdf").unlink()
    told = hand_over(root, "buyer")
    assert told.exit_code == 1
    assert "photos/one.jpg" in told.output
    assert "documents/tag.pdf" in told.output
    assert (tmp_path / "buyer.zip").read_bytes() == before


def test_paper_cover_and_parts_are_the_project_s_to_say(tmp_path: Path) -> None:
    more = "package: {paper: letter, cover: photos/two.jpg, leave_out: [findings, decisions]}\n"
    root = write(tmp_path / "project", project(more))
    done = hand_over(root, "buyer")
    assert done.exit_code == 0, done.output
    reader = PdfReader(tmp_path / "buyer/data/handover.pdf")
    assert [round(float(side)) for side in reader.pages[0].mediabox[2:]] == [612, 792]
    titles = [one.title for one in reader.outline if not isinstance(one, list)]
    assert not any("Finding" in str(title) for title in titles), titles
    (shown,) = reader.pages[0].images
    red, green, blue = shown.image.convert("RGB").resize((1, 1)).getpixel((0, 0))
    assert max(red, green) > blue, "the olive picture, and not the navy one"
