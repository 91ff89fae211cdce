"""Builds one after the other: a burst gives one more, a fault ends nothing, a half-written file is waited for."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from buildlog.basics.problems import Place, Problem
from buildlog.preview.board import Board
from buildlog.preview.outcome import Outcome, Progress
from buildlog.preview.rounds import Rounds

PATIENCE = 20
BROKEN = Outcome((Problem(Place("log/x.md", 3), "no-unit", "no unit"),), made=False)


class Stage:
    """A build that waits to be let go, and what was told of it."""

    def __init__(self, root: Path, outcomes: Callable[[int], Outcome] = lambda _: Outcome()) -> None:
        self.begun, self.go = threading.Semaphore(0), threading.Semaphore(0)
        self.told: list[tuple[tuple[str, ...], Outcome]] = []
        self.builds = 0
        self.outcomes = outcomes
        self.telling = threading.Semaphore(0)
        self.board = Board()
        self.rounds = Rounds(root, self.build, self.board, self.tell)

    def build(self, progress: Progress, between: Callable[[], None]) -> Outcome:
        between()
        self.builds += 1
        self.begun.release()
        assert self.go.acquire(timeout=PATIENCE)
        progress(1, 2)
        return self.outcomes(self.builds)

    def tell(self, names: tuple[str, ...], outcome: Outcome, seconds: float) -> None:
        assert seconds >= 0
        self.told.append((names, outcome))
        self.telling.release()

    def step(self) -> None:
        assert self.begun.acquire(timeout=PATIENCE)
        self.go.release()

    def heard(self) -> tuple[tuple[str, ...], Outcome]:
        assert self.telling.acquire(timeout=PATIENCE)
        return self.told[-1]


@contextmanager
def running(stage: Stage) -> Iterator[Stage]:
    thread = threading.Thread(target=stage.rounds.run, daemon=True)
    thread.start()
    try:
        yield stage
    finally:
        stage.rounds.stop()
        stage.go.release()
        thread.join(PATIENCE)
        assert not thread.is_alive()


def test_a_burst_of_saves_during_a_build_gives_exactly_one_more(tmp_path: Path) -> None:
    with running(Stage(tmp_path)) as stage:
        assert stage.begun.acquire(timeout=PATIENCE)
        for number in range(50):
            stage.rounds.changed([f"log/{number:02}.md"])
        stage.go.release()
        assert stage.heard()[0] == ()
        stage.step()
        assert stage.heard()[0] == tuple(f"log/{number:02}.md" for number in range(50))
        assert not stage.begun.acquire(timeout=0.2)
        assert stage.builds == 2


def test_the_echo_of_a_save_builds_nothing(tmp_path: Path) -> None:
    (tmp_path / "x.md").write_text("one")
    with running(Stage(tmp_path)) as stage:
        stage.step()
        stage.heard()
        for _ in range(3):
            stage.rounds.changed(["x.md"])
        stage.step()
        stage.heard()
        stage.rounds.changed(["x.md"])
        assert not stage.begun.acquire(timeout=0.2)
        (tmp_path / "x.md").write_text("another")
        stage.rounds.changed(["x.md"])
        stage.step()
        assert stage.heard()[0] == ("x.md",)
        assert stage.builds == 3


def test_a_fault_of_the_program_is_told_and_the_next_save_builds_again(tmp_path: Path) -> None:
    def outcomes(build: int) -> Outcome:
        if build == 1:
            raise KeyError("wing\nspar")
        return Outcome(written=("index.html",))

    with running(Stage(tmp_path, outcomes)) as stage:
        stage.step()
        assert stage.heard()[1].failure == "KeyError: 'wing\\nspar'"
        failed = stage.board.state().outcome
        assert failed is not None and not failed.good
        stage.rounds.changed(["x.md"])
        stage.step()
        assert stage.heard()[1].good
        now = stage.board.state()
        assert now.outcome == Outcome(written=("index.html",)) and now.changed == ("index.html",) and not now.working


def test_trouble_with_a_half_written_file_is_left_to_the_next_build_but_only_once(tmp_path: Path) -> None:
    with running(Stage(tmp_path, lambda _: BROKEN)) as stage:
        assert stage.begun.acquire(timeout=PATIENCE)
        stage.rounds.changed(["a.md"])
        stage.go.release()
        assert stage.begun.acquire(timeout=PATIENCE)  # the second began, and the first said nothing
        assert stage.told == [] and stage.board.state().outcome is None
        stage.rounds.changed(["b.md"])
        stage.go.release()
        assert stage.heard()[1] == BROKEN
        stage.step()
        assert stage.heard()[1] == BROKEN


def test_the_end_breaks_a_build_off_and_tells_nothing_of_it(tmp_path: Path) -> None:
    with running(Stage(tmp_path)) as stage:
        assert stage.begun.acquire(timeout=PATIENCE)
        stage.rounds.stop()
    assert stage.told == []


def test_the_board_knows_what_changed_since_a_page_was_served_and_what_came_in_place_of_what_went() -> None:
    board = Board()
    board.tell(Outcome(written=("index.html", "log/a.html")))
    served = board.state().number
    board.begin()
    board.tell(Outcome(written=("log/b.html", "index.html"), removed=("log/a.html",)))
    assert board.state(served).changed == ("index.html", "log/a.html", "log/b.html")
    assert board.state(board.state().number).changed == ()
    assert board.heirs("log/a.html") == ("log/b.html",)
    assert board.heirs("log/never.html") is None
    assert board.wait(board.state().number, 0.01) is None


def test_the_page_that_is_looked_at_is_made_first_and_another_save_cuts_the_rest_short(tmp_path: Path) -> None:
    stage = Stage(tmp_path)
    seen: list[tuple[str, int]] = []
    third = threading.Event()

    def glimpse(name: str) -> bool:
        seen.append((name, stage.builds))
        return True

    def build(_: Progress, between: Callable[[], None]) -> Outcome:
        between()
        stage.builds += 1
        stage.begun.release()
        assert stage.go.acquire(timeout=PATIENCE)
        between()
        third.set()
        return Outcome()

    stage.rounds = Rounds(tmp_path, build, stage.board, stage.tell, glimpse)
    with running(stage), stage.board.looking("log/a.html"):
        stage.step()
        assert stage.heard()[0] == () and not seen
        before = stage.board.state().number
        stage.rounds.changed(["log/a.md"])
        assert stage.begun.acquire(timeout=PATIENCE)
        assert seen == [("log/a.html", 1)]
        assert stage.board.state(before).changed == ("log/a.html",)
        third.clear()
        stage.rounds.changed(["log/b.md"])
        stage.go.release()
        assert stage.begun.acquire(timeout=PATIENCE)
        assert not third.is_set(), "the build that was under way went on"
        stage.go.release()
        assert stage.heard()[0] == ("log/a.md", "log/b.md")


def test_what_cannot_be_glimpsed_is_left_to_the_build(tmp_path: Path) -> None:
    stage = Stage(tmp_path)

    def glimpse(_: str) -> bool:
        raise ValueError("no")

    stage.rounds = Rounds(tmp_path, stage.build, stage.board, stage.tell, glimpse)
    with running(stage), stage.board.looking("log/a.html"):
        stage.step()
        stage.heard()
        stage.rounds.changed(["log/a.md"])
        stage.step()
        assert stage.heard()[0] == ("log/a.md",)
