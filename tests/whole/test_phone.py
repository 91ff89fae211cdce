"""On a phone: what is looked up stands line under line, the menu leaves the head free, a figure keeps its unit."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from buildlog.cli import main
from tests.making import PROJECT, entry, write
from tests.whole.browser import browser

pytestmark = [pytest.mark.whole, pytest.mark.browser]

LOOKED_UP = (
    ("records", ".grid, .shown, .lined"),
    ("directives", ".considered"),
    ("due", ".falls"),
    ("components", ".register"),
    ("components/battery-2", ".lined"),
    ("systems/cabin", ".lined"),
    ("cost", ".lined"),
    ("log/2026-07-08-back-on-the-shelf", ".lined"),
)
SHORTER = {"How it is known": "Known by", "Who or what says so": "Source", "How the weight is known": "Known by"}
SHORTER |= {"Why, and with what": "Why", "What became of it": "Now"}
"""Names of columns that are shorter where each stands before its line."""


def test_what_is_looked_up_is_read_without_scrolling_sideways(demo_site: Path) -> None:
    with browser() as chromium:
        tab: Any = chromium.new_page()  # type: ignore[attr-defined]
        for page, tables in LOOKED_UP:
            tab.goto((demo_site / f"{page}.html").as_uri())
            for wide in (360, 390):
                tab.set_viewport_size({"width": wide, "height": 800})
                hidden = tab.evaluate(
                    f"[...document.querySelectorAll('.scroll:has({tables})')].map(box => box.scrollWidth - box.clientWidth)"
                )
                assert hidden and not any(hidden), (page, wide, hidden)
                named = tab.locator("td[data-of]:not(.none)")
                heads = tab.evaluate("[...document.querySelectorAll('thead th')].map(head => head.textContent)")
                names = {SHORTER.get(head, head) for head in heads}
                for cell in named.all()[:12]:
                    assert cell.is_visible()
                    assert cell.get_attribute("data-of") in names, page


def test_every_line_of_the_register_says_what_it_is(demo_site: Path) -> None:
    with browser() as chromium:
        tab: Any = chromium.new_page(viewport={"width": 360, "height": 800})  # type: ignore[attr-defined]
        tab.goto((demo_site / "components.html").as_uri())
        rows = tab.locator(".register tbody tr:not(.group)")
        assert rows.count() == 42
        assert tab.evaluate(
            "[...document.querySelectorAll('.register tbody tr:not(.group)')].every(row => {"
            "const [name, state] = row.children, a = name.getBoundingClientRect(), b = state.getBoundingClientRect();"
            "return a.top === b.top && a.right <= b.left + 1})"
        )
        assert not tab.locator(".register td:not(.none):not(:nth-child(2)):not([data-of])").count()


@pytest.mark.parametrize(
    "title", ["Short", "Bringing back an aircraft", "All that was done to it in nineteen years, day by day"]
)
def test_the_open_menu_leaves_the_head_free(title: str, tmp_path: Path) -> None:
    files: dict[str, str | bytes] = {
        "project.yaml": PROJECT.replace("title: A test aircraft", f"title: {title}").replace(", mark: N0000T", ""),
        "log/2026-07-04-x.md": entry("title: x\ndate: 2026-07-04\nhours: 0:30"),
    }
    result = CliRunner().invoke(
        main, ["publish", "--project", str(write(tmp_path / "p", files)), "--to", str(tmp_path / "s")]
    )
    assert result.exit_code == 0, result.output
    with browser() as chromium:
        for wide in (320, 360, 700, 1200):
            tab: Any = chromium.new_page(viewport={"width": wide, "height": 800})  # type: ignore[attr-defined]
            tab.goto((tmp_path / "s" / "hours.html").as_uri())
            tab.click(".contents")
            head, menu = (tab.locator(name).bounding_box() for name in (".head .name", "#menu"))
            assert head["y"] + head["height"] <= menu["y"], (title, wide)
            assert menu["y"] < 100, (title, wide)
            tab.close()


def test_a_figure_and_its_unit_stand_on_one_line(demo_site: Path) -> None:
    """Of a unit with a tolerance the tolerance may go under it."""
    beside = (
        "[...document.querySelectorAll('.strip b')].filter(one => one.querySelector('small')).map(one => {"
        "const range = document.createRange(); range.selectNodeContents(one.firstChild);"
        "const unit = one.querySelector('small').getClientRects()[0], figure = range.getClientRects()[0];"
        "return [one.textContent, unit.left >= figure.right - 1 && unit.top < figure.bottom]})"
    )
    with browser() as chromium:
        tab: Any = chromium.new_page(viewport={"width": 360, "height": 800})  # type: ignore[attr-defined]
        for page in ("index", "weight", "balance", "hours", "cost"):
            tab.goto((demo_site / f"{page}.html").as_uri())
            found = tab.evaluate(beside)
            assert found and all(there for _, there in found), (page, found)
