"""From a save to the words on the screen: the preview of a large project against one whose build is next to nothing.

    .venv/bin/python benchmarks/preview.py [--entries 1000] [--rounds 9]

A made-up project (seeded) is shown by ``buildlog preview`` in a real Chromium with an entry open; its text is saved
again and again. The floor is the same server, watch and page, with a build that only rewrites that one page; it is
measured three times, so that one sees where its time goes: with the watch as the library sets it and the page loaded
again, with our watch and the page loaded again, and as it is, with the words put into the open page. The stretches:

    noticed   from the save to the beginning of the build: the watch
    built     the build
    shown     from its end to the first frame with the words in it: the event, the page, the painting

Speed is never tested: compare the ratios of one run.
"""

from __future__ import annotations

import argparse
import contextlib
import os
import shutil
import signal
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from making import make

from buildlog.preview import session, watching
from buildlog.preview.board import Board
from buildlog.preview.outcome import Outcome, Progress
from tests.whole.browser import FLAGS, browser_path

STRETCHES = ("noticed", "built", "shown", "whole")
FLOORS = {"library's watch, reload": "--library", "our watch, reload": "--reload", "floor": "--floor"}
WATCH_WORDS = """
addEventListener("DOMContentLoaded", function () {
  var last = 0;
  function look() {
    var found = /SAVED-(\\d+)/.exec(document.getElementById("main").textContent), number = found ? Number(found[1]) : 0;
    if (number === last) { return; }
    last = number;
    requestAnimationFrame(function () { requestAnimationFrame(function () {
      window.arrived = { number: number, seen: Date.now() / 1000 };
    }); });
  }
  new MutationObserver(look).observe(document.body, { childList: true, subtree: true, characterData: true });
  look();
});
"""


def trivial(root: Path, site: Path, entry: Path, page: str, also: tuple[str, ...]) -> None:
    """The floor: serves a site made before, with a build that puts the last words of an entry into its page.

    ``also`` is said to have changed as well.
    """
    plain = (site / page).read_text("utf-8")

    def build(progress: Progress, _: Any) -> Outcome:
        progress(0, 1)
        began = time.time()
        last = entry.read_text("utf-8").rstrip().rpartition("\n")[2]
        new = site / f".{entry.stem}"
        new.write_text(plain.replace("</main>", f"<p>{last}</p></main>", 1), "utf-8")
        new.replace(site / page)
        print(f"built {began} {time.time()}", flush=True)
        return Outcome(written=(page, *also))

    end = threading.Event()
    signal.signal(signal.SIGTERM, lambda *_: end.set())
    server = session.server_at(0, site, Board())
    print(f"at {server.url}", flush=True)
    with session.previewing(root, server, build, lambda *_: None):
        end.wait()


def real(root: Path) -> None:
    """The command's own build, which says when it began and ended."""
    from buildlog import cli_preview

    plain = cli_preview.makers

    def timed(*where: Any) -> Any:
        build, glimpse = plain(*where)

        def whole(progress: Progress, between: Any) -> Outcome:
            began = time.time()
            outcome = build(progress, between)
            print(f"whole {began} {time.time()}", flush=True)
            return outcome

        def ahead(name: str) -> bool:
            began = time.time()
            made = glimpse(name)
            print(f"built {began} {time.time()}", flush=True)
            return made

        return whole, ahead

    cli_preview.makers = timed
    cli_preview.preview(["--project", str(root), "--port", "0"])


@contextlib.contextmanager
def running(*words: str, cache: Path) -> Iterator[subprocess.Popen[str]]:
    """This file in a process of its own."""
    env = os.environ | {"XDG_CACHE_HOME": str(cache)}
    order = [sys.executable, __file__, *words]
    with subprocess.Popen(order, stdout=subprocess.PIPE, text=True, env=env) as process:
        try:
            yield process
        finally:
            process.terminate()


def line_with(process: subprocess.Popen[str], *wanted: str) -> list[str]:
    """The words of the next line that holds one of them."""
    for line in process.stdout or ():
        if {*wanted} & {*line.split()}:
            return line.split()
    raise SystemExit("the preview ended before its time")


def measured(
    process: subprocess.Popen[str], tab: Any, url: str, entry: Path, rounds: int, *, whole: bool
) -> dict[str, float]:
    """The medians of each stretch; the first round warms up and is left out.

    ``whole`` says that a build of the whole site follows the page, and that the next save waits for its end.
    """
    plain = entry.read_text("utf-8")
    tab.goto(url)
    found: list[list[float]] = []
    for number in range(1, rounds + 2):
        time.sleep(0.5)
        beside = entry.with_name(f".{entry.name}")
        beside.write_text(f"{plain}\n\nSAVED-{number} and more words.\n", "utf-8")
        saved = time.time()
        beside.replace(entry)
        began, built = map(float, line_with(process, "built")[1:3])
        tab.wait_for_function(f"window.arrived && window.arrived.number === {number}", timeout=120_000, polling=20)
        at = tab.evaluate("window.arrived")
        steps = [saved, began, built, at["seen"]]
        if whole:
            line_with(process, "whole")
        found.append([*(b - a for a, b in pairwise(steps)), at["seen"] - saved])
    entry.write_text(plain, "utf-8")
    line_with(process, "built")
    return dict(zip(STRETCHES, map(statistics.median, zip(*found[1:], strict=True)), strict=True))


def main() -> None:
    """One table."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--entries", type=int, default=1000)
    options.add_argument("--rounds", type=int, default=9)
    asked = options.parse_args()
    from playwright.sync_api import sync_playwright

    with tempfile.TemporaryDirectory() as folder, sync_playwright() as play:
        here = Path(folder)
        root, cache = here / "project", here / "cache"
        make(root, asked.entries)
        entry = sorted((root / "log").iterdir())[asked.entries // 2]
        page = f"log/{entry.stem}.html"
        chromium = play.chromium.launch(executable_path=browser_path(), args=FLAGS)
        table: dict[str, dict[str, float]] = {}

        def measure(name: str, *words: str) -> None:
            with running(*words, cache=cache) as process:
                said = line_with(process, "at")
                line_with(process, "built", "whole")
                tab = chromium.new_page()
                tab.add_init_script(WATCH_WORDS)
                url = next(word for word in said if word.startswith("http"))
                table[name] = measured(process, tab, url + page, entry, asked.rounds, whole=name == "real")
                tab.close()

        measure("real", "--real", str(root))
        shutil.copytree(next(cache.rglob("preview/public")), here / "site")
        for name, word in FLOORS.items():
            measure(name, word, str(root), str(here / "site"), str(entry), page)
        chromium.close()

    print(f"{asked.entries} entries, {asked.rounds} saves, medians in ms; real against each floor:")
    print(f"{'':26}" + "".join(f"{name:>9}" for name in STRETCHES) + f"{'ratio':>8}")
    for name in (*FLOORS, "real"):
        ratio = table["real"]["whole"] / table[name]["whole"]
        print(f"{name:26}" + "".join(f"{table[name][part] * 1000:9.0f}" for part in STRETCHES) + f"{ratio:8.2f}")


if __name__ == "__main__":
    mode, words = sys.argv[1:2], sys.argv[2:]
    if mode == ["--real"]:
        real(Path(words[0]))
    elif mode and mode[0] in FLOORS.values():
        if mode == ["--library"]:
            watching.QUIET_MS, watching.LONGEST_MS = 50, 1600
        reload = () if mode == ["--floor"] else ("look/hangar.css",)
        trivial(Path(words[0]), Path(words[1]), Path(words[2]), words[3], reload)
    else:
        main()
