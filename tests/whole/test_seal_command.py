"""``buildlog seal`` as a builder uses it: what it writes, what it refuses, and that it touches nothing else."""

from __future__ import annotations

import hashlib
import json
import os
import tempfile
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from hypothesis import given
from hypothesis import strategies as st

from buildlog.cli import main
from buildlog.reading.read import read_logbook
from tests.making import entry, write
from tests.sealing import ENTRY, FILES, NAMED

pytestmark = [pytest.mark.whole]
NAME = "2026-07-04-x"


def run(root: Path, *words: str, command: str = "seal") -> Result:
    return CliRunner().invoke(main, [command, *words, "--project", str(root)])


def contents(root: Path) -> dict[str, tuple[bytes, int]]:
    """Every file but seals.yaml, hidden ones too, with its bytes and when it was changed."""
    return {
        path.relative_to(root).as_posix(): (path.read_bytes(), path.stat().st_mtime_ns)
        for path in root.rglob("*")
        if path.is_file() and path.name != "seals.yaml"
    }


def changed(root: Path, file: str, more: bytes = b"more") -> None:
    (root / file).write_bytes((root / file).read_bytes() + more)


def test_it_writes_what_sha256sum_gives_and_nothing_else(tmp_path: Path) -> None:
    root = write(tmp_path, FILES)
    before = contents(root)
    result = run(root, NAME)
    assert result.exit_code == 0, result.output
    assert result.output == f"Sealed {NAME}: its text and {len(NAMED)} files with it\n"
    assert contents(root) == before
    text = (root / "seals.yaml").read_text("utf-8")
    for file in (ENTRY, *NAMED):
        assert hashlib.sha256((root / file).read_bytes()).hexdigest() in text
        assert file in text
    for file in ("documents/other.pdf", "decisions/d.md", "2026-07-05"):
        assert file not in text


@pytest.mark.parametrize("name", [NAME, f"{NAME}.md", ENTRY, "log\\2026-07-04-x.md"])
def test_an_entry_is_named_as_one_likes(tmp_path: Path, name: str) -> None:
    assert run(write(tmp_path, FILES), name).exit_code == 0


def test_an_entry_is_named_from_where_one_is(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    root = write(tmp_path, FILES)
    monkeypatch.chdir(root / "documents")
    result = CliRunner().invoke(main, ["seal", "../log/2026-07-04-x.md", str(root / ENTRY)])
    assert result.exit_code == 0, result.output
    assert result.output.count("Sealed") == 1


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["2026-07-04-y"], "did you mean"),
        (["/elsewhere/2026-07-04-x.md"], "is not in this project"),
        ([], "--list"),
        (["2026-07-09-odd"], "buildlog audit tells why"),
    ],
)
def test_a_wrong_name_is_wrong_use(tmp_path: Path, words: list[str], told: str) -> None:
    root = write(tmp_path, FILES | {"log/2026-07-09-odd.md": "---\ntitle: [\n---\n"})
    result = run(root, *words)
    assert result.exit_code == 2
    assert told in result.output
    assert not (root / "seals.yaml").exists()


def test_what_nobody_signed_is_refused_and_nothing_is_written(tmp_path: Path) -> None:
    root = write(tmp_path, FILES)
    result = run(root, NAME, "2026-07-05-y")
    assert result.exit_code == 1
    assert "not-signed" in result.output
    assert "--unsigned" in result.output
    assert not (root / "seals.yaml").exists()
    assert run(root, NAME, "2026-07-05-y", "--unsigned").exit_code == 0
    assert len(read_logbook(root).logbook.sealed()) == 2


def test_an_entry_with_errors_is_refused(tmp_path: Path) -> None:
    root = write(tmp_path, FILES)
    (root / "documents/receipt.pdf").unlink()
    result = run(root, NAME)
    assert result.exit_code == 1
    assert "unsound-entry" in result.output
    assert not (root / "seals.yaml").exists()


def test_sealing_twice_changes_nothing(tmp_path: Path) -> None:
    root = write(tmp_path, FILES)
    run(root, NAME)
    was = (root / "seals.yaml").read_bytes()
    for more in ((), ("--again",)):
        result = run(root, NAME, *more)
        assert result.exit_code == 0
        assert "unchanged" in result.output
    assert (root / "seals.yaml").read_bytes() == was


def test_a_changed_entry_is_sealed_anew_only_when_asked_and_its_old_seal_stays(tmp_path: Path) -> None:
    root = write(tmp_path, FILES)
    run(root, NAME)
    was = (root / "seals.yaml").read_bytes()
    changed(root, ENTRY)
    refused = run(root, NAME)
    assert refused.exit_code == 1
    assert "sealed-already" in refused.output
    assert "--again" in refused.output
    assert (root / "seals.yaml").read_bytes() == was
    assert run(root, NAME, "--again").exit_code == 0
    now = (root / "seals.yaml").read_bytes()
    assert now.startswith(was)
    assert len(now) > len(was)
    assert run(root, "--list").exit_code == 0


def test_the_list_tells_where_all_stand(tmp_path: Path) -> None:
    root = write(
        tmp_path,
        FILES
        | {"log/2026-07-08-z.md": entry("title: z\ndate: 2026-07-08\nsigned: {by: owner, as: work, date: 2026-07-08}")},
    )
    assert "No entry is sealed." in run(root, "--list").output
    run(root, NAME)
    whole = run(root, "--list")
    assert whole.exit_code == 0
    assert "unchanged" in whole.output
    assert "2026-07-08-z: signed, not sealed" in whole.output
    changed(root, "photos/a.jpg")
    broken = run(root, "--list")
    assert broken.exit_code == 1
    assert "photos/a.jpg" in broken.output
    both = run(root, NAME, "--again", "--list")
    assert both.exit_code == 0
    assert "sealed before that on" in both.output


COMMENTED = """\
# My own words stay.
seals:
- entry: log/2026-07-05-y.md   # by hand
  sealed: 2026-07-05
  sha256: 0c15e883dee85bb2f3540a47ec58f617a2547117f9096417ba5422268029f501

# And these."""


@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("there", [COMMENTED, COMMENTED + "\n", "# Only words.\n", "", "\ufeff" + COMMENTED])
def test_what_stands_in_the_file_stays_byte_for_byte(tmp_path: Path, there: str, end: str) -> None:
    was = there.replace("\n", end).encode()
    root = write(tmp_path, FILES | {"seals.yaml": was})
    result = run(root, NAME)
    assert result.exit_code == 0, result.output
    now = (root / "seals.yaml").read_bytes()
    assert now.startswith(was)
    assert end == "\n" or not was or b"\n" not in now.replace(b"\r\n", b"")
    reading = read_logbook(root)
    assert not [problem for problem in reading.problems if problem.severity == "error"]
    assert reading.logbook.sealed()[NAME].whole


@pytest.mark.parametrize(
    "there",
    [
        "seals: []\n",
        "{seals: []}\n",
        f"seals: [{{entry: {ENTRY}x, sealed: 2026-07-04, sha256: {'0' * 64}}}]\n",
        "seals:\n",
        "seals: [{entry: x}]\n",
        "other: 1\n",
        "\x00",
    ],
)
def test_what_cannot_be_added_to_is_refused_and_left_alone(tmp_path: Path, there: str) -> None:
    root = write(tmp_path, FILES | {"seals.yaml": there})
    before = contents(root)
    result = run(root, NAME)
    assert result.exit_code == 1, result.output
    assert "cannot-seal" in result.output
    assert (root / "seals.yaml").read_text() == there
    assert contents(root) == before


@pytest.mark.skipif(os.geteuid() == 0, reason="nothing is kept from the superuser")
def test_a_folder_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    root = write(tmp_path, FILES)
    root.chmod(0o500)
    try:
        result = run(root, NAME)
    finally:
        root.chmod(0o700)
    assert result.exit_code == 1
    assert "cannot-seal" in result.output


def test_a_seal_cut_off_in_the_writing_leaves_the_file_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    root = write(tmp_path, FILES | {"seals.yaml": COMMENTED})
    before = contents(root)

    def full(self: Path, _: bytes) -> int:
        raise OSError(28, "No space left on device", str(self))

    monkeypatch.setattr(Path, "write_bytes", full)
    result = run(root, NAME)
    assert result.exit_code == 1
    assert "No space left" in result.output
    assert (root / "seals.yaml").read_text() == COMMENTED
    assert contents(root) == before


NAMES = st.text(
    st.characters(blacklist_categories=("Cs", "Cc", "Cf", "Zl", "Zp", "Zs"), blacklist_characters='/\\"<>()[]%&*!`|?#'),
    min_size=1,
    max_size=12,
).filter(lambda name: not name.startswith(".") and name.isprintable())


@given(st.lists(NAMES, min_size=1, max_size=3, unique_by=str.casefold))
def test_files_of_any_name_are_sealed_and_read_back(names: list[str]) -> None:
    files: dict[str, str | bytes] = {f"documents/{name}": name for name in names}
    lines = "\n".join(f"  - {{file: {json.dumps(path, ensure_ascii=False)}, title: A, kind: tag}}" for path in files)
    text = entry(f"title: x\ndate: 2026-07-04\ndocuments:\n{lines}")
    with tempfile.TemporaryDirectory() as folder:
        root = write(Path(folder), files | {ENTRY: text})
        before = contents(root)
        result = run(root, NAME, "--unsigned")
        assert result.exit_code == 0, result.output
        assert contents(root) == before
        reading = read_logbook(root)
        assert reading.logbook.sealed()[NAME].whole
        changed(root, f"documents/{names[0]}")
        assert read_logbook(root).logbook.sealed()[NAME].changed == (f"documents/{names[0]}",)


def test_a_broken_seal_is_told_by_audit_totals_and_the_pages(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    plain = {name: content for name, content in FILES.items() if not name.startswith("photos/")}
    plain[ENTRY] = (
        str(FILES[ENTRY]).replace("photos: [../photos/a.jpg]\n", "").replace("![T](<../photos/in text.jpg>)", "")
    )
    root = write(tmp_path / "p", plain)
    run(root, NAME)
    changed(root, ENTRY, b"And more.\n")
    changed(root, "documents/signed.pdf")
    audit = run(root, command="audit").output
    assert f"{NAME} was sealed on" in audit
    assert f"has changed since: {ENTRY}, documents/signed.pdf" in audit
    assert "documents/signed.pdf" in run(root, command="totals").output.split("Signed:")[1]
    (seal,) = json.loads(run(root, "--json", command="totals").stdout)["seals"]
    assert (seal["entry"], seal["whole"], seal["changed"]) == (NAME, False, [ENTRY, "documents/signed.pdf"])
    site = tmp_path / "site"
    result = run(root, "--to", str(site), command="publish")
    assert result.exit_code == 0, result.output
    told = "its text and 1 file with it"
    for page in (f"log/{NAME}.html", "signatures.html", "systems/engine.html"):
        assert told in (site / page).read_text("utf-8"), page
    for page in ("log.html", "systems/engine.html"):
        assert "changed since it was sealed" in (site / page).read_text("utf-8"), page
    assert not [path for path in site.rglob("*.html") if "signed.pdf" in path.read_text("utf-8")]
