"""The preview as a builder uses it: the command in a process of its own, its pages in a real browser."""

from __future__ import annotations

import contextlib
import http.client
import os
import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from buildlog.basics.problems import Problem
from buildlog.cli import main
from buildlog.cli_preview import outcome_of
from buildlog.preview.board import Board
from buildlog.preview.outcome import Outcome, Progress
from buildlog.preview.session import previewing, server_at
from buildlog.publish import Published
from buildlog.site.faults import Fault
from buildlog.site.folder import Delivered
from tests.making import entry, read, write
from tests.whole.browser import browser
from tests.whole.conftest import ROOT

pytestmark = [pytest.mark.whole]
PATIENCE = 60_000
LONG = "\n\n".join(f"Paragraph {number} of what was done that day." for number in range(80))
ONE = "log/2026-01-01-one.md"
PANEL = "document.getElementById('buildlog-preview').shadowRoot.querySelector('.told')"


def files() -> dict[str, str | bytes]:
    return {
        ONE: entry("title: One\ndate: 2026-01-01\nsystem: wings\nhours: {owner: 2:30}", f"{LONG}\n"),
        "log/2026-01-02-two.md": entry("title: Two\ndate: 2026-01-02\nsystem: wings"),
    }


@dataclass
class Preview:
    """A running command and its project."""

    root: Path
    process: subprocess.Popen[str]
    url: str

    def line(self) -> str:
        """The next line it prints."""
        assert self.process.stdout is not None
        return self.process.stdout.readline()

    def save(self, name: str, old: str, new: str) -> str:
        """A save as editors make it, by renaming; the line that tells of it."""
        path = self.root / name
        text = path.read_text("utf-8")
        assert old in text
        beside = path.with_name(f"{path.name}~")
        beside.write_text(text.replace(old, new), "utf-8")
        beside.replace(path)
        return self.line()


@contextlib.contextmanager
def running(root: Path, *words: str) -> Iterator[Preview]:
    env = os.environ | {"XDG_CACHE_HOME": str(root.parent / "cache"), "PYTHONPATH": str(ROOT)}
    order = [sys.executable, "-m", "buildlog", "preview", "--project", str(root), "--port", "0", *words]
    with subprocess.Popen(order, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, env=env) as process:
        try:
            assert process.stdout is not None
            first = process.stdout.readline()
            found = re.search(r"http://127\.0\.0\.1:\d+/", first)
            assert found, first + process.stdout.read()
            yield Preview(root, process, found[0])
        finally:
            process.send_signal(signal.SIGINT)
            try:
                rest, _ = process.communicate(timeout=60)
            except subprocess.TimeoutExpired:
                process.kill()
                raise
            assert rest.endswith("The preview has ended.\n") and process.returncode == 0, rest


@pytest.fixture
def shown(tmp_path: Path) -> Iterator[Preview]:
    with running(write(tmp_path / "project", files())) as preview:
        assert re.fullmatch(r"\d+ files of the site changed \(\d+\.\d\d s\)\n", preview.line())
        yield preview


@contextlib.contextmanager
def a_tab(url: str) -> Iterator[Any]:
    with browser() as chromium:
        context: Any = chromium.new_context(viewport={"width": 900, "height": 600})  # type: ignore[attr-defined]
        tab = context.new_page()
        wrong: list[str] = []
        tab.on("pageerror", lambda error: wrong.append(str(error)))
        tab.set_default_timeout(PATIENCE)
        tab.goto(url)
        yield tab
        assert not wrong


def holds(tab: Any, words: str) -> None:
    tab.wait_for_function(f"document.body.innerText.includes({words!r})")


@pytest.mark.browser
def test_a_save_is_seen_at_the_same_place_without_loading_the_page_again(shown: Preview) -> None:
    with a_tab(f"{shown.url}log/2026-01-01-one.html") as tab:
        tab.evaluate("window.mine = 1; scrollTo({top: 900, behavior: 'instant'})")
        assert ONE in shown.save(ONE, "Paragraph 20 of", "Now saved: paragraph 20 of")
        holds(tab, "Now saved: paragraph 20 of")
        shown.save(ONE, "Paragraph 21 of what", "More **words**.\n\n- in\n- a list\n\nParagraph 21 of what")
        holds(tab, "a list")
        shown.save(ONE, "2:30", "4:45")
        holds(tab, "4:45")
        assert tab.evaluate("[window.mine, Math.round(scrollY) > 800]") == [1, True]
        assert tab.locator("#main ul li").count() >= 2


@pytest.mark.browser
def test_where_the_page_must_be_loaded_again_it_stands_where_it_stood(shown: Preview) -> None:
    facts = "title: One\n"
    with a_tab(f"{shown.url}log/2026-01-01-one.html") as tab:
        tab.evaluate("window.mine = 1; scrollTo({top: 700, behavior: 'instant'})")
        page = f"{shown.url}log/2026-01-01-one.html"
        (shown.root / "themes/hangar/assets").mkdir(parents=True)
        shown.line()  # an empty folder changes nothing
        look = (ROOT / "themes/hangar/assets/hangar.css").read_text("utf-8")
        (shown.root / "themes/hangar/assets/hangar.css").write_text(f"{look}\nh1 {{ letter-spacing: 7px }}\n", "utf-8")
        tab.wait_for_function("getComputedStyle(document.querySelector('h1')).letterSpacing === '7px'")
        tab.wait_for_function("Math.round(scrollY) === 700")
        assert tab.evaluate("window.mine || 0") == 0 and tab.url == page
        assert facts in (shown.root / ONE).read_text("utf-8")


@pytest.mark.browser
def test_an_error_is_told_over_the_last_good_page_and_goes_when_it_is_repaired(shown: Preview) -> None:
    with a_tab(f"{shown.url}log/2026-01-01-one.html") as tab:
        said = shown.save(ONE, "hours: {owner: 2:30}", "hours: {owner: 2:75}\nsummary: <i>New</i>")
        assert f"{ONE}: 1 error; the last good site stays" in said
        tab.wait_for_function(f"{PANEL}.classList.contains('error')")
        told = tab.evaluate(f"{PANEL}.innerText")
        for words in (
            "1 error",
            "The page is the last good one.",
            f"{ONE}:5:16",
            "'2:75' is not a time worked",
            "write",
        ):
            assert words in told, told
        assert tab.evaluate(
            "document.getElementById('buildlog-preview').shadowRoot.querySelector('[role=alert]').innerText"
        )
        assert "Paragraph 20 of" in tab.evaluate("document.body.innerText")
        tab.reload()
        assert "is not a time worked" in tab.evaluate(f"{PANEL}.innerText")
        fold = "document.getElementById('buildlog-preview').shadowRoot.querySelector('details')"
        tab.evaluate(f"{fold}.firstElementChild.focus()")
        tab.keyboard.press("Enter")
        tab.wait_for_function(f"!{fold}.open")
        shown.save(ONE, "2:75", "2:45")
        tab.wait_for_function(f"!{PANEL}")
        holds(tab, "2:45")


@pytest.mark.browser
def test_only_the_page_that_changed_is_renewed_and_one_that_went_says_where_to_go_on(shown: Preview) -> None:
    with a_tab(f"{shown.url}log/2026-01-01-one.html") as tab:
        tab.evaluate("window.mine = 1")
        shown.save("log/2026-01-02-two.md", "Words.", "Other words.")
        (shown.root / ONE).rename(shown.root / "log/2026-01-01-renamed.md")
        tab.wait_for_function("document.title === 'This page is gone'")
        assert tab.locator("a[href='/log/2026-01-01-renamed.html']").count() == 1
        tab.locator("a[href='/log/2026-01-01-renamed.html']").click()
        holds(tab, "Paragraph 20 of")


@pytest.mark.browser
def test_a_project_that_was_never_good_has_its_problems_on_a_page_and_then_the_site(tmp_path: Path) -> None:
    root = write(tmp_path / "project", files() | {"project.yaml": "title: [\n"})
    with running(root) as preview:
        assert "the last good site stays" in preview.line()
        with a_tab(preview.url) as tab:
            holds(tab, "There is no page to show yet")
            assert "project.yaml" in tab.evaluate(f"{PANEL}.innerText")
            (root / "project.yaml").unlink()
            preview.line()
            write(root, {})
            holds(tab, "A test aircraft")


def held(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()
    }


def test_after_many_builds_in_one_process_the_site_is_that_of_a_clean_one(shown: Preview, tmp_path: Path) -> None:
    shown.save(ONE, "system: wings", "system: fuel\ncosts: [{item: Hose, cost: 12.50 USD}]")
    assert "1 error" in shown.save(ONE, "12.50 USD", "12.50 zz")
    shown.save(ONE, "12.50 zz", "13.50 USD")
    shown.save("log/2026-01-02-two.md", "title: Two", "title: Second")
    clean = CliRunner(env={"XDG_CACHE_HOME": str(tmp_path / "other")}).invoke(
        main, ["publish", "--project", str(shown.root), "--to", str(tmp_path / "clean")]
    )
    assert clean.exit_code == 0, clean.output
    served = next((tmp_path / "cache").rglob("preview/public"))
    assert held(served) == held(tmp_path / "clean")


def test_what_keeps_a_file_from_being_delivered_is_an_error_on_the_page(tmp_path: Path) -> None:
    made = Delivered(("index.html",), faults=(Fault("log/x.html", "the disk is full", "make room"),))
    outcome = outcome_of(Published(read(tmp_path, {}), (), made))
    assert not outcome.good and outcome.written == ("index.html",)
    assert [(problem.message, problem.remedy) for problem in outcome.problems] == [("the disk is full", "make room")]


def test_neither_the_folder_nor_the_published_site_is_touched(tmp_path: Path) -> None:
    root = write(tmp_path / "project", files() | {"site/.buildlog-site": "", "site/index.html": "mine"})
    before = {path: path.stat().st_mtime_ns for path in sorted(root.rglob("*"))}
    with running(root, "--audience", "builder") as preview:
        assert "files of the site changed" in preview.line()
        ended = CliRunner(env={"XDG_CACHE_HOME": str(tmp_path / "cache")}).invoke(
            main, ["preview", "--project", str(root), "--audience", "builder"]
        )
        assert ended.exit_code == 2 and "previewed already" in ended.output
    assert {path: path.stat().st_mtime_ns for path in sorted(root.rglob("*"))} == before


def test_the_command_answers_to_no_other_name(shown: Preview) -> None:
    port = int(shown.url.rstrip("/").rpartition(":")[2])
    for host, status in ((f"127.0.0.1:{port}", 200), ("evil.example", 403), (f"evil.example:{port}", 403)):
        with contextlib.closing(http.client.HTTPConnection("127.0.0.1", port, timeout=60)) as line:
            line.request("GET", "/", headers={"Host": host})
            with line.getresponse() as answer:
                assert answer.status == status
                answer.read()


def test_a_folder_without_a_project_and_a_taken_port_are_wrong_use(tmp_path: Path, shown: Preview) -> None:
    port = shown.url.rstrip("/").rpartition(":")[2]
    nowhere = CliRunner().invoke(main, ["preview", "--project", str(tmp_path / "none")])
    assert nowhere.exit_code == 2 and "buildlog start" in nowhere.output
    env = {"XDG_CACHE_HOME": str(tmp_path / "other")}
    taken = CliRunner(env=env).invoke(main, ["preview", "--project", str(shown.root), "--port", port])
    assert taken.exit_code == 2 and "cannot be used" in taken.output and "--port NUMBER" in taken.output


def test_the_session_builds_on_a_save_and_leaves_no_thread(tmp_path: Path) -> None:
    import threading

    told: list[Outcome] = []
    heard = threading.Semaphore(0)

    def build(progress: Progress, _: object) -> Outcome:
        progress(0, 1)
        return Outcome(tuple[Problem, ...]())

    def tell(names: tuple[str, ...], outcome: Outcome, seconds: float) -> None:
        assert names or seconds >= 0
        told.append(outcome)
        heard.release()

    before = set(threading.enumerate())
    with previewing(tmp_path, server_at(0, tmp_path / "site", Board()), build, tell, polling=True):
        assert heard.acquire(timeout=60)
        (tmp_path / "x.md").write_text("x")
        assert heard.acquire(timeout=60)
    assert len(told) == 2
    assert set(threading.enumerate()) <= before
