"""Publishing into a folder: nobody's file is lost, none is half-written, none is written twice."""

import os
import random
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from buildlog.site import alone as alone_module
from buildlog.site import folder as folder_module
from buildlog.site.alone import alone
from buildlog.site.folder import MARKER, Delivered, Staged, deliver

FIRST = {
    "index.html": b"one",
    "log/a.html": b"a",
    "log/b.html": b"b",
    "style.css": b"css",
    "old/deep/x.html": b"x",
}
SECOND = {
    "index.html": b"two",
    "log/a.html": b"a",
    "log/c.html": b"c",
    "style.css": b"CSS",
    "feed.xml": b"feed",
}


def staged(files: dict[str, bytes]) -> Staged:
    site = Staged()
    for name, content in files.items():
        site.write(name, content)
    return site


def contents(root: Path) -> dict[str, bytes]:
    """Everything in a folder but our list."""
    found = {path.relative_to(root).as_posix(): path for path in root.rglob("*") if not path.is_dir()}
    return {name: path.read_bytes() for name, path in sorted(found.items()) if name != MARKER}


def listed(root: Path) -> list[str]:
    return (root / MARKER).read_text("utf-8").splitlines()


def inodes(root: Path) -> dict[str, tuple[int, int]]:
    return {str(path): (path.stat().st_ino, path.stat().st_mtime_ns) for path in root.rglob("*") if path.is_file()}


def words(done: Delivered) -> str:
    assert done.faults
    assert (done.written, done.unchanged, done.removed) == ((), (), ())
    return " | ".join(f"{fault.shown}: {fault.words} -> {fault.remedy}" for fault in done.faults)


# What is written, and what is not


def test_a_first_publication(tmp_path: Path) -> None:
    root = tmp_path / "out" / "site"
    done = deliver(staged(FIRST), root)
    assert done == Delivered(written=tuple(sorted(FIRST)))
    assert contents(root) == FIRST
    assert listed(root) == sorted(FIRST)
    assert [path.name for path in root.parent.iterdir()] == ["site"]


def test_a_second_one_writes_only_what_changed(tmp_path: Path) -> None:
    deliver(staged(FIRST), tmp_path / "site")
    before = inodes(tmp_path / "site")
    done = deliver(staged(SECOND), tmp_path / "site")
    assert done.written == ("feed.xml", "index.html", "log/c.html", "style.css")
    assert done.unchanged == ("log/a.html",)
    assert done.removed == ("log/b.html", "old/deep/x.html")
    assert contents(tmp_path / "site") == SECOND
    assert listed(tmp_path / "site") == sorted(SECOND)
    assert not (tmp_path / "site" / "old").exists()
    kept = str(tmp_path / "site" / "log" / "a.html")
    assert inodes(tmp_path / "site")[kept] == before[kept]


def test_the_same_again_touches_nothing_at_all(tmp_path: Path) -> None:
    deliver(staged(FIRST), tmp_path / "site")
    before = inodes(tmp_path / "site")
    done = deliver(staged(FIRST), tmp_path / "site")
    assert done == Delivered(unchanged=tuple(sorted(FIRST)))
    assert inodes(tmp_path / "site") == before


def test_an_edited_page_is_put_right_though_its_size_is_the_same(tmp_path: Path) -> None:
    deliver(staged(FIRST), tmp_path / "site")
    page = tmp_path / "site" / "index.html"
    seen = page.stat()
    page.write_bytes(b"ONE")
    os.utime(page, ns=(seen.st_atime_ns, seen.st_mtime_ns))
    assert deliver(staged(FIRST), tmp_path / "site").written == ("index.html",)
    assert page.read_bytes() == b"one"


def test_placed_files_are_copies(tmp_path: Path) -> None:
    source = tmp_path / "theme.css"
    source.write_bytes(b"body{}")
    site = Staged()
    site.place("theme/style.css", source)
    assert deliver(site, tmp_path / "site").written == ("theme/style.css",)
    copy = tmp_path / "site" / "theme" / "style.css"
    assert not copy.samefile(source)
    assert deliver(site, tmp_path / "site").unchanged == ("theme/style.css",)
    seen = source.stat()
    source.write_bytes(b"BODY{}")
    os.utime(source, ns=(seen.st_atime_ns, seen.st_mtime_ns))  # same size, same time: only the bytes tell
    assert deliver(site, tmp_path / "site").written == ("theme/style.css",)
    assert copy.read_bytes() == b"BODY{}"


def test_a_file_named_by_its_content_is_not_read_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    source = tmp_path / "cache.jpg"
    source.write_bytes(b"jpeg" * 1000)
    site = Staged()
    site.place("photos/12ab-480.jpg", source, named_by_content=True)
    deliver(site, tmp_path / "site")
    with monkeypatch.context() as patched:
        patched.setattr("buildlog.site.staged._same_bytes", None)
        assert deliver(site, tmp_path / "site").unchanged == ("photos/12ab-480.jpg",)
    copy = tmp_path / "site" / "photos" / "12ab-480.jpg"
    copy.write_bytes(b"GPEJ" * 1000)
    assert deliver(site, tmp_path / "site").written == ("photos/12ab-480.jpg",)
    os.utime(copy)  # another time, as after a copy to a memory stick: the bytes decide
    assert deliver(site, tmp_path / "site").unchanged == ("photos/12ab-480.jpg",)


def test_the_order_of_staging_and_of_listing_does_not_matter(tmp_path: Path) -> None:
    for number in range(3):
        names = list(SECOND)
        random.Random(number).shuffle(names)
        deliver(staged(FIRST), tmp_path / str(number))
        deliver(staged({name: SECOND[name] for name in names}), tmp_path / str(number))
    assert contents(tmp_path / "0") == contents(tmp_path / "1") == contents(tmp_path / "2") == SECOND
    assert listed(tmp_path / "0") == listed(tmp_path / "1") == listed(tmp_path / "2")


def test_pages_come_after_what_they_show(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    moved: list[str] = []
    move = folder_module._move

    def noted(ready: Path, place: Path) -> None:
        moved.append(place.name)
        move(ready, place)

    monkeypatch.setattr(folder_module, "_move", noted)
    deliver(staged({"a.html": b"", "z/photo.jpg": b"", "feed.xml": b"", "style.css": b""}), tmp_path / "site")
    assert moved == [MARKER, "style.css", "photo.jpg", "a.html", "feed.xml"]


def test_a_file_becomes_a_folder_and_back(tmp_path: Path) -> None:
    for files in ({"log": b"file", "x": b""}, {"log/a": b"a", "x": b""}, {"log": b"file", "x": b""}):
        done = deliver(staged(files), tmp_path / "site")
        assert not done.faults
        assert contents(tmp_path / "site") == files


# What is not ours


def test_what_others_put_there_is_left_alone(tmp_path: Path) -> None:
    root = tmp_path / "site"
    deliver(staged(FIRST), root)
    (root / "old" / "deep" / "notes.txt").write_text("mine")
    (root / "CNAME").write_text("example.org")
    done = deliver(staged(SECOND), root)
    assert not done.faults
    assert contents(root) == {**SECOND, "old/deep/notes.txt": b"mine", "CNAME": b"example.org"}
    assert listed(root) == sorted(SECOND)


@pytest.mark.parametrize("name", [".gitignore", ".gitkeep", ".git", ".DS_Store"])
def test_a_folder_kept_by_git_counts_as_empty(tmp_path: Path, name: str) -> None:
    root = tmp_path / "site"
    root.mkdir()
    (root / name).write_text("*\n")
    assert not deliver(staged(FIRST), root).faults
    assert contents(root) == {**FIRST, name: b"*\n"}


def test_a_folder_with_other_files_is_refused(tmp_path: Path) -> None:
    (tmp_path / "site").mkdir()
    (tmp_path / "site" / "letter.txt").write_text("dear")
    said = words(deliver(staged(FIRST), tmp_path / "site"))
    assert "holds files that were not published by buildlog" in said
    assert "--to FOLDER" in said
    assert MARKER in said
    assert contents(tmp_path / "site") == {"letter.txt": b"dear"}
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_the_remedy_it_names_works(tmp_path: Path) -> None:
    root = tmp_path / "site"
    root.mkdir()
    (root / "letter.txt").write_text("dear")
    (root / MARKER).write_text("")
    assert not deliver(staged(FIRST), root).faults
    assert contents(root) == {**FIRST, "letter.txt": b"dear"}


def test_a_stranger_under_one_of_our_names_is_not_overwritten(tmp_path: Path) -> None:
    root = tmp_path / "site"
    deliver(staged(FIRST), root)
    (root / "feed.xml").write_text("somebody's own")
    said = words(deliver(staged(SECOND), root))
    assert "feed.xml: a page of the site has this name, and this file was not published by buildlog" in said
    assert contents(root) == {**FIRST, "feed.xml": b"somebody's own"}
    assert listed(root) == sorted(FIRST)
    (root / "feed.xml").write_bytes(SECOND["feed.xml"])
    assert not deliver(staged(SECOND), root).faults


def test_a_folder_or_file_of_others_in_the_way_is_named(tmp_path: Path) -> None:
    root = tmp_path / "site"
    deliver(staged({"index.html": b""}), root)
    (root / "log").write_text("a file of mine")
    (root / "feed.xml").mkdir()
    said = words(deliver(staged(SECOND), root))
    assert "log: the site needs a folder of this name" in said
    assert "feed.xml: a page of the site has this name" in said
    assert contents(root) == {"index.html": b"", "log": b"a file of mine"}


@pytest.mark.skipif(sys.platform == "win32", reason="links need rights there")
def test_nothing_goes_through_a_link(tmp_path: Path) -> None:
    root, elsewhere = tmp_path / "site", tmp_path / "elsewhere"
    deliver(staged(FIRST), root)
    (root / "log").rename(elsewhere)
    (root / "log").symlink_to(elsewhere)
    assert "log: the site needs a folder" in words(deliver(staged(SECOND), root))
    assert not deliver(staged({"index.html": b"one"}), root).faults
    assert contents(elsewhere) == {"a.html": b"a", "b.html": b"b"}


@pytest.mark.skipif(sys.platform == "win32", reason="links need rights there")
def test_a_link_as_target_is_followed_and_kept(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    (tmp_path / "site").symlink_to(tmp_path / "real")
    assert not deliver(staged(FIRST), tmp_path / "site").faults
    assert (tmp_path / "site").is_symlink()
    assert contents(tmp_path / "real") == FIRST


@pytest.mark.parametrize("line", ["../precious.txt", "/etc/hosts", "log/../../precious.txt", ".", "", "..", "a\\b"])
def test_a_list_that_somebody_changed_removes_nothing_outside(tmp_path: Path, line: str) -> None:
    root = tmp_path / "site"
    deliver(staged(FIRST), root)
    (tmp_path / "precious.txt").write_text("mine")
    (root / MARKER).write_text(f"{line}\nindex.html\n")
    assert not deliver(staged({"index.html": b"two"}), root).faults
    assert (tmp_path / "precious.txt").read_text() == "mine"
    assert listed(root) == ["index.html"]


# Where a site may not be


def test_the_projects_own_folders_are_kept_out(tmp_path: Path) -> None:
    project = tmp_path / "project"
    for name in ("log", "photos"):
        (project / name / "2026").mkdir(parents=True)
    kept = [project / "log", project / "photos", project / "documents"]
    for target in (
        project,
        tmp_path,
        project / "log",
        project / "photos" / "2026",
        project / "log" / "new" / "site",
        project / "documents",
        project / "site" / ".." / "log",
    ):
        assert "a site may not be published here" in words(deliver(staged(FIRST), target, kept))
    assert not deliver(staged(FIRST), project / "site", kept).faults
    assert sorted(path.name for path in project.iterdir()) == ["log", "photos", "site"]


@pytest.mark.skipif(sys.platform == "win32", reason="links need rights there")
def test_a_link_to_the_project_is_seen_through(tmp_path: Path) -> None:
    (tmp_path / "project" / "log").mkdir(parents=True)
    (tmp_path / "alias").symlink_to(tmp_path / "project")
    done = deliver(staged(FIRST), tmp_path / "alias" / "log", [tmp_path / "project" / "log"])
    assert "log of the project is here" in words(done)


def test_a_file_as_target(tmp_path: Path) -> None:
    (tmp_path / "site").write_text("")
    assert "this is a file, not a folder" in words(deliver(staged(FIRST), tmp_path / "site"))


def test_what_the_system_refuses_is_a_fault(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    site = staged(FIRST)
    site.place("gone.css", tmp_path / "gone.css")
    assert "No such file" in words(deliver(site, tmp_path / "site"))
    assert not (tmp_path / "site").exists()

    def full(_ready: Path, _place: Path) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(folder_module, "_move", full)
    assert "No space left on device" in words(deliver(staged(FIRST), tmp_path / "site"))


# Names


@pytest.mark.parametrize(
    "name",
    [
        "",
        "/etc/passwd",
        "../x",
        "a/../b",
        "a//b",
        "./a",
        "a/",
        "a\\b",
        "C:x",
        "a\nb",
        "a?b",
        "a.",
        "b /c",
        "x/Aux.html",
    ],
)
def test_names_that_do_not_hold_everywhere_are_refused(tmp_path: Path, name: str) -> None:
    done = deliver(staged({"index.html": b"", name: b""}), tmp_path / "site")
    assert [fault.shown for fault in done.faults] == [name]
    assert not (tmp_path / "site").exists()


@pytest.mark.parametrize("name", ["a.html", "log/2026-07-04-ärger.html", ".nojekyll", "a..b/c-d_e.jpg", "con-rod.html"])
def test_names_that_do(tmp_path: Path, name: str) -> None:
    assert deliver(staged({name: b""}), tmp_path / "site").written == (name,)


@pytest.mark.parametrize(
    ("one", "other", "said"),
    [
        ("log/Box.html", "log/box.html", "one and the same"),
        ("Log/a.html", "log/b.html", "one and the same"),
        ("caf\u00e9.html", "cafe\u0301.html", "one and the same"),
        ("log", "log/a.html", "both a file and a folder"),
        ("log/a.html", "log", "both a file and a folder"),
    ],
)
def test_names_that_meet_are_refused(tmp_path: Path, one: str, other: str, said: str) -> None:
    done = deliver(staged({one: b"1", other: b"2"}), tmp_path / "site")
    assert [fault.shown for fault in done.faults] == [other]
    assert said in words(done)


def test_one_address_for_two_files_and_the_name_of_the_list(tmp_path: Path) -> None:
    site = staged({"a.html": b"1"})
    site.write("a.html", b"1")
    assert not site.faults
    site.write("a.html", b"2")
    site.write(MARKER, b"")
    said = words(deliver(site, tmp_path / "site"))
    assert "a.html: two different files want this address" in said
    assert f"{MARKER}: this address is kept" in said


@pytest.mark.skipif(sys.platform == "win32", reason="a second link stands in for a file system without capitals")
def test_a_name_that_changes_its_capitals_is_not_removed_with_the_old_one(tmp_path: Path) -> None:
    """Where capitals are not told apart the old name is the new file; here a second link plays that part."""
    root = tmp_path / "site"
    deliver(staged({"Box.html": b"1"}), root)
    (root / "box.html").hardlink_to(root / "Box.html")
    done = deliver(staged({"box.html": b"1"}), root)
    assert not done.faults
    assert done.removed == ()
    assert (root / "box.html").read_bytes() == b"1"


# One at a time, and killed


def test_a_second_run_waits_its_turn(tmp_path: Path) -> None:
    with alone(folder_module._aside(tmp_path / "site")) as free:
        assert free
        assert "another run is publishing" in words(deliver(staged(FIRST), tmp_path / "site"))
    assert not deliver(staged(FIRST), tmp_path / "site").faults
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_what_a_killed_run_prepared_is_gone_before_the_next_begins(tmp_path: Path) -> None:
    (tmp_path / "work" / "deep").mkdir(parents=True)
    (tmp_path / "work" / "deep" / "0").write_text("left over")
    (tmp_path / "work" / "1").write_text("left over")
    with alone(tmp_path / "work") as free:
        assert free
        assert [path.name for path in (tmp_path / "work").iterdir()] == ["in-use"]


def test_a_run_that_ends_just_now_is_no_hindrance(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The lock file goes between opening and locking it: the lock is on nothing, and is taken anew."""
    lock, calls = alone_module._lock, []

    def late(handle: object) -> bool:
        calls.append(handle)
        if len(calls) == 1:
            (tmp_path / "work" / "in-use").unlink()
            (tmp_path / "work").rmdir()
        return lock(handle)  # type: ignore[arg-type]

    monkeypatch.setattr(alone_module, "_lock", late)
    with alone(tmp_path / "work") as free:
        assert free
        assert (tmp_path / "work" / "in-use").exists()
    assert len(calls) == 2
    assert list(tmp_path.iterdir()) == []


def test_where_beside_is_closed_the_files_are_prepared_inside(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "site").mkdir()
    monkeypatch.setattr(folder_module.os, "access", lambda *_: False)  # type: ignore[attr-defined]
    assert folder_module._aside(tmp_path / "site") == tmp_path / "site" / ".buildlog-new"
    for files in (FIRST, SECOND):
        assert not deliver(staged(files), tmp_path / "site").faults
        assert contents(tmp_path / "site") == files


def test_a_disk_mounted_twice(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    replace = Path.replace

    def picky(self: Path, target: Path) -> Path:
        if self.parent.name.endswith(".buildlog-new"):
            raise OSError(18, "Invalid cross-device link")
        return replace(self, target)

    monkeypatch.setattr(Path, "replace", picky)
    for files in (FIRST, SECOND):
        assert not deliver(staged(files), tmp_path / "site").faults
        assert contents(tmp_path / "site") == files


KILLED = """
import os, signal, sys
from pathlib import Path
from buildlog.site.folder import deliver
sys.path.insert(0, sys.argv[3])
from test_folder import SECOND, staged
left = int(sys.argv[2])
def dying(real):
    def step(*arguments, **options):
        global left
        left -= 1
        if left == 0:
            os.kill(os.getpid(), signal.SIGKILL)
        return real(*arguments, **options)
    return step
for name in ("write_bytes", "replace", "unlink", "rmdir", "mkdir"):
    setattr(Path, name, dying(getattr(Path, name)))
deliver(staged(SECOND), Path(sys.argv[1]))
"""


def killed(root: Path, step: int) -> int:
    command = [sys.executable, "-c", KILLED, str(root), str(step), str(Path(__file__).parent)]
    return subprocess.run(command, cwd=Path(folder_module.__file__).parents[2], check=False, timeout=60).returncode


@pytest.mark.skipif(sys.platform == "win32", reason="no SIGKILL there")
def test_a_run_killed_at_any_step_leaves_whole_pages_and_the_next_completes_it(tmp_path: Path) -> None:
    step, codes = 0, list[int]()
    while not codes or codes[-1] == -signal.SIGKILL:
        step += 1
        root = tmp_path / str(step) / "site"
        deliver(staged(FIRST), root)
        (root / "log" / "mine.txt").write_text("mine")
        codes.append(killed(root, step))
        for name, content in contents(root).items():
            assert content in {FIRST.get(name), SECOND.get(name), b"mine" if name == "log/mine.txt" else None}
        assert set(contents(root)) - {"log/mine.txt"} <= set(listed(root))
        assert not deliver(staged(SECOND), root).faults
        assert contents(root) == {**SECOND, "log/mine.txt": b"mine"}
        assert listed(root) == sorted(SECOND)
        assert not (root / "old").exists()
        assert [path.name for path in root.parent.iterdir()] == ["site"]
    assert codes[-1] == 0
    assert step > 15


@pytest.mark.skipif(sys.platform == "win32", reason="no SIGKILL there")
@pytest.mark.parametrize("step", [1, 4, 8, 12])
def test_a_first_publication_killed(tmp_path: Path, step: int) -> None:
    assert killed(tmp_path / "site", step) == -signal.SIGKILL
    assert not deliver(staged(SECOND), tmp_path / "site").faults
    assert contents(tmp_path / "site") == SECOND
    assert [path.name for path in tmp_path.iterdir()] == ["site"]
