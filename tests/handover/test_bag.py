"""The bag: what other BagIt tools say of it, that the same content gives the same bytes, and that no former one is lost."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import bagit
import pytest

from buildlog.handover import bag as bagging
from buildlog.handover.bag import Laid, lay_bag
from tests.handover.packing import PAYLOAD, TAGS, bag, packed, tree

SUMS = shutil.which("sha256sum")


def test_other_tools_take_it(tmp_path: Path) -> None:
    made = packed(tmp_path)
    bagit.Bag(str(made.folder)).validate()
    info = bagit.Bag(str(made.folder)).info
    size = sum(len(content) for content in PAYLOAD.values() if isinstance(content, bytes))
    assert info["Payload-Oxum"] == f"{size}.{len(PAYLOAD)}"
    assert info["Bagging-Date"] == "2026-11-14"
    assert info["External-Description"] == "A test aircraft"
    assert "Source-Organization" not in info


@pytest.mark.skipif(SUMS is None, reason="no sha256sum here")
@pytest.mark.parametrize("name", ["manifest-sha256.txt", "tagmanifest-sha256.txt"])
def test_sha256sum_takes_both_lists_and_finds_a_change(tmp_path: Path, name: str) -> None:
    made = packed(tmp_path)

    def check() -> int:
        return subprocess.run(
            [str(SUMS), "--strict", "-c", name], cwd=made.folder, capture_output=True, check=False
        ).returncode

    assert check() == 0
    changed = made.folder / ("data/handover.pdf" if name.startswith("manifest") else "README.txt")
    changed.write_bytes(b"!" + changed.read_bytes()[1:])
    assert check() == 1


def test_the_zip_is_the_folder_unpacked_by_another_program(tmp_path: Path) -> None:
    made = packed(tmp_path)
    subprocess.run([sys.executable, "-m", "zipfile", "-e", str(made.zip), str(tmp_path / "out")], check=True)
    assert tree(tmp_path / "out" / "pack") == tree(made.folder)
    with zipfile.ZipFile(made.zip) as archive:
        names = archive.namelist()
        payload = [name for name in names if name.startswith("pack/data/")]
        assert names[: len(payload)] == sorted(payload)
        assert names[-2:] == ["pack/manifest-sha256.txt", "pack/tagmanifest-sha256.txt"]
        assert {entry.date_time for entry in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        ways = {entry.filename: entry.compress_type for entry in archive.infolist()}
    assert ways["pack/data/handover.pdf"] == zipfile.ZIP_STORED
    assert ways["pack/data/records/entries.csv"] == zipfile.ZIP_DEFLATED


def test_same_content_same_bytes_whatever_the_order_and_the_times_of_the_sources(tmp_path: Path) -> None:
    first = packed(tmp_path / "a")
    source = tmp_path / "source.pdf"
    source.write_bytes(b"%PDF-1.7 not really")
    os.utime(source, (1, 1))
    turned = dict(reversed((PAYLOAD | {"handover.pdf": source}).items()))
    second = lay_bag(bagging.Bag(turned, bag().day, bag().info, TAGS), tmp_path / "b" / "pack")
    assert tree(first.folder) == tree(second.folder)
    assert first.zip.read_bytes() == second.zip.read_bytes()


class Late:
    """A file that somebody else writes; whoever waits for it sees what lies in the bag by then."""

    def __init__(self, path: Path, bag: Path) -> None:
        self.path, self.bag = path, bag
        self.seen: set[str] = set()

    def ready(self) -> Path:
        self.seen = set(tree(self.bag))
        self.path.write_bytes(b"made at last")
        return self.path


def test_a_file_that_is_still_being_made_comes_last(tmp_path: Path) -> None:
    late = Late(tmp_path / "late", tmp_path / ".pack.buildlog-new" / "pack")
    made = packed(tmp_path, {"a-first.pdf": late})
    assert late.seen == {f"data/{name}" for name in PAYLOAD}
    assert (made.folder / "data/a-first.pdf").read_bytes() == b"made at last"
    assert "data/a-first.pdf" in (made.folder / "manifest-sha256.txt").read_text("utf-8")


def test_a_file_changed_since_its_fingerprint_was_printed_stops_it(tmp_path: Path) -> None:
    before = tree(packed(tmp_path).folder)
    digests = {"records/entries.csv": "0" * 64}
    said = refused(lay_bag(bagging.Bag(PAYLOAD, bag().day, bag().info, TAGS, digests), tmp_path / "pack"))
    assert "changed while the package was being made" in said
    assert tree(tmp_path / "pack") == before


def test_making_it_again_leaves_only_the_new_one(tmp_path: Path) -> None:
    packed(tmp_path, {"old.txt": b"old"})
    made = packed(tmp_path)
    assert "data/old.txt" not in tree(made.folder)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["pack", "pack.zip"]


def refused(made: Laid) -> str:
    assert made.faults
    return " ".join(f"{fault.shown}: {fault.words}" for fault in made.faults)


def test_all_that_is_missing_is_told_at_once_before_anything_is_written(tmp_path: Path) -> None:
    missing = {"originals/a.jpg": tmp_path / "a.jpg", "originals/b.jpg": tmp_path / "b.jpg", "../out": b"", "50%": b""}
    said = refused(lay_bag(bagging.Bag(missing, None), tmp_path / "pack"))
    for name in ("a.jpg", "b.jpg", "data/../out", "data/50%"):
        assert name in said
    assert list(tmp_path.iterdir()) == []


def test_no_file_of_anybody_else_is_lost(tmp_path: Path) -> None:
    (tmp_path / "pack").mkdir()
    (tmp_path / "pack" / "letter.txt").write_text("mine")
    before = tree(tmp_path)
    assert "letter.txt" in refused(lay_bag(bag(), tmp_path / "pack"))
    assert tree(tmp_path) == before
    (tmp_path / "zip").mkdir()
    (tmp_path / "zip" / "pack.zip").write_text("mine")
    assert "pack.zip" in refused(lay_bag(bag(), tmp_path / "zip" / "pack"))
    made = packed(tmp_path / "own")
    (made.folder / "data" / "note.txt").write_text("mine")
    assert "data/note.txt" in refused(lay_bag(bag(), made.folder))
    assert (made.folder / "data" / "note.txt").read_text() == "mine"


@pytest.mark.parametrize("target", ["project/log", "project/log/pack", "project"])
def test_it_is_never_made_where_the_builders_files_are(tmp_path: Path, target: str) -> None:
    (tmp_path / "project" / "log").mkdir(parents=True)
    assert "log of the project" in refused(lay_bag(bag(), tmp_path / target, [tmp_path / "project" / "log"]))
    assert tree(tmp_path) == {}


@pytest.mark.parametrize("step", ["_put", "zipping", "_swap", "_former", "_put_back"])
def test_a_run_killed_anywhere_leaves_a_whole_package(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    """Killed as by a signal: nothing is tidied up, as ``os._exit`` does not."""
    made = packed(tmp_path, {"old.txt": b"old"})
    before = tree(made.folder)
    code = f"""
import os, sys
from pathlib import Path
from buildlog.handover import bag
from tests.handover.packing import bag as new
real = bag.{step}
calls = []
def killed(*all):
    calls.append(1)
    if len(calls) == (2 if {step!r} in ("_former", "_put_back", "_put") else 1):
        os._exit(9)
    return real(*all)
bag.{step} = killed
bag.lay_bag(new(), Path({str(made.folder)!r}))
"""
    monkeypatch.setenv("PYTHONPATH", os.pathsep.join(path for path in sys.path if path))
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 9
    there = tree(made.folder) if made.folder.exists() else tree(tmp_path / ".pack.buildlog-former")
    new = tree(packed(tmp_path / "other").folder)
    assert there in (before, new)
    assert tree(packed(tmp_path).folder) == new
    assert sorted(path.name for path in tmp_path.iterdir()) == ["other", "pack", "pack.zip"]


def test_what_lay_between_the_two_moves_is_put_back(tmp_path: Path) -> None:
    made = packed(tmp_path)
    before = tree(made.folder)
    made.folder.rename(tmp_path / ".pack.buildlog-former")
    assert refused(lay_bag(bag(), made.folder, [made.folder]))  # forbidden here: nothing is touched
    assert tree(tmp_path / ".pack.buildlog-former") == before
    assert packed(tmp_path).faults == ()


def test_progress_is_told_to_the_end(tmp_path: Path) -> None:
    told: list[tuple[int, int]] = []
    lay_bag(bag(), tmp_path / "pack", progress=lambda done, whole: told.append((done, whole)))
    assert told == [(number, len(PAYLOAD)) for number in range(1, len(PAYLOAD) + 1)]
