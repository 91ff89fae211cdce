"""Texts read before are not parsed again, and nothing that became of the cache can change a site."""

from __future__ import annotations

import pickle
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner
from PIL import Image

from buildlog import text_cache
from buildlog.check import check
from buildlog.cli import main
from buildlog.reading import read
from buildlog.site.workshop import Workshop
from tests.making import entry, write
from tests.whole.conftest import DEMO

pytestmark = [pytest.mark.whole]


@pytest.fixture
def root(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    files = {f"log/2026-01-{day:02}-x.md": entry(f"title: {day}\ndate: 2026-01-{day:02}") for day in range(1, 9)}
    return write(tmp_path / "p", dict(files))


def published(root: Path) -> dict[str, bytes]:
    done = CliRunner().invoke(main, ["publish", "--project", str(root)])
    assert done.exit_code == 0, done.output
    return {path.name: path.read_bytes() for path in (root / "site").rglob("*") if path.is_file()}


def parsed(root: Path, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The texts that the next publication parses."""
    files: list[str] = []
    real = read.read_text

    def noted(source: object, *more: object) -> object:
        files.append(source.file)  # type: ignore[attr-defined]
        return real(source, *more)  # type: ignore[arg-type]

    monkeypatch.setattr(read, "read_text", noted)
    published(root)
    monkeypatch.setattr(read, "read_text", real)
    return files


def parts(root: Path) -> list[Path]:
    return sorted((root.parent / "cache").rglob("texts/*.pickle"))


def test_only_what_was_edited_is_parsed_and_only_its_part_is_written(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert len(parsed(root, monkeypatch)) == 8
    before = {path: path.read_bytes() for path in parts(root)}
    (root / "log/2026-01-03-x.md").write_text(entry("title: 3\ndate: 2026-01-03", "Other words."), "utf-8")
    assert parsed(root, monkeypatch) == ["log/2026-01-03-x.md"]
    after = {path: path.read_bytes() for path in parts(root)}
    assert sum(before.get(path) != content for path, content in after.items()) == 1
    (root / "log/2026-01-03-x.md").unlink()
    assert parsed(root, monkeypatch) == []


HARM: dict[str, Callable[[Path], object]] = {
    "cut short": lambda path: path.write_bytes(path.read_bytes()[:-40]),
    "empty": lambda path: path.write_bytes(b""),
    "something else": lambda path: path.write_bytes(pickle.dumps(["no", "part"])),
    "of another version": lambda path: path.write_bytes(pickle.dumps(("older", pickle.loads(path.read_bytes())[1]))),  # noqa: S301
    "with strangers in it": lambda path: path.write_bytes(
        pickle.dumps((pickle.loads(path.read_bytes())[0], {"log/2026-01-03-x.md": "a word"}))  # noqa: S301
    ),
}


@pytest.mark.parametrize("harm", HARM)
def test_a_part_that_is_not_ours_or_not_whole_counts_as_empty(
    root: Path, monkeypatch: pytest.MonkeyPatch, harm: str
) -> None:
    clean = published(root)
    for path in parts(root):
        HARM[harm](path)
    assert len(parsed(root, monkeypatch)) == 8
    assert published(root) == clean


def test_another_version_of_the_program_reads_everything_again(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    published(root)
    monkeypatch.setattr(text_cache, "_version", lambda: "another")
    assert len(parsed(root, monkeypatch)) == 8
    assert parsed(root, monkeypatch) == []


def test_a_cache_that_cannot_be_written_costs_time_only(root: Path) -> None:
    clean = published(root)
    folder = parts(root)[0].parent
    for path in parts(root):
        path.unlink()
    folder.rmdir()
    folder.write_text("a file in its place")
    assert published(root) == clean


def test_what_comes_out_of_the_cache_is_what_went_in(tmp_path: Path) -> None:
    cache = text_cache.TextCache(tmp_path)
    memory = cache.load()
    first, _, problems = check(DEMO, texts=memory)
    cache.save(memory)
    again = text_cache.TextCache(tmp_path).load()
    assert again.all() == memory.all() and len(again.all()) > 20
    second, _, same = check(DEMO, texts=again)
    assert second.logbook == first.logbook and same == problems
    tokens = [[token.as_dict() for token in one.prose.tokens] for one in first.logbook.entries]
    assert [[token.as_dict() for token in one.prose.tokens] for one in second.logbook.entries] == tokens


def test_without_any_cache_a_site_is_made_but_for_its_pictures(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    clean = published(root)
    (root.parent / "file").write_text("no folder")
    monkeypatch.setenv("XDG_CACHE_HOME", str(root.parent / "file/below"))
    assert published(root) == clean
    (root / "photos").mkdir()
    Image.new("RGB", (9, 9)).save(root / "photos/a.png")
    (root / "log/2026-01-01-x.md").write_text(entry("title: 1\ndate: 2026-01-01", "![A](../photos/a.png)"), "utf-8")
    done = CliRunner().invoke(main, ["publish", "--project", str(root)])
    assert done.exit_code == 1 and "Not a directory" in done.output and "Traceback" not in done.output


def test_a_disk_that_is_full_while_pages_are_made_is_told(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    clean = published(root)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device", "pages/1")

    monkeypatch.setattr(Workshop, "lay", full)
    (root / "log/2026-01-03-x.md").write_text(entry("title: 3\ndate: 2026-01-03\nhours: {owner: 1:00}"), "utf-8")
    done = CliRunner().invoke(main, ["publish", "--project", str(root)])
    assert done.exit_code == 1 and "No space left on device" in done.output and "Traceback" not in done.output
    assert {path.name: path.read_bytes() for path in (root / "site").rglob("*") if path.is_file()} == clean
