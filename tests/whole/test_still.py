"""Publishing again with nothing changed does nothing; whatever changes is seen."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner

from buildlog import publish as publishing
from buildlog.cli import main
from tests.making import entry, write

pytestmark = [pytest.mark.whole]
LONG_AGO = 1_700_000_000
ENTRY = entry("title: x\ndate: 2026-01-01\ncosts: [{item: Hose, cost: 12.00 USD}]", "Some words.")


@pytest.fixture
def root(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    made = write(tmp_path / "p", {"log/2026-01-01-x.md": ENTRY, "themes/hangar/assets/own.css": "a {}"})
    return aged(made)


def aged(root: Path) -> Path:
    """The project as if nobody had touched it for long."""
    for path in root.rglob("*"):
        os.utime(path, (LONG_AGO, LONG_AGO))
    return root


def told(root: Path, *more: str) -> str:
    done = CliRunner().invoke(main, ["publish", "--project", str(root), *more])
    assert done.exit_code == 0, done.output
    return done.output


def worked(root: Path, monkeypatch: pytest.MonkeyPatch, *more: str) -> bool:
    """Whether the next publication works everything out again."""
    calls: list[object] = []
    real = publishing.publish

    def counted(*all_: object) -> object:
        calls.append(all_)
        return real(*all_)  # type: ignore[arg-type]

    monkeypatch.setattr(publishing, "publish", counted)
    told(root, *more)
    monkeypatch.setattr(publishing, "publish", real)
    return bool(calls)


def test_the_second_run_tells_the_same_and_works_nothing_out(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first, site = told(root), root / "site"
    before = {path: path.stat().st_mtime_ns for path in site.rglob("*")}
    assert not worked(root, monkeypatch)
    second = told(root)
    files = sum(path.is_file() for path in before) - 1
    assert f"0 files written, {files} as they were, 0 removed" in second
    assert second.split("\n")[1:] == first.split("\n")[1:]
    assert {path: path.stat().st_mtime_ns for path in site.rglob("*")} == before


CHANGES: dict[str, Callable[[Path], object]] = {
    "an entry, its size and nothing else kept": lambda root: (root / "log/2026-01-01-x.md").write_text(
        ENTRY.replace("Some words", "Same words"), "utf-8"
    ),
    "an entry named anew": lambda root: (root / "log/2026-01-01-x.md").rename(root / "log/2026-01-01-y.md"),
    "a new photo": lambda root: write(root, {"photos/a.txt": "a"}),
    "a theme's style": lambda root: (root / "themes/hangar/assets/own.css").write_text("b {}"),
    "a page of the site written over": lambda root: (root / "site/index.html").write_text("mine"),
    "a page of the site taken away": lambda root: (root / "site/log.html").unlink(),
    "a file put into the site": lambda root: (root / "site/mine.txt").write_text("mine"),
    "the list of what was published": lambda root: (root / "site/.buildlog-site").write_text("index.html\n"),
    "the record of the last run damaged": lambda root: [
        path.write_text("{") for path in (root.parent / "cache").rglob("still-*.json")
    ],
}


@pytest.mark.parametrize("change", CHANGES)
def test_whatever_changes_is_seen(root: Path, monkeypatch: pytest.MonkeyPatch, change: str) -> None:
    told(root)
    assert not worked(root, monkeypatch)
    CHANGES[change](root)
    assert worked(root, monkeypatch)


def test_another_audience_or_place_is_another_site(root: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    assert worked(root, monkeypatch, "--to", str(tmp_path / "other"))
    assert worked(root, monkeypatch, "--to", str(tmp_path / "third"), "--audience", "buyer")
    assert not worked(root, monkeypatch, "--to", str(tmp_path / "other"))


def test_a_file_that_has_just_been_written_is_not_trusted(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (root / "themes/hangar/assets/own.css").write_text("b {}")
    told(root)
    assert worked(root, monkeypatch)


def test_a_text_that_has_just_been_written_is_known_by_its_words(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = root / "log/2026-01-01-x.md"
    path.write_text(ENTRY, "utf-8")
    told(root)
    assert not worked(root, monkeypatch)
    stamp = path.stat()
    path.write_text(ENTRY.replace("12.00", "13.00"), "utf-8")
    os.utime(path, ns=(stamp.st_atime_ns, stamp.st_mtime_ns))
    assert worked(root, monkeypatch)


def test_a_publication_that_failed_is_not_remembered(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    told(root)
    (root / "log/2026-01-01-x.md").write_text("no front matter", "utf-8")
    assert CliRunner().invoke(main, ["publish", "--project", str(root)]).exit_code == 1
    (root / "log/2026-01-01-x.md").write_text(ENTRY, "utf-8")
    aged(root)
    assert worked(root, monkeypatch)
