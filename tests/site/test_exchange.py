"""Some pages of a site that stands are exchanged: only files that the last publication wrote, each in one step."""

from collections.abc import Callable
from pathlib import Path

import pytest

from buildlog.site import folder as folder_module
from buildlog.site.alone import alone
from buildlog.site.folder import Staged, deliver, exchange
from buildlog.site.workshop import AsItWas, Workshop
from tests.site.test_folder import FIRST, contents, inodes, staged, words


@pytest.fixture
def site(tmp_path: Path) -> Path:
    assert not deliver(staged(FIRST), tmp_path / "site").faults
    return tmp_path / "site"


def test_a_page_is_exchanged_and_nothing_else_is_touched(site: Path) -> None:
    before = inodes(site)
    done = exchange({"log/a.html": b"other", "log/b.html": FIRST["log/b.html"]}, site)
    assert done is not None
    assert (done.written, done.unchanged, done.removed, done.faults) == (("log/a.html",), ("log/b.html",), (), ())
    assert contents(site) == FIRST | {"log/a.html": b"other"}
    assert [path for path, there in inodes(site).items() if before[path] != there] == [str(site / "log/a.html")]
    assert [path.name for path in site.parent.iterdir()] == ["site"]


def linked(site: Path) -> None:
    (site / "log").rename(site.parent / "elsewhere")
    (site / "log").symlink_to(site.parent / "elsewhere")


ODD: dict[str, Callable[[Path], object]] = {
    "gone": lambda site: (site / "log/a.html").unlink(),
    "a folder": lambda site: ((site / "log/a.html").unlink(), (site / "log/a.html").mkdir()),
    "a link": lambda site: (
        (site / "log/a.html").rename(site / "mine"),
        (site / "log/a.html").symlink_to(site / "mine"),
    ),
    "behind a link": linked,
    "not of the list": lambda site: (site / folder_module.MARKER).write_text("index.html\n"),
    "of a site that is no more": lambda site: (site / folder_module.MARKER).unlink(),
}


@pytest.mark.parametrize("odd", ODD)
def test_where_a_page_is_not_as_it_was_published_nothing_is_touched(site: Path, odd: str) -> None:
    ODD[odd](site)
    before = inodes(site.parent)
    assert exchange({"index.html": b"new", "log/a.html": b"other"}, site) is None
    assert inodes(site.parent) == before


def test_trouble_is_told_and_no_page_is_half_there(site: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with alone(folder_module._aside(site)) as free:
        assert free
        busy = exchange({"log/a.html": b"other"}, site)
        assert busy is not None and "another run is publishing" in words(busy)

    def full(_ready: Path, _place: Path) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(folder_module, "_move", full)
    done = exchange({"log/a.html": b"other"}, site)
    assert done is not None and "No space left on device" in words(done)
    assert contents(site) == FIRST


def test_a_file_that_lies_ready_is_moved_and_one_that_is_there_is_not(tmp_path: Path) -> None:
    ready = tmp_path / "ready"
    ready.mkdir()
    for content in (b"first", b"first", b"second"):
        (ready / "1").write_bytes(content)
        made = Staged()
        made.aside("index.html", ready / "1")
        assert made.files() == {"index.html": ready / "1"}
        done = deliver(made, tmp_path / "site")
        assert contents(tmp_path / "site") == {"index.html": content}
        assert (ready / "1").exists() == bool(done.unchanged)


def test_a_page_that_is_as_it_was_is_not_laid_down_nor_written(tmp_path: Path) -> None:
    site, laid = tmp_path / "site", Workshop(tmp_path / "pages", tmp_path / "site")
    assert isinstance(laid.lay("a/index.html", b"one"), Path)
    assert not deliver(staged({"a/index.html": b"one", "b.html": b"b"}), site).faults
    same = laid.lay("a/index.html", b"one")
    assert isinstance(same, AsItWas)
    assert isinstance(laid.lay("a/index.html", b"two"), Path) and isinstance(laid.lay("a", b"one"), Path)
    made = Staged()
    made.as_it_was("a/index.html", same)
    assert made.files() == {}
    before = inodes(site)
    done = deliver(made, site)
    assert (done.written, done.unchanged, done.removed, done.faults) == ((), ("a/index.html",), ("b.html",), ())
    assert all(before[path] == there for path, there in inodes(site).items() if path.endswith("index.html"))
    (site / "a/index.html").write_bytes(b"something else")
    assert "changed by somebody else" in words(deliver(made, site))
