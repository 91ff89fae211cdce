"""The folder itself: files that cannot be read, links, names, and what is never looked at."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from buildlog.reading import source
from buildlog.reading.folder import scan
from tests.reading.laying import ENTRY, held, lay, names


def test_a_file_that_is_not_utf_8(tmp_path: Path) -> None:
    latin = ENTRY.replace("It fits.", "One line.\nIt fits the b\u00f6x.").encode("latin-1")
    lay(
        tmp_path,
        {
            "log/2026-07-04-latin.md": latin,
            "log/2026-07-05-box.md": ENTRY.encode("utf-16"),
            "log/2026-07-06-fine.md": ENTRY.replace("07-04", "07-06"),
        },
    )
    reading = held(tmp_path)
    assert [(p.name, p.place.file, p.place.line) for p in reading.problems] == [
        ("not-utf-8", "log/2026-07-04-latin.md", 6),
        ("not-utf-8", "log/2026-07-05-box.md", 1),
    ]
    assert "byte 14 of line 6 (value 246)" in reading.problems[0].message
    assert [entry.slug for entry in reading.logbook.entries] == ["2026-07-06-fine"]


def test_a_file_too_big_to_be_written_by_hand(tmp_path: Path) -> None:
    lay(
        tmp_path,
        {
            "log/2026-07-04-big.md": ENTRY + "x" * source.LARGEST,
            "log/2026-07-05-fine.md": ENTRY.replace("07-04", "07-05"),
        },
    )
    reading = held(tmp_path)
    assert names(reading) == ["huge-file"]
    assert "5,000," in reading.problems[0].message
    assert len(reading.logbook.entries) == 1


def test_a_file_that_may_not_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Made by hand, since whoever runs the tests as root may read everything."""
    lay(
        tmp_path,
        {
            "log/2026-07-04-a.md": ENTRY,
            "components.yaml": "engine: {name: Engine}\n",
            "log/2026-07-05-b.md": "---\ntitle: B\ndate: 2026-07-05\ncomponents: [{removed: engine}]\n---\n",
        },
    )
    read_bytes = Path.read_bytes

    def refuse(path: Path) -> bytes:
        if path.name in {"2026-07-04-a.md", "components.yaml"}:
            raise PermissionError(errno.EACCES, "Permission denied", str(path))
        return read_bytes(path)

    monkeypatch.setattr(Path, "read_bytes", refuse)
    reading = held(tmp_path)
    assert [(p.name, p.place.file) for p in reading.problems] == [
        ("cannot-open", "components.yaml"),
        ("cannot-open", "log/2026-07-04-a.md"),
    ]
    assert "Permission denied" in reading.problems[0].message
    assert [entry.slug for entry in reading.logbook.entries] == ["2026-07-05-b"]


def test_a_folder_that_may_not_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    lay(tmp_path, {"log/2026-07-04-a.md": ENTRY, "log/deep/2026-07-05-b.md": ENTRY})
    scandir = os.scandir

    def refuse(path: Path) -> object:
        if str(path).endswith("deep"):
            raise PermissionError(errno.EACCES, "Permission denied", str(path))
        return scandir(path)

    monkeypatch.setattr(os, "scandir", refuse)
    _, problems = scan(tmp_path)
    assert [(p.name, p.place.file) for p in problems] == [("cannot-open", "log/deep")]


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    folder, problems = scan(tmp_path / "nowhere")
    assert folder.files == ()
    assert [p.name for p in problems] == ["cannot-open"]


def test_links_that_leave_the_folder(tmp_path: Path) -> None:
    outside = tmp_path / "outside"
    lay(outside, {"secret.md": ENTRY, "folder/2026-07-05-b.md": ENTRY})
    project = lay(tmp_path / "project", {"log/2026-07-04-a.md": ENTRY, "photos/a.jpg": b"\xff"})
    (project / "log/2026-07-06-link.md").symlink_to(outside / "secret.md")
    (project / "log/folder").symlink_to(outside / "folder")
    (project / "photos/up").symlink_to(project.parent)
    (project / "photos/like-the-project").symlink_to(Path(f"{project}-beside"))
    (project / "pages").symlink_to("/etc")
    reading = held(project)
    assert {p.place.file: p.name for p in reading.problems} == {
        "log/2026-07-06-link.md": "outside-folder",
        "log/folder": "outside-folder",
        "pages": "outside-folder",
        "photos/up": "outside-folder",
        "photos/like-the-project": "outside-folder",
    }
    assert [entry.slug for entry in reading.logbook.entries] == ["2026-07-04-a"]
    assert reading.logbook.files == {"project.yaml", "log/2026-07-04-a.md", "photos/a.jpg"}


def test_links_inside_the_folder(tmp_path: Path) -> None:
    lay(tmp_path, {"log/2026-07-04-a.md": ENTRY, "photos/a.jpg": b"\xff"})
    (tmp_path / "photos/b.jpg").symlink_to("a.jpg")
    (tmp_path / "photos/c.jpg").symlink_to("nowhere.jpg")
    (tmp_path / "photos/d").symlink_to(tmp_path / "log")
    (tmp_path / "log/loop").symlink_to(tmp_path / "log")
    reading = held(tmp_path)
    assert {p.place.file: p.name for p in reading.problems} == {
        "photos/c.jpg": "blind-link",
        "photos/d": "blind-link",
        "log/loop": "blind-link",
    }
    assert "photos/b.jpg" in reading.logbook.files
    words = {p.place.file: p.message for p in reading.problems}
    assert "a link to nothing" in words["photos/c.jpg"]
    assert "a link to another folder" in words["photos/d"]
    assert len(reading.logbook.entries) == 1


def test_names_that_cannot_be_shown(tmp_path: Path) -> None:
    lay(tmp_path, {"log/2026-07-04-a.md": ENTRY})
    for name in (b"2026-07-05-\xff.md", b"2026-07-06-\n.md", b"2026-07-07-\x1b[31m.md"):
        (tmp_path / "log").joinpath(os.fsdecode(name)).write_text(ENTRY)
    reading = held(tmp_path)
    assert names(reading) == ["odd-name"] * 3
    assert [p.place.file for p in reading.problems] == [
        "log/2026-07-05-?.md",
        "log/2026-07-06-?.md",
        "log/2026-07-07-?[31m.md",
    ]
    assert len(reading.logbook.entries) == 1


def test_what_is_neither_file_nor_folder_is_left_alone(tmp_path: Path) -> None:
    lay(tmp_path, {"log/2026-07-04-a.md": ENTRY})
    os.mkfifo(tmp_path / "log/2026-07-05-pipe.md")
    assert names(held(tmp_path)) == []


def test_a_register_in_several_files(tmp_path: Path) -> None:
    """Lists follow one another, and what only one file says is kept whatever the others leave out."""
    lay(
        tmp_path,
        {
            "plan/a.yaml": "target: 2027-05-01\njobs: [{key: a, name: A}]\n",
            "plan/b.yaml": "jobs: [{key: b, name: B, needs: [a]}]\n",
            "plan.yaml": "jobs: [{key: c, name: C}]\n",
            "components/x/engine.yaml": "engine: {name: Engine}\n",
            "components/gear.yaml": "wheel: {name: Wheel, in: engine}\n",
        },
    )
    reading = held(tmp_path)
    assert names(reading) == []
    assert [job.key for job in reading.logbook.plan.jobs] == ["c", "a", "b"]
    assert str(reading.logbook.plan.target) == "2027-05-01"
    assert set(reading.logbook.components) == {"engine", "wheel"}


def test_the_place_in_a_register_of_several_files(tmp_path: Path) -> None:
    lay(
        tmp_path,
        {
            "plan/a.yaml": "jobs:\n  - {key: a, name: A}\n  - {key: b, name: B}\n",
            "plan/b.yaml": "jobs:\n  - {key: c, name: C}\n  - {key: d, name: D, needs: [x]}\n",
        },
    )
    (problem,) = held(tmp_path).problems
    assert (problem.name, str(problem.place)) == ("no-such-job", "plan/b.yaml:3:31")


def test_crlf_bom_and_odd_line_ends(tmp_path: Path) -> None:
    """What an editor on another system does to a file changes nothing of what is read, nor the line of a problem."""
    facts = "title: Battery\ndate: 2026-07-04\ncosts:\n  - {item: Box, cost: much}\n"
    text = f"---\n{facts}---\nA\u2028B\u0085C\n\n![x](../photos/x.jpg)\n"
    seen = set()
    for number, form in enumerate((text, text.replace("\n", "\r\n"), "\ufeff" + text, text.replace("\n", "\r"))):
        reading = held(lay(tmp_path / str(number), {"log/2026-07-04-a.md": form}))
        seen.add(tuple((p.name, p.place) for p in reading.problems))
    assert len(seen) == 1
    assert [(name, place.line, place.column) for name, place in seen.pop()] == [
        ("not-money", 5, 23),
        ("missing-photo", 9, 6),
    ]
