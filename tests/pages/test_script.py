"""What the theme's one script does, in a real browser on pages opened from the disk; and that pages do without it."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import expect

from buildlog.publish import publish
from tests.making import entry, write
from tests.whole.browser import browser

pytestmark = [pytest.mark.browser, pytest.mark.whole]


def jpeg(shade: int) -> bytes:
    held = io.BytesIO()
    Image.new("RGB", (1200, 800), (shade, shade, shade)).save(held, "JPEG")
    return held.getvalue()


FILES: dict[str, str | bytes] = {
    "photos/a.jpg": jpeg(40),
    "photos/b.jpg": jpeg(90),
    "photos/c.jpg": jpeg(140),
    "log/2026-01-02-one.md": entry(
        "title: One\ndate: 2026-01-02\nsystem: fuel\nhours: 1:00",
        '![First](../photos/a.jpg "The first")\n\n![Second](../photos/b.jpg) ![Third](../photos/c.jpg "The third")\n',
    ),
    "log/2026-02-03-two.md": entry("title: Two\ndate: 2026-02-03\nsystem: [engine, fuel]"),
    "log/2026-03-04-three.md": entry("title: Three\ndate: 2026-03-04\nsystem: engine"),
}


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("script")
    done = publish(write(root / "project", FILES), root / "site", root / "cache")
    assert not done.failed, done.problems
    return root / "site"


@pytest.fixture(scope="module")
def chromium() -> Iterator[Any]:
    with browser() as running:
        yield running


def opened(chromium: Any, page: Path, **context: Any) -> Any:
    """A tab on a page, in which any error of a script is a failure of the test."""
    tab = chromium.new_context(**context).new_page()
    tab.errors = []
    tab.on("pageerror", lambda error: tab.errors.append(str(error)))
    tab.goto(page.as_uri())
    return tab


def shows(tab: Any, *titles: str) -> bool:
    """Waits until exactly these rows of the log are shown; a script that never shows them fails the test."""
    shown = "[...document.querySelectorAll('.row')].filter(row => row.checkVisibility())"
    told = f"{shown}.map(row => row.querySelector('h3').textContent).join()"
    tab.wait_for_function(f"{told} === '{','.join(titles)}'", timeout=10_000)
    return True


def test_photos_turn_by_keys_and_the_focus_comes_back(site: Path, chromium: Any) -> None:
    tab = opened(chromium, site / "log/2026-01-02-one.html")
    tab.locator("a.enlarge").nth(1).focus()
    tab.keyboard.press("Enter")
    count, words = tab.locator(".bench .turns span"), tab.locator(".bench figcaption")
    expect(count).to_have_text("2 of 3")
    expect(words).to_have_text("Second")
    tab.keyboard.press("ArrowRight")
    expect(count).to_have_text("3 of 3")
    expect(words).to_have_text("The third")
    tab.keyboard.press("ArrowRight")
    expect(count).to_have_text("1 of 3")
    expect(words).to_have_text("The first")
    tab.keyboard.press("ArrowLeft")
    tab.wait_for_function("document.querySelector('.bench img').naturalWidth === 1200")
    tab.keyboard.press("Escape")
    expect(tab.locator("dialog")).to_be_hidden()
    tab.wait_for_function("[...document.querySelectorAll('a.enlarge')].indexOf(document.activeElement) === 2")
    assert not tab.errors


def test_a_swipe_turns_and_a_button_closes(site: Path, chromium: Any) -> None:
    tab = opened(chromium, site / "log/2026-01-02-one.html", viewport={"width": 400, "height": 700})
    tab.locator("a.enlarge").first.click()
    for begin, end, expected in ((300, 100, "2 of 3"), (100, 300, "1 of 3"), (200, 190, "1 of 3")):
        tab.mouse.move(begin, 300)
        tab.mouse.down()
        tab.mouse.move(end, 310)
        tab.mouse.up()
        expect(tab.locator(".bench .turns span")).to_have_text(expected)
    tab.get_by_role("button", name="Close").click()
    expect(tab.locator("dialog")).to_be_hidden()
    assert not tab.errors


def test_without_the_script_a_photo_is_a_link_to_its_large_copy(site: Path, chromium: Any) -> None:
    tab = opened(chromium, site / "log/2026-01-02-one.html", java_script_enabled=False)
    tab.locator("a.enlarge").first.click()
    assert tab.url.endswith(".jpg")


def test_the_filter_keeps_its_system_in_the_address(site: Path, chromium: Any) -> None:
    tab = opened(chromium, site / "log.html")
    assert shows(tab, "Three", "Two", "One")
    tab.locator("[data-key=fuel]").click()
    assert tab.url.endswith("log.html#system=fuel")
    assert shows(tab, "Two", "One")
    assert tab.locator("section.month:visible").count() == 2
    assert tab.locator("#sifted").inner_text() == "2 entries here; the sheet of Fuel"
    tab.reload()
    assert shows(tab, "Two", "One")
    tab.locator("[data-key=engine]").click()
    assert shows(tab, "Three", "Two")
    tab.go_back()
    assert shows(tab, "Two", "One")
    tab.locator("[data-key='']").click()
    assert shows(tab, "Three", "Two", "One")
    assert not tab.locator("#sifted").is_visible()
    assert not tab.errors


def test_without_the_script_the_filter_leads_to_the_systems_sheets(site: Path, chromium: Any) -> None:
    tab = opened(chromium, site / "log.html", java_script_enabled=False)
    assert not tab.locator("[data-key='']").is_visible()
    assert not tab.locator("#lamp").is_visible()
    tab.locator("[data-key=fuel]").click()
    assert tab.url.endswith("systems/fuel.html")


def test_the_lamp_is_kept_for_the_next_page(site: Path, chromium: Any) -> None:
    tab = opened(chromium, site / "index.html", color_scheme="light")
    paper = "getComputedStyle(document.documentElement).backgroundColor"
    light = tab.evaluate(paper)
    tab.locator("#lamp").click()
    dark = tab.evaluate(paper)
    assert light != dark
    tab.goto((site / "log.html").as_uri())
    assert tab.evaluate(paper) == dark
    assert tab.locator("#lamp").get_attribute("aria-pressed") == "true"
    tab.locator("#lamp").click()
    assert tab.evaluate(paper) == light
    assert not tab.errors


@pytest.mark.parametrize("scripts", [True, False])
def test_the_menu_opens_on_a_phone_with_and_without_the_script(site: Path, chromium: Any, *, scripts: bool) -> None:
    tab = opened(chromium, site / "log.html", viewport={"width": 360, "height": 740}, java_script_enabled=scripts)
    menu = tab.locator("#menu")
    assert not menu.is_visible()
    tab.get_by_role("button", name="Menu").click()
    assert menu.is_visible()
    for link in menu.locator("a").all():
        assert link.bounding_box()["height"] >= 44
    menu.get_by_role("link", name="Systems").click()
    assert tab.url.endswith("systems.html")


def test_the_words_of_a_page_are_not_underlined_by_the_mouse_over_them(site: Path, chromium: Any) -> None:
    for page in ("weight.html", "log.html", "index.html"):
        tab = opened(chromium, site / page)
        tab.mouse.move(300, 300)
        assert tab.evaluate("document.querySelectorAll(':hover').length") > 1
        assert tab.evaluate("getComputedStyle(document.body).textDecorationLine") == "none", page


def test_an_address_that_means_nothing_breaks_nothing(site: Path, chromium: Any) -> None:
    for end in ("#%E0%A4%A", "#system=%E0%A4%A", "#system=nothing-here", "#nowhere"):
        tab = opened(chromium, site / "log.html")
        tab.goto((site / "log.html").as_uri() + end)
        assert not tab.errors, end
