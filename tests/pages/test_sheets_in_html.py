"""The sheets through the theme: well-formed, every table named and in a box, every anchor there.

Nothing stands in them that their audience may not see.
"""

from __future__ import annotations

import posixpath
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

from buildlog.figures.figures import figures
from buildlog.pages.components import component_sheets
from buildlog.pages.cost import cost_sheets
from buildlog.pages.decisions import decision_sheets
from buildlog.pages.findings import finding_sheets
from buildlog.pages.frame import frame_of
from buildlog.pages.hours import hours_sheets
from buildlog.pages.sheet import Addresses
from buildlog.pages.systems import system_sheets
from buildlog.pages.weight import weight_sheets
from buildlog.pages.words import Words
from buildlog.records.audience import seen_by
from buildlog.records.kept_back import NOT_SHOWN
from buildlog.site.render import Renderer
from buildlog.site.theme import theme_of
from tests.making import entry, read
from tests.pages.laying import FILES, rules

MAKERS = (system_sheets, cost_sheets, hours_sheets, weight_sheets, component_sheets, finding_sheets, decision_sheets)
EMPTY = ("meta", "link", "img", "br", "hr", "path", "rect", "circle")


class Page(HTMLParser):
    """What is checked of a page."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.stack: list[str] = []
        self.ids: list[str] = []
        self.links: list[str] = []
        self.heads: list[int] = []
        self.wrong: list[str] = []
        self.rows: list[list[int]] = []
        self.linked: list[str] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        held = {name: value or "" for name, value in attrs}
        self.ids += [held["id"]] if "id" in held else []
        self.heads += [int(tag[1])] if re.fullmatch("h[1-6]", tag) else []
        if tag == "a":
            self.links.append(held.get("href", ""))
            self._must("a" not in self.stack, "a link in a link")
        self._must(tag != "th" or "scope" in held, "a th without scope")
        self._must(tag != "table" or bool(held.get("aria-label")), "a table without a name")
        self._must(tag != "table" or "div" in self.stack, "a table that cannot scroll")
        self._must(tag not in {"div", "p", "table", "ul", "section"} or "p" not in self.stack, f"{tag} in p")
        if tag == "table":
            self.rows.append([])
        if tag == "tr":
            self.rows[-1].append(0)
        if tag in {"td", "th"}:
            self.rows[-1][-1] += int(held.get("colspan", "1"))
        if tag not in EMPTY:
            self.stack.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag not in EMPTY:
            self._must(self.stack and self.stack.pop() == tag, f"{tag} is closed out of turn")

    def handle_data(self, data: str) -> None:
        if "a" in self.stack:
            self.linked.append(data)

    def _must(self, holds: object, what: str) -> None:
        if not holds:
            self.wrong.append(f"{self.getpos()}: {what}")


def pages(root: Path, audience: str, files: dict[str, str | bytes] = FILES) -> dict[str, str]:
    book = seen_by(read(root, files).logbook, audience)
    worked, _ = figures(book)
    words, at = Words(book), Addresses(book)
    theme = theme_of(root, "hangar")
    assert theme is not None
    renderer = Renderer(theme.environment(), frame_of(worked), {}, lambda file: at.file(file) or None)
    made: dict[str, str] = {}
    for make in MAKERS:
        for sheet in make(worked, words, at):
            page, fault = renderer.html(sheet)
            assert fault is None, fault
            made[sheet.path] = page.content.decode()
    return made


@pytest.mark.parametrize("audience", ["public", "inspector", "buyer", "builder"])
def test_every_page_is_well_formed_and_every_anchor_is_there(tmp_path: Path, audience: str) -> None:
    made = {path: Page(html) for path, html in pages(tmp_path, audience).items()}
    assert len(made) > 15
    for path, page in made.items():
        assert not page.wrong, (path, page.wrong)
        assert not page.stack, (path, page.stack)
        assert len(page.ids) == len(set(page.ids)), path
        assert page.heads[0] == 1, path
        assert page.heads.count(1) == 1, path
        assert all(b - a <= 1 for a, b in zip(page.heads, page.heads[1:], strict=False)), (path, page.heads)
        assert all(len(set(rows)) <= 1 for rows in page.rows), (path, page.rows)
        for target in page.links:
            name, _, anchor = target.partition("#")
            there = made.get(posixpath.normpath(posixpath.join(posixpath.dirname(path), name)) if name else path)
            assert not (anchor and there) or anchor in there.ids, (path, target)


def test_an_entry_not_shown_is_never_a_link(tmp_path: Path) -> None:
    made = pages(tmp_path, "public")
    assert sum(NOT_SHOWN in html for html in made.values()) >= 3
    for path, html in made.items():
        assert not any(NOT_SHOWN in words for words in Page(html).linked), path
        assert "private" not in html, path
        assert "Secret box" not in html, path


def test_the_inspector_meets_no_money(tmp_path: Path) -> None:
    for path, html in pages(tmp_path, "inspector").items():
        assert path != "cost.html"
        assert "USD" not in html, path
        assert "cost.html" not in html, path


def test_no_hours_are_met_where_they_may_not_be_seen(tmp_path: Path) -> None:
    made = pages(tmp_path, "public", rules("costs: full, hours: no"))
    assert "hours.html" not in made
    for path, html in made.items():
        assert "hours.html" not in html, path
        assert not re.search(r"\d:\d\d", html), path


def test_no_page_says_what_no_program_may(tmp_path: Path) -> None:
    for path, html in pages(tmp_path, "builder").items():
        text = re.sub("airworthiness (directive|certificate)", "", html.lower())  # what the papers are called
        for word in ("airworthy", "airworthiness", "compliant", "approved"):
            assert word not in text, (path, word)


def test_a_record_of_nothing_makes_pages_that_say_so(tmp_path: Path) -> None:
    made = pages(tmp_path, "builder", {})
    assert set(made) == {
        "systems.html",
        "cost.html",
        "hours.html",
        "weight.html",
        "components.html",
        "findings.html",
        "decisions.html",
    }
    for path, words in {
        "cost.html": "No cost is written yet",
        "hours.html": "No hours are written yet",
        "weight.html": "Not weighed yet",
        "components.html": "No component is written down yet",
        "findings.html": "None is written down yet",
        "decisions.html": "None is written down yet",
    }.items():
        assert words in made[path], path
        assert not Page(made[path]).wrong, path


def test_words_of_a_builder_are_escaped(tmp_path: Path) -> None:
    files: dict[str, str | bytes] = {
        "log/2026-01-01-a.md": entry(
            "title: '<b>&\"'\ndate: 2026-01-01\nsystem: fuel\nhours: 1:00\ncost: 5 USD\n"
            "weight: [{installed: '<i>x', weight: 1 lb, arm: 1 in}]\n"
            "findings: [{key: F, found: '<u>y', standing: cosmetic}]"
        )
    }
    for path, html in pages(tmp_path, "builder", files).items():
        assert not re.search(r"<[biu]>[&xy]", html), path
