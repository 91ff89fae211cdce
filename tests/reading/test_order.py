"""The same reading whatever order the disk lists its files in, and whatever Python hashes by."""

from __future__ import annotations

import os
import random
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from buildlog.basics.problems import as_text
from buildlog.reading import folder
from buildlog.reading.read import Reading, read_logbook
from tests.casefile import scenes
from tests.reading.laying import lay

CASES = Path(__file__).parents[1] / "cases"
SCENES = [scene for path in sorted(CASES.glob("*.md")) for scene in scenes(path) if len(scene.files) > 2]
SAME_DAY = {
    f"log/{sub}/2026-07-04-{name}.md": f"---\ntitle: {name}\ndate: 2026-07-04\n{facts}---\n{name}\n"
    for sub, name, facts in (
        ("b", "one", ""),
        ("a", "two", "time: 14:30\n"),
        ("a", "one-more", ""),
        ("c", "three", "time: 9:15\n"),
        ("c", "four", "findings: [{key: F-1, found: x, standing: cosmetic}]\n"),
        ("a", "five", "findings: [{key: f-1, found: x, standing: cosmetic}]\n"),
    )
}


def everything(reading: Reading) -> str:
    """All that a reading holds, in an order of its own where it has none."""
    book = reading.logbook
    parts = [
        book.project,
        book.entries,
        list(book.components.items()),
        book.history,
        book.loading,
        book.plan,
        book.directives,
        book.checks,
        book.decisions,
        book.pages,
        book.ledger,
        sorted(book.files),
    ]
    prose = [entry.prose.source for entry in book.entries]
    return "\n".join([*map(repr, parts), *prose, *(as_text(problem, reading.lines) for problem in reading.problems)])


class Shuffled:
    """os, but that its folders are listed in another order each time."""

    def __init__(self, seed: int) -> None:
        self.random = random.Random(seed)

    def __getattr__(self, name: str) -> object:
        return getattr(os, name)

    def scandir(self, path: Path) -> Iterator[os.DirEntry[str]]:
        listing = list(os.scandir(path))
        self.random.shuffle(listing)
        return iter(listing)


@pytest.mark.parametrize("scene", SCENES, ids=lambda scene: scene.heading)
def test_the_order_of_the_disk_makes_no_difference(
    scene: object, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    scene.lay_out(tmp_path)  # type: ignore[attr-defined]
    lay(tmp_path, SAME_DAY)
    plain = everything(read_logbook(tmp_path))
    for seed in range(4):
        monkeypatch.setattr(folder, "os", Shuffled(seed))
        assert everything(read_logbook(tmp_path)) == plain


def test_the_order_within_a_day(tmp_path: Path) -> None:
    """By time of day; those without one by the names of their files, after the others."""
    entries = read_logbook(lay(tmp_path, SAME_DAY)).logbook.entries
    assert [entry.facts.title for entry in entries] == ["three", "two", "five", "four", "one", "one-more"]


def test_the_seed_of_hashes_makes_no_difference(tmp_path: Path) -> None:
    for path in sorted(CASES.glob("references.md")):
        scenes(path)[1].lay_out(tmp_path)
    lay(tmp_path, SAME_DAY)
    script = (
        "import sys; from pathlib import Path; from buildlog.reading.read import read_logbook;"
        " from tests.reading.test_order import everything; print(everything(read_logbook(Path(sys.argv[1]))))"
    )
    told = {
        subprocess.run(
            [sys.executable, "-c", script, str(tmp_path)],
            capture_output=True,
            text=True,
            check=True,
            cwd=Path(__file__).parents[2],
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": "."},
        ).stdout
        for seed in ("0", "1", "77")
    }
    assert len(told) == 1
    assert "no-such-component" in told.pop()
