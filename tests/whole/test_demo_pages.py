"""Every page of the demo in a real browser, opened from the disk: no console error, no dead link, no sideways scroll."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import feedparser  # type: ignore[import-untyped]
import pytest

from tests.whole.browser import browser
from tests.whole.links import dead_links, pages, read

pytestmark = [pytest.mark.whole]


def test_no_link_is_dead_and_all_lead_within_the_folder(demo_site: Path) -> None:
    assert len(pages(demo_site)) > 60
    assert dead_links(demo_site, "https://dunlin.example/") == []


def test_no_link_of_a_long_project_is_dead(long_site: Path) -> None:
    assert {"weight-2020.html", "hours-2021.html", "cost-2022.html", "log-2021.html"} <= {
        page.name for page in long_site.iterdir()
    }
    assert dead_links(long_site, "no address") == []


def test_headings_begin_with_one_and_leave_no_gap_and_pictures_have_words(demo_site: Path) -> None:
    for page in pages(demo_site):
        links = read(page)
        assert links.heads.count(1) == 1, page
        assert links.heads[0] == 1, page
        assert all(b - a <= 1 for a, b in zip(links.heads, links.heads[1:], strict=False)), (page, links.heads)
        assert not links.images_without_alt, page


@pytest.mark.browser
def test_every_page_opens_from_the_disk_without_error_or_sideways_scroll(demo_site: Path) -> None:
    with browser() as chromium:
        context: Any = chromium.new_context(viewport={"width": 360, "height": 800})  # type: ignore[attr-defined]
        wrong: list[str] = []
        tab = context.new_page()
        tab.on(
            "console", lambda message: wrong.append(f"{tab.url}: {message.text}") if message.type == "error" else None
        )
        tab.on("pageerror", lambda error: wrong.append(f"{tab.url}: {error}"))
        tab.on(
            "requestfailed",
            lambda request: (
                None
                if request.failure == "net::ERR_ABORTED"  # left before it was needed
                else wrong.append(f"{tab.url}: {request.url} failed")
            ),
        )
        for page in pages(demo_site):
            if page.name == "404.html":
                continue
            tab.goto(page.as_uri())
            wide = tab.evaluate("document.documentElement.scrollWidth")
            if wide > 360:
                wrong.append(f"{page.name} is {wide} px wide on a screen of 360")
            fonts = tab.evaluate(
                "document.fonts.ready.then(() => [...document.fonts].filter(f => f.status == 'error').length)"
            )
            if fonts:
                wrong.append(f"{page.name}: a font did not load")
        assert not wrong, "\n".join(wrong)


def test_the_feed_is_a_feed(demo_site: Path) -> None:
    feed = feedparser.parse((demo_site / "feed.xml").read_bytes())
    assert not feed.bozo
    assert 20 < len(feed.entries) <= 30
    assert len({item.id for item in feed.entries}) == len(feed.entries)
    for item in feed.entries:
        assert item.link.startswith("https://dunlin.example/log/")
        assert (demo_site / item.link.removeprefix("https://dunlin.example/")).exists()


def test_the_public_site_says_nothing_it_may_not(demo_site: Path) -> None:
    """Names, suppliers, serials and papers of the demo, searched in every byte that is published."""
    forbidden = [
        b"Arden",
        b"Thorne",
        b"Ellery",
        b"0417001",
        b"4411-B",
        b"M-20318",
        b"2207",
        b"Tarn Valley",
        b"Kestrel Moor",
        b"Fennel &amp; Rook",
        b"Fennel & Rook",
        b"Brackenfield",
        b"receipt_",
        b"surviving_papers",
        b"IMG_",
    ]
    for path in sorted(demo_site.rglob("*")):
        if path.is_file() and path.suffix != ".woff2":
            held = path.read_bytes()
            for word in forbidden:
                assert word not in held, f"{path.relative_to(demo_site)} holds {word!r}"
            assert not any(word.decode().lower() in path.name.lower() for word in forbidden)
    assert not (demo_site / "documents").exists()


def test_no_page_claims_what_no_program_may(demo_site: Path) -> None:
    for page in pages(demo_site):
        text = page.read_text("utf-8").lower()
        for word in ("compliant", "approved for", "is airworthy"):
            assert word not in text, (page.name, word)
