"""What counts as a save, by the system's word and by looking."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from buildlog.preview import watching
from buildlog.preview.watching import Watch

PATIENCE = 20


def watch(root: Path) -> Watch:
    return Watch(root, threading.Event())


@pytest.mark.parametrize(
    "name",
    [
        ".git/index",
        "log/.x.md.swp",
        "log/x.md~",
        "log/4913",
        "log/#x.md#",
        "log/.#x.md",
        "photos/a.jpg.part",
        "photos/Thumbs.db",
        "documents/~$letter.docx",
        "log/x.md___jb_tmp___",
    ],
)
def test_hidden_and_passing_files_are_not_looked_at(tmp_path: Path, name: str) -> None:
    assert watch(tmp_path).name_of(str(tmp_path / name)) is None


def test_what_the_program_made_is_not_looked_at(tmp_path: Path) -> None:
    for folder, mark in (("site", ".buildlog-site"), ("handover-buyer", "bagit.txt")):
        (tmp_path / folder / "inner").mkdir(parents=True)
        (tmp_path / folder / mark).write_text("")
    one = watch(tmp_path)
    for name in ("site", "site/index.html", "site/inner/x", "handover-buyer/data/x.pdf", "handover-buyer.zip"):
        assert one.name_of(str(tmp_path / name)) is None, name
    for name in ("project.yaml", "log/2026/x.md", "documents/other.zip", "site.md"):
        assert one.name_of(str(tmp_path / name)) == name


def test_a_project_in_a_hidden_folder_is_watched_all_the_same(tmp_path: Path) -> None:
    root = tmp_path / ".mine" / "project"
    assert watch(root).name_of(str(root / "log/x.md")) == "log/x.md"
    assert watch(root).name_of(str(tmp_path / "elsewhere.md")) is None


def collected(
    changes: Iterator[frozenset[str]], stop: threading.Event
) -> tuple[threading.Thread, list[str], threading.Event]:
    """A thread that notes what is told, and an event for each word of it."""
    told: list[str] = []
    heard = threading.Event()

    def work() -> None:
        for names in changes:
            told.extend(sorted(names))
            heard.set()
        stop.set()

    thread = threading.Thread(target=work, daemon=True)
    thread.start()
    return thread, told, heard


@pytest.mark.parametrize("polling", [True, False], ids=["looked for", "told"])
def test_saves_are_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, *, polling: bool) -> None:
    if not polling:
        pytest.importorskip("watchfiles")
    monkeypatch.setattr(watching, "EVERY_SECONDS", 0.05)
    (tmp_path / "log").mkdir()
    (tmp_path / "log/x.md").write_text("one")
    one = watch(tmp_path)
    thread, told, heard = collected(one.looked_for() if polling else one.told(), one.stop)

    def told_of(name: str, act: object) -> None:
        for _ in range(40):  # the watch may not have begun yet
            assert callable(act)
            act()
            if heard.wait(0.5) and name in told:
                break
        assert name in told
        told.clear()
        heard.clear()

    count = iter(range(1000))

    def write() -> None:
        (tmp_path / "log/x.md").write_text("x" * next(count))

    def by_rename() -> None:
        (tmp_path / "log/x.md~").write_text("y" * next(count))
        (tmp_path / "log/x.md~").replace(tmp_path / "log/x.md")

    def take_away() -> None:
        (tmp_path / "log/x.md").write_text("again" * next(count))
        (tmp_path / "log/x.md").unlink()

    def new_folder() -> None:
        (tmp_path / "photos/2026").mkdir(parents=True, exist_ok=True)
        (tmp_path / "photos/2026/a.jpg").write_text("p" * next(count))

    told_of("log/x.md", write)
    told_of("log/x.md", by_rename)
    told_of("photos/2026/a.jpg", new_folder)
    told_of("log/x.md", take_away)
    one.stop.set()
    thread.join(PATIENCE)
    assert not thread.is_alive()


def test_without_the_extra_the_folder_is_looked_through(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import sys

    monkeypatch.setitem(sys.modules, "watchfiles", None)
    monkeypatch.setattr(watching, "EVERY_SECONDS", 0.05)
    one = watch(tmp_path)
    thread, told, heard = collected(one.changes(), one.stop)
    for number in range(1, 200):
        (tmp_path / "project.yaml").write_text("x" * number)
        if heard.wait(0.1):
            break
    one.stop.set()
    thread.join(PATIENCE)
    assert "project.yaml" in told and not thread.is_alive()


@pytest.mark.parametrize("polling", [True, False], ids=["looked for", "told"])
def test_a_save_before_the_watch_is_up_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, *, polling: bool
) -> None:
    if not polling:
        pytest.importorskip("watchfiles")
    monkeypatch.setattr(watching, "EVERY_SECONDS", 0.05)
    (tmp_path / "x.md").write_text("one")
    (tmp_path / "z.md").write_text("one")
    one = watch(tmp_path)
    assert "x.md" in one.begun[0]
    (tmp_path / "x.md").write_text("another")
    (tmp_path / "y.md").write_text("new")
    thread, told, heard = collected(one.looked_for() if polling else one.told(), one.stop)
    assert heard.wait(PATIENCE)
    one.stop.set()
    thread.join(PATIENCE)
    assert told == ["x.md", "y.md"]
