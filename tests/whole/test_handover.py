"""The package of a small project, made as a builder makes it."""

from __future__ import annotations

import hashlib
import io
import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from PIL import Image
from pypdf import PdfReader

from buildlog import package as packaging
from buildlog.cli import main
from tests.making import entry, write

pytestmark = pytest.mark.whole
PRICE = "417.77"


def picture() -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (1200, 900), "teal").save(out, "JPEG")
    return out.getvalue()


@pytest.fixture
def project(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    facts = f"""
title: New hoses
date: 2026-03-07
system: fuel
hours: {{owner: 2:30}}
parts:
  - {{item: Fuel hose, cost: {PRICE} USD, supplier: Ridge Supply, receipt: documents/receipt.jpg}}
photos:
  - {{file: photos/hose.jpg, caption: The hose, alt: A hose on a bench}}
"""
    files: dict[str, str | bytes] = {
        "log/2026-03-07-new-hoses.md": entry(facts, "Both hoses are new.\n"),
        "photos/hose.jpg": picture(),
        "documents/receipt.jpg": picture() + b"receipt",
    }
    return write(tmp_path / "project", files)


def run(project: Path, audience: str, target: Path) -> Result:
    return CliRunner().invoke(main, ["handover", "--project", str(project), "--for", audience, "--to", str(target)])


def everything(package: Path) -> str:
    """All that a package says: its text files, and the words of its PDFs."""
    said = []
    for path in sorted(package.rglob("*")):
        if path.suffix == ".pdf":
            said += [page.extract_text() for page in PdfReader(path).pages]
        elif path.is_file():
            said.append(path.read_bytes().decode("utf-8", "replace"))
        said.append(path.name)
    return "\n".join(said)


def test_a_buyer_gets_all_and_an_inspector_no_costs(project: Path, tmp_path: Path) -> None:
    for audience in ("buyer", "inspector"):
        done = run(project, audience, tmp_path / audience)
        assert done.exit_code == 0, done.output
    buyer, inspector = everything(tmp_path / "buyer"), everything(tmp_path / "inspector")
    assert PRICE in buyer
    assert PRICE not in inspector
    assert "receipt.jpg" in buyer
    assert "receipt.jpg" not in inspector
    for package in (buyer, inspector):
        assert "New hoses" in package
        assert not re.search(r"airworthy|\bcompliant\b|\bapproved\b", package, re.IGNORECASE)


def test_the_package_holds_what_it_lists(project: Path, tmp_path: Path) -> None:
    assert run(project, "buyer", tmp_path / "buyer").exit_code == 0
    root = tmp_path / "buyer"
    lines = (root / "manifest-sha256.txt").read_text("utf-8").splitlines()
    listed = {name: digest for digest, _, name in (line.partition("  ") for line in lines)}
    assert {"data/handover.pdf", "data/log-sheets.pdf", "data/site/index.html", "data/originals/photos/hose.jpg"} <= {
        *listed
    }
    for name, digest in listed.items():
        assert hashlib.sha256((root / name).read_bytes()).hexdigest() == digest
    assert json.loads((root / "data/records/figures.json").read_text("utf-8"))["entries"] == 1
    assert (tmp_path / "buyer.zip").is_file()
    assert CliRunner().invoke(main, ["verify", str(root)]).exit_code == 0


def test_the_same_project_gives_the_same_zip(project: Path, tmp_path: Path) -> None:
    zips = []
    for name in ("one", "two"):
        assert run(project, "buyer", tmp_path / name / "package").exit_code == 0
        zips.append((tmp_path / name / "package.zip").read_bytes())
    assert zips[0] == zips[1]


def test_a_missing_photo_and_a_missing_paper_are_told_together_and_nothing_is_made(
    project: Path, tmp_path: Path
) -> None:
    assert run(project, "buyer", tmp_path / "buyer").exit_code == 0
    before = (tmp_path / "buyer.zip").read_bytes()
    (project / "photos/hose.jpg").unlink()
    (project / "documents/receipt.jpg").unlink()
    done = run(project, "buyer", tmp_path / "buyer")
    assert done.exit_code == 1
    assert "photos/hose.jpg" in done.output
    assert "documents/receipt.jpg" in done.output
    assert "nothing was made" in done.output
    assert (tmp_path / "buyer.zip").read_bytes() == before
    assert run(project, "buyer", tmp_path / "new").exit_code == 1
    assert not (tmp_path / "new").exists()


def test_an_original_that_goes_in_the_meantime_is_named_and_nothing_is_made(
    project: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = packaging.digests_of

    def too_late(records: dict[str, bytes | Path]) -> dict[str, str]:
        next(
            content for name, content in records.items() if name.startswith("originals/") and isinstance(content, Path)
        ).unlink()
        return real(records)

    monkeypatch.setattr(packaging, "digests_of", too_late)
    done = CliRunner().invoke(
        main, ["handover", "--project", str(project), "--for", "buyer", "--to", str(tmp_path / "late")]
    )
    assert done.exit_code == 1, done.output
    assert "cannot be read any more" in done.output and "nothing was made" in done.output
    assert not (tmp_path / "late").exists() and not (tmp_path / "late.zip").exists()
