"""How long publishing takes, each figure a ratio to a floor measured in the same run; run from the project's folder.

    .venv/bin/python benchmarks/publishing.py [--large]

- cold: a whole publication of entries without photos, in a process of its own, against the bare libraries on the same
  text, also in a process of its own: YAML composed, a pydantic model filled, Markdown rendered, a plain template
  rendered, the page written.
- again: the same publication with nothing changed, with a line more in one entry, and with other hours in it, against the
  cold one; the photos (many, small) are in the cache by then, and the cold text build is one without photos.
- growth: time per entry, and the largest memory, from size to size. Memory is that of the process and of the copy it works
  with, what they share counted once (Pss of Linux, looked at five times a second).
- help: ``buildlog --help`` against the bare interpreter's start.

Without --large the sizes are a fifth of what they are with it. The least of several alternating runs counts.
"""

from __future__ import annotations

import contextlib
import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from making import make

ROUNDS = 3
LONG_AGO = 1_700_000_000
ENVIRONMENT = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
EVERY_SECONDS = 0.2
BARE = """
import sys
from datetime import date
from decimal import Decimal
from pathlib import Path
import jinja2, yaml
from markdown_it import MarkdownIt
from mdit_py_plugins.footnote import footnote_plugin
from mdit_py_plugins.tasklists import tasklists_plugin
from pydantic import BaseModel
class Cost(BaseModel):
    item: str
    cost: str
    supplier: str
class Change(BaseModel):
    installed: str
    weight: str
    arm: str
class Photo(BaseModel):
    file: str
    alt: str
class Entry(BaseModel):
    title: str
    date: date
    system: list[str]
    hours: dict[str, str]
    costs: list[Cost]
    summary: str
    weight: list[Change]
    photos: list[Photo] = []
def plain(node):
    if isinstance(node, yaml.ScalarNode):
        return node.value
    if isinstance(node, yaml.SequenceNode):
        return [plain(one) for one in node.value]
    return {key.value: plain(value) for key, value in node.value}
pages = jinja2.Environment(autoescape=True, loader=jinja2.DictLoader({
    "base": "<!doctype html><html><head><title>{% block title %}{% endblock %}</title></head><body>{% block main %}{% endblock %}</body></html>",
    "macros": "{% macro row(a, b) %}<tr><td>{{ a }}</td><td>{{ b }}</td></tr>{% endmacro %}{% macro fact(a, b) %}<dl><dt>{{ a }}</dt><dd>{{ b }}</dd></dl>{% endmacro %}",
    "entry": "{% extends 'base' %}{% from 'macros' import row, fact %}{% block title %}{{ e.title }}{% endblock %}{% block main %}<h1>{{ e.title }}</h1>{{ fact('Day', e.date) }}{% for c in e.costs %}{{ row(c.item, c.cost) }}{% endfor %}{% for c in e.weight %}{{ row(c.installed, c.weight) }}{% endfor %}{% for p in e.photos %}<figure><img src='{{ p.file }}' alt='{{ p.alt }}'></figure>{% endfor %}{{ text }}{% endblock %}",
})).get_template("entry")
markdown = MarkdownIt("commonmark").enable(["table", "strikethrough"]).use(footnote_plugin).use(tasklists_plugin)
out = Path(sys.argv[2])
out.mkdir(parents=True, exist_ok=True)
from markupsafe import Markup
for path in sorted((Path(sys.argv[1]) / "log").iterdir()):
    _, front, body = path.read_text("utf-8").split("---\\n", 2)
    entry = Entry.model_validate(plain(yaml.compose(front, Loader=yaml.CSafeLoader)))
    (out / f"{path.stem}.html").write_text(pages.render(e=entry, text=Markup(markdown.render(body))), "utf-8")
"""


def timed(order: list[str]) -> float:
    """The seconds a process takes; it must do well."""
    start = time.perf_counter()
    subprocess.run(order, check=True, env=ENVIRONMENT, capture_output=True, text=True)
    return time.perf_counter() - start


def watched(order: list[str]) -> tuple[float, int]:
    """The seconds a process takes, and the most memory in MB that it and its copies hold."""
    start, peak = time.perf_counter(), 0
    with subprocess.Popen(order, env=ENVIRONMENT, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE) as process:
        while process.poll() is None:
            peak = max(peak, held(process.pid))
            with contextlib.suppress(subprocess.TimeoutExpired):
                process.wait(EVERY_SECONDS)
        seconds = time.perf_counter() - start
        if process.returncode:
            raise SystemExit(f"{order}: {process.stderr.read().decode() if process.stderr else ''}")
    return seconds, peak // 1024


def held(process: int) -> int:
    """The memory in KB of a process and of those it started, what they share counted once; 0 where nobody tells."""
    try:
        lines = Path(f"/proc/{process}/smaps_rollup").read_text("ascii").splitlines()
        others = Path(f"/proc/{process}/task/{process}/children").read_text("ascii").split()
    except OSError:
        return 0
    own = next((int(line.split()[1]) for line in lines if line.startswith("Pss:")), 0)
    return own + sum(held(int(other)) for other in others)


def least(*runs: Callable[[], float]) -> list[float]:
    """The least of several alternating runs, of each."""
    return [min(times) for times in zip(*([run() for run in runs] for _ in range(ROUNDS)), strict=True)]


class Bench:
    """One made-up project and its sites."""

    def __init__(self, here: Path, entries: int, photos: int = 0) -> None:
        self.here = here / f"{entries}-{photos}"
        self.project = self.here / "project"
        shutil.rmtree(self.here, ignore_errors=True)
        make(self.project, entries, photos, size=(320, 240))
        for path in self.project.rglob("*"):
            os.utime(path, (LONG_AGO, LONG_AGO))

    def publish(self, *, memory: bool = False) -> tuple[float, int]:
        """Seconds and, if asked for, the peak in MB of a publication, with whatever is there already."""
        words = ["publish", "--project", str(self.project), "--to", str(self.here / "site")]
        order = [sys.executable, "-m", "buildlog", *words]
        return watched(order) if memory else (timed(order), 0)

    def cold(self, *, memory: bool = False) -> tuple[float, int]:
        """A publication with nothing there."""
        shutil.rmtree(self.here / "site", ignore_errors=True)
        shutil.rmtree(Path(ENVIRONMENT["XDG_CACHE_HOME"]), ignore_errors=True)
        return self.publish(memory=memory)

    def bare(self) -> float:
        """The libraries alone."""
        shutil.rmtree(self.here / "bare", ignore_errors=True)
        return timed([sys.executable, "-c", BARE, str(self.project), str(self.here / "bare")])

    def edited(self, change: Callable[[str], str]) -> float:
        """A publication after one entry was edited."""
        entries = sorted((self.project / "log").iterdir())
        path = entries[len(entries) // 2]
        path.write_text(change(path.read_text("utf-8")), "utf-8")
        return self.publish()[0]


def with_a_line(text: str) -> str:
    """An entry with one line more at its end."""
    return text + "\nOne more line.\n"


def with_hours(text: str) -> str:
    """An entry that took an hour more."""
    return re.sub(r"owner: (\d+)", lambda found: f"owner: {int(found[1]) + 1}", text, count=1)


def told(what: str, value: float, floor: float, wanted: str, more: str = "") -> None:
    """One line of the table."""
    print(f"{what:44} {value:8.2f}   {floor:8.2f}   {value / floor:7.3f}   {wanted:8} {more}", flush=True)


def main() -> None:
    """One table."""
    large = "--large" in sys.argv
    few, many, photos = (1000, 5000, 20000) if large else (200, 1000, 4000)
    sizes = (500, 1000, 2000, 5000, 10000) if large else (100, 200, 400, 1000, 2000)
    print(f"{'':44} {'measured':>8}   {'floor':>8}   {'ratio':>7}   {'wanted':8}")
    with tempfile.TemporaryDirectory() as folder:
        here = Path(folder)
        ENVIRONMENT["XDG_CACHE_HOME"] = str(here / "cache")
        bare_start = [sys.executable, "-c", "pass"]
        ours = [str(Path(sys.executable).with_name("buildlog")), "--help"]
        click = [sys.executable, "-c", "import click"]
        help_, alone, start = least(*((lambda order=order: timed(order)) for order in (ours, click, bare_start)))
        told("buildlog --help, to the bare interpreter", help_, start, "4.5")
        told("the command library alone, to the same", alone, start, "")
        bench = Bench(here, few)
        cold, bare = least(lambda: bench.cold()[0], bench.bare)
        told(f"cold, {few} entries, to the bare libraries", cold, bare, "1.5")
        text, _ = Bench(here, many).cold()
        bench = Bench(here, many, photos)
        _, peak = bench.cold(memory=True)
        again = min(bench.publish()[0] for _ in range(ROUNDS))
        worded, timed_ = (min(bench.edited(how) for _ in range(ROUNDS)) for how in (with_a_line, with_hours))
        what = f"{many} entries and {photos} photos"
        told(f"again, {what}, to cold text", again, text, "0.05", f"peak {peak} MB")
        told("one entry edited, the same: a line more", worded, text, "0.10")
        told("one entry edited, the same: an hour more", timed_, text, "0.10")
        first = 0.0
        for size in sizes:
            seconds, peak = Bench(here, size).cold(memory=True)
            first = seconds / size if size == sizes[1] or not first else first
            told(f"growth, {size} entries, ms an entry", seconds / size * 1000, first * 1000, "1.2", f"peak {peak} MB")


if __name__ == "__main__":
    main()
