"""The picture cache: nothing is opened twice, nothing stale or half-made is used, no byte depends on it."""

import hashlib
import json
import os
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image

from buildlog.site import darkroom
from buildlog.site import making as module
from buildlog.site.pictures import Picture, Wanted, develop

SEED = 1_600_000_000_000_000_000


@pytest.fixture
def wanted(tmp_path: Path) -> list[Wanted]:
    """Six photos of some detail, last changed long ago."""
    folder = tmp_path / "photos"
    folder.mkdir()
    for number in range(6):
        image = Image.linear_gradient("L").rotate(number * 30).resize((900 + number, 700)).convert("RGB")
        image.save(folder / f"{number}.jpg", quality=90)
        os.utime(folder / f"{number}.jpg", ns=(SEED, SEED))
    return [Wanted(path, f"photos/{path.name}") for path in sorted(folder.iterdir())]


def files(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in sorted(folder.rglob("*.jpg"))}


class Count:
    """How many originals were fingerprinted and how many decoded."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.hashed, self.decoded = 0, 0
        digest: Callable[..., object] = hashlib.file_digest
        decode: Callable[..., object] = darkroom.develop_one

        def counted_digest(*arguments: object) -> object:
            self.hashed += 1
            return digest(*arguments)

        def counted_decode(*arguments: object) -> object:
            self.decoded += 1
            return decode(*arguments)

        monkeypatch.setattr("hashlib.file_digest", counted_digest)
        monkeypatch.setattr(module, "develop_one", counted_decode)

    def since(self) -> tuple[int, int]:
        found = (self.hashed, self.decoded)
        self.hashed = self.decoded = 0
        return found


@pytest.fixture
def count(monkeypatch: pytest.MonkeyPatch) -> Count:
    return Count(monkeypatch)


def test_no_byte_depends_on_threads_order_or_cache(tmp_path: Path, wanted: list[Wanted]) -> None:
    first, faults = develop(wanted, tmp_path / "a", None, threads=1)
    assert not faults
    for name, order, cache, threads in (
        ("b", wanted, None, 2),
        ("c", wanted[::-1], tmp_path / "cache", 2),
        ("d", wanted, tmp_path / "cache", 1),
    ):
        found, faults = develop(order, tmp_path / name, cache, threads=threads)
        assert not faults
        assert found == first
        assert list(found) == [want.shown for want in order]
        assert files(tmp_path / name) == files(tmp_path / "a")
    assert len(files(tmp_path / "a")) == 12


def test_a_run_without_news_opens_nothing(tmp_path: Path, wanted: list[Wanted], count: Count) -> None:
    calls: list[tuple[int, int]] = []
    cold, _ = develop(wanted, tmp_path / "a", tmp_path / "cache", lambda done, todo: calls.append((done, todo)))
    assert count.since() == (6, 6)
    assert calls == [(number, 6) for number in range(1, 7)]
    calls.clear()
    index = (tmp_path / "cache" / "index.json").stat()
    warm, faults = develop(wanted, tmp_path / "b", tmp_path / "cache", lambda done, todo: calls.append((done, todo)))
    assert count.since() == (0, 0)
    assert (warm, faults, calls) == (cold, [], [])
    assert (tmp_path / "cache" / "index.json").stat() == index
    assert files(tmp_path / "a") == files(tmp_path / "b")


def test_the_cache_itself_may_be_the_place_for_the_files(tmp_path: Path, wanted: list[Wanted], count: Count) -> None:
    cache = tmp_path / "cache"
    for expected in ((6, 6), (0, 0)):
        found, faults = develop(wanted, cache, cache)
        assert not faults
        assert count.since() == expected
        assert sorted(files(cache)) == sorted(size.name for each in found.values() for size in each.sizes)


def test_a_renamed_or_copied_photo_costs_one_fingerprint(tmp_path: Path, wanted: list[Wanted], count: Count) -> None:
    before, _ = develop(wanted, tmp_path / "a", tmp_path / "cache")
    count.since()
    moved = wanted[0].source.rename(wanted[0].source.with_name("other.jpg"))
    after, _ = develop([Wanted(moved, "photos/other.jpg"), *wanted[1:]], tmp_path / "a", tmp_path / "cache")
    assert count.since() == (1, 0)
    assert after["photos/other.jpg"].sizes == before["photos/0.jpg"].sizes


def test_a_changed_photo_gets_another_name(tmp_path: Path, wanted: list[Wanted], count: Count) -> None:
    before, _ = develop(wanted, tmp_path / "a", tmp_path / "cache")
    count.since()
    wanted[0].source.write_bytes(wanted[1].source.read_bytes() + b"\0")
    after, _ = develop(wanted, tmp_path / "a", tmp_path / "cache")
    assert count.since() == (1, 1)
    assert not {size.name for size in after["photos/0.jpg"].sizes} & {s.name for s in before["photos/0.jpg"].sizes}


def test_a_file_too_new_to_be_told_apart_is_looked_at_again(tmp_path: Path, wanted: list[Wanted]) -> None:
    """Two changes within one tick of the clock leave the same time; a time not yet past proves nothing."""
    photo, other = wanted[0].source, wanted[1].source.read_bytes()
    later = SEED * 2
    length = max(photo.stat().st_size, len(other)) + 1
    photo.write_bytes(photo.read_bytes().ljust(length, b"\0"))
    os.utime(photo, ns=(later, later))
    before, _ = develop(wanted[:1], tmp_path / "a", tmp_path / "cache")
    photo.write_bytes(other.ljust(length, b"\0"))
    os.utime(photo, ns=(later, later))
    after, _ = develop(wanted[:1], tmp_path / "a", tmp_path / "cache")
    assert after["photos/0.jpg"].digest != before["photos/0.jpg"].digest


@pytest.mark.parametrize("changed", ["VERSION", "RECIPE", "pillow"])
def test_another_version_starts_with_an_empty_cache(
    tmp_path: Path, wanted: list[Wanted], count: Count, monkeypatch: pytest.MonkeyPatch, changed: str
) -> None:
    cache = tmp_path / "cache"
    develop(wanted, tmp_path / "a", cache)
    (cache / "photos" / "of-the-old-version.jpg").write_bytes(b"old")
    count.since()
    monkeypatch.setattr(module, changed, "other")
    _, faults = develop(wanted[:2], tmp_path / "b", cache)
    assert not faults
    assert count.since() == (2, 2)
    assert sorted(files(cache)) == sorted(files(tmp_path / "b"))


def test_only_what_is_ours_in_the_cache_folder_is_dropped(tmp_path: Path, wanted: list[Wanted]) -> None:
    cache = tmp_path / "cache"
    cache.mkdir()
    (cache / "pages.json").write_text("{}")
    develop(wanted[:1], tmp_path / "a", cache)
    (cache / "index.json").write_text("")
    develop(wanted[:1], tmp_path / "a", cache)
    assert (cache / "pages.json").read_text() == "{}"


@pytest.mark.parametrize("how", ["cut", "gone", "empty"])
def test_a_web_copy_that_is_not_whole_is_made_again(
    tmp_path: Path, wanted: list[Wanted], count: Count, how: str
) -> None:
    cache = tmp_path / "cache"
    found, _ = develop(wanted, tmp_path / "a", cache)
    whole = files(tmp_path / "a")
    copy = cache / found["photos/3.jpg"].sizes[1].name
    if how == "gone":
        copy.unlink()
    else:
        content = copy.read_bytes()
        copy.unlink()
        copy.write_bytes(content[: len(content) // 2] if how == "cut" else b"")
    count.since()
    develop(wanted, tmp_path / "b", cache)
    assert count.since() == (1, 1)
    assert files(tmp_path / "b") == whole


@pytest.mark.parametrize("index", ["", "{", "[]", "null", '{"version": 3}', '{"version": null, "files": []}'])
def test_an_unreadable_index_is_only_slow(tmp_path: Path, wanted: list[Wanted], count: Count, index: str) -> None:
    develop(wanted, tmp_path / "a", tmp_path / "cache")
    count.since()
    (tmp_path / "cache" / "index.json").write_text(index)
    _, faults = develop(wanted, tmp_path / "b", tmp_path / "cache")
    assert not faults
    assert count.since() == (6, 6)
    assert files(tmp_path / "a") == files(tmp_path / "b")


def test_odd_lines_of_the_index_are_left_out(tmp_path: Path, wanted: list[Wanted], count: Count) -> None:
    develop(wanted, tmp_path / "a", tmp_path / "cache")
    index = json.loads((tmp_path / "cache" / "index.json").read_text())
    keys = list(index["files"])
    index["files"][keys[0]] = ["1", 2]
    index["pictures"][index["files"][keys[1]][2] + " jpeg"] = [900, 700, 1, [[1, 2]]]
    index["pictures"][index["files"][keys[2]][2] + " jpeg"] = [900, 700, 1, []]
    (tmp_path / "cache" / "index.json").write_text(json.dumps(index))
    count.since()
    _, faults = develop(wanted, tmp_path / "b", tmp_path / "cache")
    assert not faults
    assert count.since() == (3, 2)
    assert files(tmp_path / "a") == files(tmp_path / "b")


def test_a_change_in_what_was_laid_out_does_not_stay(tmp_path: Path, wanted: list[Wanted]) -> None:
    found, _ = develop(wanted, tmp_path / "a", None)
    whole = files(tmp_path / "a")
    (tmp_path / "a" / found["photos/0.jpg"].sizes[0].name).write_bytes(b"changed")
    develop(wanted, tmp_path / "a", None)
    assert files(tmp_path / "a") == whole


def test_an_interrupted_run_stops_and_keeps_what_it_has(tmp_path: Path, wanted: list[Wanted], count: Count) -> None:
    def stop(done: int, _todo: int) -> None:
        if done == 2:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        develop(wanted, tmp_path / "a", tmp_path / "cache", stop, threads=1)
    before = count.since()[1]
    assert 2 <= before < 6
    develop(wanted, tmp_path / "a", tmp_path / "cache")
    assert count.since()[1] == 6 - before


def test_a_place_that_cannot_be_written_is_a_fault(tmp_path: Path, wanted: list[Wanted]) -> None:
    (tmp_path / "file").write_text("")
    found, faults = develop(wanted, tmp_path / "file" / "out", None)
    assert found == {}
    assert [each.shown for each in faults] == ["photos"]
    assert "could not be stored" in faults[0].words


def test_a_full_disk_is_one_fault(tmp_path: Path, wanted: list[Wanted], monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_path: Path, _content: bytes) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(module, "put", full)
    found, faults = develop(wanted, tmp_path / "a", tmp_path / "cache")
    assert found == {}
    assert [each.words for each in faults] == ["the web pictures could not be stored (No space left on device)"]


KILLED = """
import os, signal, sys
from pathlib import Path
from buildlog.site.pictures import Wanted, develop
left = int(sys.argv[2])
def dying(real):
    def step(*arguments):
        global left
        left -= 1
        if left == 0:
            os.kill(os.getpid(), signal.SIGKILL)
        return real(*arguments)
    return step
for name in ("write_bytes", "replace", "hardlink_to"):
    setattr(Path, name, dying(getattr(Path, name)))
folder = Path(sys.argv[1])
wanted = [Wanted(path, "photos/" + path.name) for path in sorted((folder / "photos").iterdir())]
develop(wanted, folder / "killed", folder / "cache", threads=1)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="no SIGKILL there")
@pytest.mark.parametrize("moment", [1, 2, 3, 4, 5, 6, 7, 8, 13, 21])
def test_a_killed_run_leaves_nothing_half_made(tmp_path: Path, wanted: list[Wanted], moment: int) -> None:
    expected, _ = develop(wanted, tmp_path / "clean", None)
    root = Path(module.__file__).parents[2]
    ended = subprocess.run(
        [sys.executable, "-c", KILLED, str(tmp_path), str(moment)], cwd=root, check=False, timeout=60
    )
    assert ended.returncode == -signal.SIGKILL
    whole = files(tmp_path / "clean")
    for name, content in files(tmp_path / "cache").items():
        if not Path(name).name.startswith("."):
            assert content == whole[name]
    found, faults = develop(wanted, tmp_path / "killed", tmp_path / "cache")
    assert (found, faults) == (expected, [])
    assert files(tmp_path / "killed") == whole


def test_the_same_file_twice_is_one_picture(tmp_path: Path, wanted: list[Wanted], count: Count) -> None:
    found, _ = develop([wanted[0], wanted[0]], tmp_path / "a", None)
    assert list(found) == ["photos/0.jpg"]
    assert isinstance(found["photos/0.jpg"], Picture)
    assert count.since() == (1, 1)
