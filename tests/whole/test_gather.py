"""``buildlog gather`` as a builder uses it: what it copies and drafts, what it refuses, and that it harms nothing."""

from __future__ import annotations

import io
import os
import shutil
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

import buildlog.cli_gather
import buildlog.starter.pictures_found as finder
from buildlog.cli import main
from buildlog.reading.read import read_logbook
from buildlog.starter.pictures_found import Found, moment
from buildlog.starter.sessions import sessions
from tests.making import entry, write

pytestmark = [pytest.mark.whole]
FILM = b"\0\0\0\x18ftypmp42" + bytes(40)


def picture(shade: int, taken: str = "", offset: str = "", kind: str = "JPEG") -> bytes:
    image, out = Image.effect_noise((640, 480), 20 + shade), io.BytesIO()
    exif = Image.Exif()
    exif[0x0112] = 1  # Pillow writes no block into a PNG whose first part is empty
    if taken:
        exif.get_ifd(0x8769)[0x9003] = taken
    if offset:
        exif.get_ifd(0x8769)[0x9011] = offset
    image.save(out, kind, exif=exif)
    return out.getvalue()


def card(root: Path, files: dict[str, bytes], day: datetime = datetime(2026, 7, 9, 12, tzinfo=UTC)) -> Path:
    for name, content in files.items():
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).write_bytes(content)
        os.utime(root / name, (day.timestamp(), day.timestamp()))
    return root


def project(root: Path) -> Path:
    return write(root, {"log/2026-07-01-x.md": entry("title: x\ndate: 2026-07-01")})


def run(root: Path, *words: str | Path) -> Result:
    return CliRunner().invoke(main, ["gather", *map(str, words), "--project", str(root)])


def contents(root: Path) -> dict[str, tuple[bytes, int]]:
    return {
        path.relative_to(root).as_posix(): (path.read_bytes(), path.stat().st_mtime_ns)
        for path in root.rglob("*")
        if path.is_file()
    }


@pytest.fixture
def two(tmp_path: Path) -> tuple[Path, Path]:
    """A project, and a card with a morning and an evening, a repeat, a film, a broken picture and something else."""
    first = picture(1, "2026:07:04 09:00:00", "+02:00")
    files = {
        "DCIM/b.JPG": picture(2, "2026:07:04 11:15:00", "+02:00"),
        "DCIM/c (first).JPG": first,
        "DCIM/again.jpg": first,
        "DCIM/evening.png": picture(3, "2026:07:04 19:00:00", "+02:00", "PNG"),
        "DCIM/evening.webp": picture(4, "2026:07:04 19:30:00", "+02:00", "WEBP"),
        "DCIM/film.MOV": FILM,
        "DCIM/cut.jpg": picture(5)[:-9000],
        "DCIM/notes.xml": b"<x/>",
        "DCIM/._b.JPG": b"of the system",
    }
    return project(tmp_path / "project"), card(tmp_path / "card", files)


def test_it_copies_by_day_and_drafts_each_session(two: tuple[Path, Path]) -> None:
    root, source = two
    before, of_card = contents(root), contents(source)
    result = run(root, source, "--yes")
    assert result.exit_code == 1, result.output  # one was broken
    after = contents(root)
    assert {name: after[name] for name in before} == before
    assert contents(source) == of_card
    made = {name: after[name] for name in after.keys() - before.keys()}
    copies = {
        "photos/2026-07-04/again.jpg": "DCIM/again.jpg",
        "photos/2026-07-04/b.JPG": "DCIM/b.JPG",
        "photos/2026-07-04/evening.png": "DCIM/evening.png",
        "photos/2026-07-04/evening.webp": "DCIM/evening.webp",
        "photos/2026-07-09/film.MOV": "DCIM/film.MOV",
    }
    assert {name: made.pop(name) for name in copies} == {name: of_card[there] for name, there in copies.items()}
    assert sorted(made) == [
        f"log/{name}.md" for name in ("2026-07-04-pictures-2", "2026-07-04-pictures", "2026-07-09-pictures")
    ]
    for words in (
        "cut.jpg is skipped: this picture breaks off before its end",
        "1 file left out",
        "(.xml)",
        "camera's clock: 4, of which 4 give",
        "file's, because none could be read in it: 1",
    ):
        assert words in result.output, result.output


def test_the_drafts_are_sound_private_and_only_guess_the_hours(two: tuple[Path, Path]) -> None:
    root, source = two
    run(root, source, "--yes")
    reading = read_logbook(root)
    assert not [problem for problem in reading.problems if problem.severity == "error"]
    drafts = [entry for entry in reading.logbook.entries if entry.slug.endswith(("pictures", "pictures-2"))]
    assert [[line.file for line in draft.facts.photos] for draft in drafts] == [
        ["photos/2026-07-04/again.jpg", "photos/2026-07-04/b.JPG"],
        ["photos/2026-07-04/evening.png", "photos/2026-07-04/evening.webp"],
        ["photos/2026-07-09/film.MOV"],
    ]
    assert all(draft.facts.audience == "private" and not draft.facts.hours for draft in drafts)
    text = (root / drafts[0].file).read_text("utf-8")
    assert "# hours: 2:15   # a guess, not counted" in text
    assert "2026-07-04 09:00+02:00, by the camera's clock" in text
    audit = CliRunner().invoke(main, ["audit", "--project", str(root)])
    assert audit.exit_code == 0, audit.output


def test_the_builder_takes_the_guess_by_taking_the_mark_off(two: tuple[Path, Path]) -> None:
    root, source = two
    run(root, source, "--yes")
    draft = root / "log/2026-07-04-pictures.md"
    draft.write_text(draft.read_text("utf-8").replace("# hours:", "hours:").replace("    # alt:", "    alt:"), "utf-8")
    (entry,) = (each for each in read_logbook(root).logbook.entries if each.slug == "2026-07-04-pictures")
    assert entry.facts.hours == {"owner": 135}
    assert {line.alt for line in entry.facts.photos} == {"What it shows"}


def test_the_same_card_again_adds_nothing(two: tuple[Path, Path]) -> None:
    root, source = two
    run(root, source, "--yes")
    before = contents(root)
    (source / "DCIM/b.JPG").rename(source / "DCIM/renamed.JPG")
    (source / "DCIM/cut.jpg").unlink()
    result = run(root, source)  # nothing to ask about, so nothing is asked
    assert result.exit_code == 0, result.output
    assert "Nothing new to copy" in result.output
    assert contents(root) == before


@pytest.mark.parametrize("links", [True, False])
def test_two_pictures_of_one_name_are_both_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, *, links: bool
) -> None:
    def refused(*_: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    if not links:  # as on the file system of a memory stick
        monkeypatch.setattr(Path, "hardlink_to", refused)
    root = project(tmp_path / "project")
    taken = "2026:07:04 09:00:00"
    files = {"1/a.jpg": picture(1, taken), "2/A.JPG": picture(2, taken)}
    assert run(root, card(tmp_path / "card", files), "--yes").exit_code == 0
    held = {path.name: path.read_bytes() for path in (root / "photos/2026-07-04").iterdir()}
    assert sorted(held) == ["A-2.JPG", "a.jpg"] or sorted(held) == ["A.JPG", "a-2.jpg"]
    assert set(held.values()) == set(files.values())


def test_a_picture_already_in_photos_is_known_under_any_name(tmp_path: Path) -> None:
    root, image = project(tmp_path / "project"), picture(1, "2026:07:04 09:00:00")
    write(root, {"photos/old/bracket.jpg": image})
    before = contents(root)
    assert run(root, card(tmp_path / "card", {"a.jpg": image}), "--yes").exit_code == 0
    assert contents(root) == before


def test_the_projects_own_files_are_left_alone(tmp_path: Path) -> None:
    root = write(project(tmp_path / "project"), {"documents/tag.jpg": picture(1)})
    before = contents(root)
    assert "1 file left alone: in the project already" in run(root, root, "--yes").output
    assert contents(root) == before


def test_in_a_pipe_it_writes_only_with_yes(two: tuple[Path, Path]) -> None:
    root, source = two
    before = contents(root)
    result = run(root, source)
    assert result.exit_code == 2 and "--yes" in result.output
    assert contents(root) == before


@pytest.mark.parametrize(("answer", "drafts"), [("n\n", 0), ("\n", 0), ("y\n", 3)])
def test_on_a_terminal_it_asks(
    two: tuple[Path, Path], monkeypatch: pytest.MonkeyPatch, answer: str, drafts: int
) -> None:
    root, source = two
    monkeypatch.setattr(buildlog.cli_gather, "on_a_terminal", lambda: True)
    result = CliRunner().invoke(main, ["gather", str(source), "--project", str(root)], input=answer)
    assert "Copy 5 files and begin 3 drafts? [y/N]" in result.output
    assert len(list((root / "log").glob("*pictures*"))) == drafts
    assert (root / "photos").exists() == bool(drafts)


def test_a_full_disk_leaves_a_draft_of_what_was_copied(two: tuple[Path, Path], monkeypatch: pytest.MonkeyPatch) -> None:
    root, source = two
    whole, copies = shutil.copyfileobj, []

    def full(read: object, to: object, length: int) -> None:
        copies.append(read)
        if len(copies) == 2:
            raise OSError(28, "No space left on device")
        whole(read, to, length)  # type: ignore[arg-type]

    with monkeypatch.context() as patch:
        patch.setattr(shutil, "copyfileobj", full)
        result = run(root, source, "--yes")
    assert result.exit_code == 1 and "Stopped: No space left on device" in result.output
    assert [path.name for path in (root / "photos").rglob("*") if path.is_file()] == ["again.jpg"]
    assert "photos/2026-07-04/again.jpg" in (root / "log/2026-07-04-pictures.md").read_text("utf-8")
    run(root, source, "--yes")
    used = {line.file for entry in read_logbook(root).logbook.entries for line in entry.facts.photos}
    assert len(used) == 5


def test_a_bomb_and_what_is_no_picture_are_told_and_skipped(tmp_path: Path) -> None:
    root, out = project(tmp_path / "project"), io.BytesIO()
    Image.new("1", (20_000, 20_000)).save(out, "PNG")
    files = {"bomb.png": out.getvalue(), "text.jpg": b"no picture", "empty.png": b"", "film.mp4": b"no film at all"}
    result = run(root, card(tmp_path / "card", files), "--yes")
    assert result.exit_code == 1
    for words in ("too many pixels", "not a picture of a kind", "is empty", "not a film"):
        assert words in result.output, result.output
    assert not (root / "photos").exists()


def test_a_heic_picture_is_read_where_its_reader_is(tmp_path: Path) -> None:
    pillow_heif = pytest.importorskip("pillow_heif")
    pillow_heif.register_heif_opener(thumbnails=False)
    root = project(tmp_path / "project")
    files = {"a.heic": picture(1, "2026:07:04 09:00:00", kind="HEIF")}
    assert run(root, card(tmp_path / "card", files), "--yes").exit_code == 0
    assert (root / "photos/2026-07-04/a.heic").read_bytes() == files["a.heic"]


def test_a_heic_picture_without_its_reader_is_copied_unseen_and_said_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(finder, "_formats", lambda: ("JPEG", "PNG"))
    root = project(tmp_path / "project")
    result = run(root, card(tmp_path / "card", {"a.heic": b"\0\0\0\x18ftypheic" + bytes(40)}), "--yes")
    assert result.exit_code == 0 and "cannot be looked into here" in result.output
    assert (root / "photos/2026-07-09/a.heic").is_file()


@pytest.mark.parametrize("gap", ["0", "-1 h", "soon"])
def test_a_gap_that_is_none_is_wrong_use(two: tuple[Path, Path], gap: str) -> None:
    assert run(*two, "--yes", f"--gap={gap}").exit_code == 2


@pytest.mark.parametrize(
    ("time", "offset", "read"),
    [
        ("2026:07:04 14:03:20", "+02:00", "2026-07-04T14:03:20+02:00"),
        ("2026:07:04 14:03:20", "", "2026-07-04T14:03:20"),
        ("2026:07:04 14:03:20", "+99:00", "2026-07-04T14:03:20"),
        ("0000:00:00 00:00:00", "", None),
        ("2026:02:30 14:03:20", "", None),
        ("    :  :     :  :  ", "", None),
    ],
)
def test_times_of_cameras(time: str, offset: str, read: str | None) -> None:
    found = moment(time, offset)
    assert (found.isoformat() if found else None) == read


def at(day: int, hour: int, minute: int = 0) -> Found:
    taken = datetime(2026, 7, day, hour, minute, tzinfo=UTC)
    return Found(Path(f"{taken:%d%H%M}.jpg"), f"{taken}", taken, "the camera's clock")


@pytest.mark.parametrize(
    ("times", "counts"),
    [
        ([at(4, 9), at(4, 13)], [2]),  # four hours is not longer than four hours
        ([at(4, 9), at(4, 13, 1)], [1, 1]),
        ([at(4, 22), at(4, 23, 40), at(5, 0, 30)], [3]),  # somebody worked through midnight
        ([at(4, 22), at(5, 1)], [1, 1]),  # nobody did
        ([at(5, 9), at(4, 9)], [1, 1]),
    ],
)
def test_sessions_end_with_a_pause_and_at_an_idle_midnight(times: list[Found], counts: list[int]) -> None:
    assert [len(each.pictures) for each in sessions(times, timedelta(hours=4))] == counts


@given(st.lists(st.integers(0, 6000), unique=True), st.integers(1, 600))
def test_each_picture_is_in_one_session_in_order(minutes: list[int], gap: int) -> None:
    found = [at(1 + minute // 1440, minute // 60 % 24, minute % 60) for minute in minutes]
    made = sessions(found, timedelta(minutes=gap))
    flat = [picture for session in made for picture in session.pictures]
    assert flat == sorted(found, key=lambda each: each.taken)
    assert all(
        after.taken - before.taken <= timedelta(minutes=gap)
        for session in made
        for before, after in zip(session.pictures, session.pictures[1:], strict=False)
    )
