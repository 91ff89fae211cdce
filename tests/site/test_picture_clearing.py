"""The picture cache does not grow for ever, and nobody loses what is in use."""

import json
import os
import threading
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image

from buildlog.site import shelf
from buildlog.site.alone import alone
from buildlog.site.pictures import Picture, Wanted, develop
from buildlog.site.prints import prints

DAY_NS = 86_400_000_000_000
SEED = 1_600_000_000_000_000_000


class Calendar:
    """The clock of the cache's file system, set by hand; files written get the day it shows."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, cache: Path) -> None:
        self.day, self.cache = 20_000, cache
        self.dated: set[str] = set()
        monkeypatch.setattr(shelf, "_tick", lambda _: self.day * DAY_NS)

    def date(self) -> None:
        """Gives the files that came into the cache the calendar's day."""
        for path in (self.cache / "photos").iterdir():
            if path.name not in self.dated:
                os.utime(path, ns=(self.day * DAY_NS, self.day * DAY_NS))
                self.dated.add(path.name)


@pytest.fixture
def cache(tmp_path: Path) -> Path:
    return tmp_path / "cache"


@pytest.fixture
def calendar(monkeypatch: pytest.MonkeyPatch, cache: Path) -> Calendar:
    return Calendar(monkeypatch, cache)


@pytest.fixture
def wanted(tmp_path: Path) -> list[Wanted]:
    folder = tmp_path / "photos"
    folder.mkdir()
    for number in range(3):
        path = folder / f"{number}.jpg"
        Image.new("RGB", (900, 600 + number), (number * 80, 90, 90)).save(path)
        os.utime(path, ns=(SEED, SEED))
    return [Wanted(path, f"photos/{path.name}") for path in sorted(folder.iterdir())]


Run = Callable[..., dict[str, Picture]]


@pytest.fixture
def run(cache: Path, calendar: Calendar) -> Run:
    def once(wanted: list[Wanted], after: int = 0, kind: str = "jpeg") -> dict[str, Picture]:
        calendar.day += after
        found, faults = develop(wanted, cache, cache, kind=kind)
        assert faults == []
        calendar.date()
        return found

    return once


def names(cache: Path) -> set[str]:
    return {f"photos/{path.name}" for path in (cache / "photos").iterdir()}


def copies(found: dict[str, Picture]) -> set[str]:
    return {size.name for picture in found.values() for size in picture.sizes}


def test_what_no_run_wants_for_90_days_goes(cache: Path, wanted: list[Wanted], run: Run) -> None:
    all_three, index = run(wanted), cache / "index.json"
    for _ in range(9):
        run(wanted[:2], 10)
        assert names(cache) == copies(all_three)
    two = run(wanted[:2], 10)
    assert names(cache) == copies(two)
    assert len(json.loads(index.read_text())["pictures"]) == 2
    assert sorted(json.loads(index.read_text())["files"]) == [str(want.source) for want in wanted[:2]]
    assert copies(run(wanted)) == copies(all_three) == names(cache)


def test_a_project_left_for_years_finds_its_pictures(cache: Path, wanted: list[Wanted], run: Run) -> None:
    first = run(wanted)
    before = {path: path.stat().st_mtime_ns for path in (cache / "photos").iterdir()}
    assert run(wanted, 1000) == first
    assert {path: path.stat().st_mtime_ns for path in (cache / "photos").iterdir()} == before


def test_a_format_that_was_left_goes_and_the_new_one_stays(cache: Path, wanted: list[Wanted], run: Run) -> None:
    jpeg, webp = run(wanted), run(wanted, 1, "webp")
    assert names(cache) == copies(jpeg) | copies(webp)
    for _ in range(10):
        run(wanted, 10, "webp")
    assert names(cache) == copies(webp)


def test_print_copies_stay_as_long_as_what_they_were_made_of(
    cache: Path, wanted: list[Wanted], run: Run, calendar: Calendar
) -> None:
    found = run(wanted)
    printed = {f"photos/{copy.path.name}" for copy in prints(found, cache).values()}
    calendar.date()
    assert len(printed - copies(found)) == 3
    for _ in range(11):
        run(wanted[:1], 10)
    kept = {f"photos/{copy.path.name}" for copy in prints(run(wanted[:1]), cache).values()}
    assert kept < printed
    assert names(cache) == copies(run(wanted[:1])) | kept


def test_what_a_killed_run_left_goes_in_time(cache: Path, wanted: list[Wanted], run: Run, calendar: Calendar) -> None:
    found = run(wanted)
    for name in ("0123456789abcdef-1600.jpg", ".0123456789abcdef-480.jpg.77-1"):
        (cache / "photos" / name).write_bytes(b"left")
    calendar.date()
    run(wanted, 60)
    assert len(names(cache)) == len(copies(found)) + 2
    run(wanted, 40)
    assert names(cache) == copies(found)


def test_a_run_without_news_writes_the_index_once_a_week(cache: Path, wanted: list[Wanted], run: Run) -> None:
    run(wanted)
    index, written = cache / "index.json", []
    for _ in range(14):
        before = index.stat().st_ino
        run(wanted, 1)
        written.append(index.stat().st_ino != before)
    assert written == ([False] * 6 + [True]) * 2


def test_what_another_run_is_about_to_use_is_not_taken_away(
    cache: Path, wanted: list[Wanted], run: Run, calendar: Calendar, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The first run wants only one and is long at it; a second, meanwhile, wants the old ones; a third clears out."""
    all_three = run(wanted)
    calendar.day += 100
    new = wanted[0].source.with_name("new.jpg")
    Image.new("RGB", (900, 610)).save(new)
    os.utime(new, ns=(SEED, SEED))
    met: list[dict[str, Picture]] = []

    def meanwhile(_done: int, _todo: int) -> None:
        met.append(develop(wanted, cache, cache)[0])
        met.append(develop(wanted[:1], cache, cache)[0])

    monkeypatch.setattr(shelf.Shelf, "_clear_out", lambda *_: None)  # the first run came before it was due
    found, faults = develop([Wanted(new, "photos/new.jpg")], cache, cache, meanwhile)
    monkeypatch.undo()
    monkeypatch.setattr(shelf, "_tick", lambda _: calendar.day * DAY_NS)
    assert faults == []
    assert met[0] == all_three
    develop(wanted[:1], cache, cache)
    calendar.day += 7
    develop(wanted[:1], cache, cache)
    assert names(cache) >= copies(all_three) | copies(found)


def test_runs_take_turns_at_the_index(cache: Path, wanted: list[Wanted], run: Run) -> None:
    run(wanted)
    held, let_go = threading.Event(), threading.Event()

    def hold() -> None:
        with alone(cache / ".turn") as mine:
            assert mine
            held.set()
            assert let_go.wait(20)

    holder = threading.Thread(target=hold)
    holder.start()
    assert held.wait(20)
    done: list[object] = []
    other = threading.Thread(target=lambda: done.append(develop(wanted, cache, cache)))
    other.start()
    other.join(0.4)
    assert done == []
    let_go.set()
    other.join(20)
    holder.join(20)
    assert len(done) == 1


def test_a_run_that_stays_too_long_stops_nobody(
    cache: Path, wanted: list[Wanted], run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = run(wanted)
    monkeypatch.setattr(shelf, "_TRIES", 2)
    with alone(cache / ".turn") as mine:
        assert mine
        found, faults = develop(wanted, cache, cache)
    assert (found, faults) == (first, [])


def test_two_runs_at_once_keep_each_others_work(cache: Path, wanted: list[Wanted]) -> None:
    """What a run notes while another is at work is in the index when both have ended."""
    both: list[object] = []

    def meanwhile(_done: int, _todo: int) -> None:
        both.append(develop(wanted[1:], cache, cache))

    develop(wanted[:1], cache, cache, meanwhile)
    index = json.loads((cache / "index.json").read_text())
    assert len(index["pictures"]) == 3
    assert len(index["files"]) == 3
