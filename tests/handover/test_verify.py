"""``buildlog verify``: every change is found, by its name, in folder and zip, and so does the ``bagit`` library."""

from __future__ import annotations

import json
import shutil
import stat
import zipfile
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path

import bagit
import pytest
from click.testing import CliRunner, Result
from hypothesis import given
from hypothesis import strategies as st

from buildlog.cli import main
from buildlog.handover.bag import TAG_MANIFEST, manifest
from buildlog.handover.opened import opened
from buildlog.handover.verify import NoPackageError, verify
from buildlog.handover.zipped import zipping
from tests.handover.packing import packed, tree


@pytest.fixture(scope="module")
def package(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return packed(tmp_path_factory.mktemp("whole")).folder


def run(path: Path) -> Result:
    return CliRunner().invoke(main, ["verify", str(path)])


def bagit_takes(folder: Path) -> bool:
    try:
        bagit.Bag(str(folder)).validate()
    except (bagit.BagError, UnicodeDecodeError, ValueError):
        return False
    return True


@pytest.mark.parametrize("ending", ["", ".zip"])
def test_a_whole_package_and_what_that_proves(package: Path, ending: str) -> None:
    result = run(Path(f"{package}{ending}"))
    assert result.exit_code == 0, result.output
    assert "10 files: nothing changed, nothing missing, nothing added." in result.output
    assert "does not show who made" in result.output.replace("\n", " ")
    assert "nor that what a file says is true" in result.output


def altered(package: Path, root: Path, change: Callable[[Path], object]) -> list[Path]:
    """A copy with a change, as a folder and as a zip."""
    copy = root / "copy"
    shutil.copytree(package, copy)
    change(copy)
    with zipping(root / "copy.zip") as add:
        for path in sorted(path for path in copy.rglob("*") if path.is_file()):
            add(path.relative_to(root).as_posix(), path)
    return [copy, root / "copy.zip"]


@pytest.mark.parametrize(
    ("change", "name", "kind"),
    [
        (lambda root: (root / "data/handover.pdf").write_bytes(b"other"), "data/handover.pdf", "changed"),
        (lambda root: (root / "data/site/empty.txt").write_bytes(b"x"), "data/site/empty.txt", "changed"),
        (lambda root: (root / "data/records/entries.csv").unlink(), "data/records/entries.csv", "missing"),
        (lambda root: (root / "data/new.txt").write_bytes(b""), "data/new.txt", "added"),
        (lambda root: (root / "new.txt").write_bytes(b""), "new.txt", "added"),
        (lambda root: (root / "README.txt").write_bytes(b"x"), "README.txt", "changed"),
        (lambda root: (root / "bagit.txt").unlink(), "bagit.txt", "missing"),
        (lambda root: (root / "manifest-sha256.txt").unlink(), "manifest-sha256.txt", "missing"),
        (lambda root: (root / "tagmanifest-sha256.txt").unlink(), "tagmanifest-sha256.txt", "missing"),
    ],
)
def test_what_is_wrong_is_named(
    package: Path, tmp_path: Path, change: Callable[[Path], object], name: str, kind: str
) -> None:
    for path in altered(package, tmp_path, change):
        assert (kind, name) in {(fault.kind, fault.name) for fault in verify(path).faults}
        result = run(path)
        assert result.exit_code == 1
        assert f"{name}: " in result.output


def test_a_changed_line_of_a_list_is_named(package: Path, tmp_path: Path) -> None:
    def change(root: Path) -> None:
        list_ = root / "manifest-sha256.txt"
        lines = list_.read_text().splitlines(keepends=True)
        lines[0] = "0" * 64 + lines[0][64:]
        lines[1] = "no line\n"
        list_.write_text("".join(lines))

    for path in altered(package, tmp_path, change):
        faults = {(fault.kind, fault.name) for fault in verify(path).faults}
        assert {("changed", "manifest-sha256.txt"), ("changed", "data/handover.pdf")} <= faults
        assert ("list", "manifest-sha256.txt, line 2") in faults


NAMES = [
    "README.txt",
    "bag-info.txt",
    "bagit.txt",
    "data/handover.pdf",
    "data/originals/photos/two words \u00e9.jpg",
    "data/records/entries.csv",
    "data/records/record.json",
    "manifest-sha256.txt",
    "tagmanifest-sha256.txt",
]


@given(st.sampled_from(NAMES), st.integers(0, 10**6), st.integers(1, 255))
def test_any_flipped_byte_is_found(package: Path, name: str, at: int, flip: int) -> None:
    file = package / name
    whole = file.read_bytes()
    at %= len(whole)
    try:
        file.write_bytes(whole[:at] + bytes([whole[at] ^ flip]) + whole[at + 1 :])
        found = verify(package).faults
        assert found, (name, at, flip)
        if name != TAG_MANIFEST:
            assert name in {fault.name for fault in found}
            assert not bagit_takes(package)
    finally:
        file.write_bytes(whole)


@given(st.integers(0, 10**6), st.integers(1, 255))
def test_a_flipped_byte_of_the_zip_is_found_or_changes_no_file(package: Path, at: int, flip: int) -> None:
    archive = Path(f"{package}.zip")
    whole = archive.read_bytes()
    at %= len(whole)
    other = archive.with_name("flipped.zip")
    other.write_bytes(whole[:at] + bytes([whole[at] ^ flip]) + whole[at + 1 :])
    try:
        faults = verify(other).faults
    except NoPackageError:
        return
    if not faults:
        files = opened(other).files
        assert {name: files[name]().read() for name in files} == tree(package)


@given(st.sampled_from(NAMES), st.text("abc./\\ \n%\u00e9", min_size=1, max_size=8))
def test_any_file_moved_is_both_missing_and_added(package: Path, name: str, new: str) -> None:
    file = package / name
    other = package / "data" / f"x{new.replace('/', '_')}"
    file.rename(other)
    try:
        faults = {(fault.kind, fault.name) for fault in verify(package).faults}
        assert ("missing", name) in faults
        assert ("added", other.relative_to(package).as_posix()) in faults
    finally:
        other.rename(file)


def test_checksums_made_to_fit_do_not_hide_a_change_from_the_fingerprint(tmp_path: Path) -> None:
    folder = packed(tmp_path).folder
    (folder / "data/records/entries.csv").write_bytes(b"entry,title\r\nx,Other\r\n")

    def sums(names: list[str]) -> dict[str, str]:
        return {name: sha256((folder / name).read_bytes()).hexdigest() for name in names}

    inside = [name for name in tree(folder) if name.startswith("data/")]
    (folder / "manifest-sha256.txt").write_bytes(manifest(sums(inside)))
    (folder / TAG_MANIFEST).write_bytes(manifest(sums([n for n in tree(folder) if n not in {*inside, TAG_MANIFEST}])))
    faults = verify(folder).faults
    assert [fault.name for fault in faults] == ["bag-info.txt"]
    assert "fingerprint" in faults[0].words


def test_a_broken_seal_is_told_with_what_changed(tmp_path: Path) -> None:
    seals = [
        {"entry": "a", "sealed": "2026-07-04", "whole": False, "changed": ["log/a.md"]},
        {"entry": "b", "sealed": "2026-07-04", "whole": True, "changed": []},
    ]
    made = packed(tmp_path, {"records/record.json": json.dumps({"seals": seals}).encode()})
    result = run(made.zip)
    assert result.exit_code == 1
    assert (
        "entry a: the seal of 2026-07-04 was broken before the package was made: changed since: log/a.md"
        in result.output
    )
    assert "entry b" not in result.output


@pytest.mark.parametrize(
    "content",
    [b"[]", b"{", b'{"seals": 3}', b'{"seals": [3, {"whole": false, "changed": 3}]}', b"\xff", b"[" * 100_000],
)
def test_an_odd_record_breaks_nothing(tmp_path: Path, content: bytes) -> None:
    made = packed(tmp_path, {"records/record.json": content})
    assert run(made.folder).exit_code in {0, 1}


@pytest.mark.parametrize(
    "name", ["../evil.txt", "/evil.txt", "pack/../../evil.txt", "C:/evil.txt", "pack\\..\\evil.txt", "pack//x"]
)
def test_a_zip_that_leads_elsewhere_is_refused(package: Path, tmp_path: Path, name: str) -> None:
    archive = tmp_path / "x.zip"
    shutil.copy(f"{package}.zip", archive)
    with zipfile.ZipFile(archive, "a") as more:
        more.writestr(name, "evil")
    result = run(archive)
    assert result.exit_code == 1
    assert "do not unpack or use this package" in result.output
    assert not list(tmp_path.parent.glob("**/evil.txt"))


def test_links_are_refused(package: Path, tmp_path: Path) -> None:
    copy = tmp_path / "copy"
    shutil.copytree(package, copy)
    (copy / "data/handover.pdf").unlink()
    (copy / "data/handover.pdf").symlink_to(package / "data/handover.pdf")
    assert [fault.kind for fault in verify(copy).faults] == ["unsafe"]
    archive = tmp_path / "x.zip"
    shutil.copy(f"{package}.zip", archive)
    with zipfile.ZipFile(archive, "a") as more:
        link = zipfile.ZipInfo("pack/data/link")
        link.external_attr = (stat.S_IFLNK | 0o777) << 16
        more.writestr(link, "/etc/passwd")
    assert [fault.kind for fault in verify(archive).faults] == ["unsafe"]


def test_what_is_no_package_is_wrong_use(tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    (tmp_path / "text.zip").write_text("no zip")
    with zipfile.ZipFile(tmp_path / "other.zip", "w") as other:
        other.writestr("a/b.txt", "x")
    for name in ("empty", "text.zip", "other.zip", "nothing"):
        assert run(tmp_path / name).exit_code == 2, name
