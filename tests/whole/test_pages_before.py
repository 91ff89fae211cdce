"""From run to run a page is made again only where something it is made of changed."""

from __future__ import annotations

import pickle
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image

from buildlog.site.pages_before import PagesBefore, plainly
from tests.making import entry, write
from tests.whole.test_again import site_of
from tests.whole.test_reworded import clean, edit, published
from tests.whole.test_still import aged

pytestmark = [pytest.mark.whole]
FIRST = "log/2026-01-01-x.md"
SECOND = "log/2026-01-02-y.md"
FILES = {
    "project.yaml": "title: P\naircraft: {type: A}\nlocale: en-GB\nunits: {currency: USD}\n",
    FIRST: entry(
        "title: x\ndate: 2026-01-01\nsystem: [fuel]\nhours: {owner: 2:00}", "The first.\n\n![A](../photos/a.png)"
    ),
    SECOND: entry(
        "title: y\ndate: 2026-01-02\nhours: {owner: 1:00}", "The second, after [x](2026-01-01-x.md).\n\nMore."
    ),
    "log/2026-01-03-z.md": entry("title: z\ndate: 2026-01-03\nsystem: [wings]", "The third."),
    "pages/about.md": entry("title: About", "About it, and [x](../log/2026-01-01-x.md)."),
}


@pytest.fixture
def root(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    made = write(tmp_path / "p", dict(FILES))
    (made / "photos").mkdir()
    Image.new("RGB", (40, 30), "teal").save(made / "photos/a.png")
    return aged(made)


@pytest.fixture
def made(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The pages that are made, since the last time this was emptied."""
    paths: list[str] = []
    real = PagesBefore.recall

    def recall(self: PagesBefore, path: str, *more: object) -> object:
        found = real(self, path, *more)  # type: ignore[arg-type]
        if found is None:
            paths.append(path)
        return found

    monkeypatch.setattr(PagesBefore, "recall", recall)
    return paths


def again(root: Path, made: list[str]) -> set[str]:
    """The pages that another publication makes; the site must then be that of a clean build."""
    made.clear()
    published(root)
    found = set(made)
    assert site_of(root / "site") == clean(root)
    return found


def another_picture(root: Path) -> None:
    Image.new("RGB", (60, 30), "maroon").save(root / "photos/a.png")


HOURS = {"hours.html", "index.html", "log.html", "log/2026-01-02-y.html"}
EDITS: dict[str, tuple[Callable[[Path], object], set[str]]] = {
    "an hour more": (lambda root: edit(root, SECOND, "owner: 1:00", "owner: 2:00"), HOURS),
    "a picture": (
        another_picture,
        {"log/2026-01-01-x.html", "photos.html", "systems/fuel.html", "index.html", "log.html"},
    ),
}


@pytest.mark.parametrize("what", EDITS)
def test_only_pages_of_which_something_changed_are_made(root: Path, made: list[str], what: str) -> None:
    published(root)
    assert "log/2026-01-03-z.html" in made
    change, pages = EDITS[what]
    change(root)
    found = again(root, made)
    assert "log/2026-01-03-z.html" not in found
    assert pages <= found, found


def test_what_is_made_is_what_changes(root: Path, made: list[str]) -> None:
    published(root)
    before = site_of(root / "site")
    edit(root, SECOND, "owner: 1:00", "owner: 2:00")
    found = again(root, made)
    after = site_of(root / "site")
    assert {name for name in after if after[name] != before[name]} <= found
    assert len(found) < 9, found


def test_another_title_reaches_the_pages_that_name_it(root: Path, made: list[str]) -> None:
    published(root)
    edit(root, FIRST, "title: x", "title: The first day")
    assert {"log/2026-01-01-x.html", "log/2026-01-02-y.html", "log.html"} <= again(root, made)


def test_a_page_that_somebody_touched_is_made_again(root: Path, made: list[str]) -> None:
    published(root)
    page = root / "site/log/2026-01-03-z.html"
    page.write_bytes(page.read_bytes().replace(b"third", b"thirs"))
    edit(root, SECOND, "owner: 1:00", "owner: 2:00")
    assert "log/2026-01-03-z.html" in again(root, made)


def test_words_there_and_back_and_then_a_fact(root: Path, made: list[str]) -> None:
    """The page is as it was, but the file is another."""
    published(root)
    edit(root, SECOND, "More.", "Less.")
    published(root)
    edit(root, SECOND, "Less.", "More.")
    published(root)
    edit(root, FIRST, "owner: 2:00", "owner: 3:00")
    assert "log/2026-01-02-y.html" in again(root, made)


THEMES: dict[str, Callable[[Path], object]] = {
    "a template of one's own": lambda root: write(root, {"themes/hangar/entry.html": "{{ view.title }}"}),
    "the frame": lambda root: edit(root, "project.yaml", "title: P", "title: Q"),
}


@pytest.mark.parametrize("what", THEMES)
def test_what_all_pages_share_makes_all_anew(root: Path, made: list[str], what: str) -> None:
    published(root)
    pages = set(made)
    THEMES[what](root)
    assert again(root, made) == pages


HARM: dict[str, Callable[[Path], object]] = {
    "gone": lambda path: path.unlink(),
    "empty": lambda path: path.write_bytes(b""),
    "cut short": lambda path: path.write_bytes(path.read_bytes()[:-100]),
    "of other things": lambda path: path.write_bytes(pickle.dumps(["log.html"])),
}


@pytest.mark.parametrize("harm", HARM)
def test_without_what_was_written_down_all_are_made(root: Path, made: list[str], harm: str) -> None:
    published(root)
    pages = set(made)
    for path in (root.parent / "cache").rglob("pages-*.pickle"):
        HARM[harm](path)
    edit(root, SECOND, "owner: 1:00", "owner: 2:00")
    assert again(root, made) == pages


def test_pages_of_another_place_are_not_taken_for_these(root: Path, made: list[str]) -> None:
    published(root)
    pages = set(made)
    (root / "site").rename(root / "moved")
    edit(root, "project.yaml", "title: P", "title: P\nsite: moved")
    made.clear()
    published(root)
    assert set(made) == pages


def test_two_equal_things_are_told_as_one_thing_is() -> None:
    one, other = str(10**6), str(10**6)
    assert one is not other
    assert plainly((one, one)) == plainly((one, other))
    assert plainly(("ab", "c")) != plainly(("a", "bc"))
