"""A seal holds while every byte is as it was, and names the file that is not."""

from __future__ import annotations

import os
import tempfile
from datetime import date
from pathlib import Path

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from buildlog.basics.fingerprints import text_fingerprint
from buildlog.reading.read import read_logbook
from buildlog.records.seals import SealState
from tests.sealing import ENTRY, FILES, NAMED, book, project, sealed


def state(root: Path) -> SealState:
    (only,) = book(root).sealed().values()
    return only


def test_what_is_as_it_was_is_whole(tmp_path: Path) -> None:
    found = state(project(tmp_path))
    assert found.whole
    assert (found.entry, found.file, found.sealed) == ("2026-07-04-x", ENTRY, date(2026, 7, 6))
    assert read_logbook(tmp_path).problems == ()


@given(st.sampled_from([ENTRY, *NAMED]), st.data())
def test_any_changed_byte_breaks_the_seal_and_says_which_file(file: str, data: st.DataObject) -> None:
    content = FILES[file]
    was = content if isinstance(content, bytes) else content.encode()
    at = data.draw(st.integers(0, len(was)))
    cut, new = data.draw(st.integers(0, 2)), data.draw(st.binary(max_size=2))
    now = was[:at] + new + was[at + cut :]
    assume(text_fingerprint(now) != text_fingerprint(was) if file == ENTRY else now != was)
    with tempfile.TemporaryDirectory() as folder:
        root = project(Path(folder))
        (root / file).write_bytes(now)
        found = state(root)
    assert not found.whole
    assert (found.changed, found.gone, found.unnamed) == ((file,), (), 0)


@given(st.sets(st.sampled_from([ENTRY, *NAMED]), min_size=1))
def test_what_is_gone_is_named(files: set[str]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        root = project(Path(folder))
        for file in files:
            (root / file).unlink()
        found = state(root)
    assert set(found.changed) == set(found.gone) == files
    assert found.changed[0] == ENTRY or ENTRY not in files


def test_line_ends_and_a_mark_do_not_break_it_but_in_a_file_with_it_they_do(tmp_path: Path) -> None:
    root = project(tmp_path)
    text = (root / ENTRY).read_bytes()
    (root / ENTRY).write_bytes(b"\xef\xbb\xbf" + text.replace(b"\n", b"\r\n"))
    assert state(root).whole
    (root / "documents/tag.txt").write_bytes(b"tag\r\n")
    assert state(root).changed == ("documents/tag.txt",)


def test_an_entry_sealed_with_crlf_is_whole_with_lf(tmp_path: Path) -> None:
    text = str(FILES[ENTRY])
    root = project(tmp_path, {ENTRY: text.replace("\n", "\r\n")})
    (root / ENTRY).write_bytes(text.encode())
    assert state(root).whole


def test_what_the_entry_does_not_name_may_change(tmp_path: Path) -> None:
    root = project(tmp_path)
    for file in ("documents/other.pdf", "decisions/d.md", "components.yaml", "log/2026-07-05-y.md", "project.yaml"):
        (root / file).write_bytes((root / file).read_bytes() + b"\n")
    assert state(root).whole


def test_an_entry_moved_to_another_folder_of_the_log_is_the_same(tmp_path: Path) -> None:
    root = project(tmp_path)
    (root / "log/2026").mkdir()
    (root / ENTRY).rename(root / "log/2026/2026-07-04-x.md")
    assert state(root).whole
    assert state(root).file == "log/2026/2026-07-04-x.md"


def test_a_seal_anew_counts_and_the_old_one_stays(tmp_path: Path) -> None:
    root = project(tmp_path)
    (root / "photos/a.jpg").write_bytes(b"another")
    assert sealed(root, again=True, on=date(2026, 8, 1)).made
    old, new = book(root).seals
    assert (old.superseded, old.sealed) == (True, date(2026, 7, 6))
    assert (new.superseded, new.sealed, new.whole) == (False, date(2026, 8, 1), True)
    (root / "photos/a.jpg").write_bytes(b"\xff\xd8\xff a")  # what the old seal was of
    assert not state(root).whole


def test_a_seal_never_looks_outside_the_project(tmp_path: Path) -> None:
    outside = tmp_path / "secret.txt"
    outside.write_text("x")
    root = project(tmp_path / "p")
    seals = root / "seals.yaml"
    for path in ("../secret.txt", str(outside)):
        seals.write_text(
            f"seals: [{{entry: {ENTRY}, sealed: 2026-07-04, sha256: {'0' * 64}, files: {{{path}: {'0' * 64}}}}}]"
        )
        assert path in state(root).gone


@pytest.mark.skipif(os.geteuid() == 0, reason="nothing is kept from the superuser")
def test_a_file_that_may_not_be_read_is_told_as_gone(tmp_path: Path) -> None:
    root = project(tmp_path)
    (root / "photos/a.jpg").chmod(0)
    assert state(root).gone == ("photos/a.jpg",)


def test_seals_that_cannot_be_read_are_an_error_and_nothing_is_claimed(tmp_path: Path) -> None:
    root = project(tmp_path)
    (root / "seals.yaml").write_text("seals: [{entry: x}]")
    reading = read_logbook(root)
    assert reading.logbook.seals == ()
    assert {problem.severity for problem in reading.problems} == {"error"}


def test_an_entry_that_cannot_be_read_any_more_is_still_found_changed(tmp_path: Path) -> None:
    root = project(tmp_path)
    (root / ENTRY).write_bytes(b"\xff\xfe nothing")
    assert state(root).changed == (ENTRY,)
