"""Photos and films as they stand on the pages of a published site: nothing jumps, nothing is missing, nothing tells."""

from __future__ import annotations

import posixpath
import re
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote

import pytest
from PIL import Image

from buildlog.publish import Published, publish
from tests.site.test_films import PLACE, SECRETS, film
from tests.site.test_pictures import bomb

PROJECT = """\
title: A made-up project
aircraft: {type: Made-up type}
address: https://made-up.example/
"""
ENTRY = """\
---
title: The first day
date: 2026-07-04
photos:
  - {file: photos/c.jpg, caption: Unplaced, alt: A third}
  - {file: photos/run.mov, caption: "The engine runs", alt: An engine}
---
Words.

![The first](../photos/a.jpg "A caption")

More words.

![The second](../photos/b.png)
![The film](../photos/other.mp4)
"""


class Page(HTMLParser):
    """The pictures, films and addresses of a page."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str | None]]] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, dict(attrs)))

    def all(self, tag: str) -> list[dict[str, str | None]]:
        return [attributes for name, attributes in self.found if name == tag]


@pytest.fixture
def root(tmp_path: Path) -> Path:
    root = tmp_path / "project"
    for folder in ("log", "photos"):
        (root / folder).mkdir(parents=True)
    (root / "project.yaml").write_text(PROJECT)
    (root / "log/2026-07-04-first.md").write_text(ENTRY)
    for number, name in enumerate(("a.jpg", "b.png", "c.jpg")):
        Image.effect_noise((900 - 250 * number, 380), 40).convert("RGB").save(root / "photos" / name)
    (root / "photos/run.mov").write_bytes(film())
    (root / "photos/other.mp4").write_bytes(film(first=True))
    return root


def published(root: Path, kind: str = "jpeg") -> tuple[Published, Path]:
    (root / "project.yaml").write_text(PROJECT + f"pictures: {{format: {kind}}}\n")
    return publish(root, root.parent / "site", root.parent / "cache"), root.parent / "site"


def pages(site: Path) -> dict[str, Page]:
    return {path.relative_to(site).as_posix(): Page(path.read_text("utf-8")) for path in sorted(site.rglob("*.html"))}


@pytest.mark.parametrize("kind", ["jpeg", "webp", "avif"])
def test_every_picture_has_its_size_and_its_set(root: Path, kind: str) -> None:
    done, site = published(root, kind)
    assert not done.failed
    seen = 0
    for name, page in pages(site).items():
        for image in page.all("img"):
            seen += 1
            assert image["width"] and image["height"] and image["alt"] is not None, name
            shown = [image["src"] or ""] + [one.split()[0] for one in (image.get("srcset") or "").split(", ") if one]
            for address in shown:
                with Image.open(site / posixpath.dirname(name) / unquote(address)) as opened:
                    assert opened.format == kind.upper()
            with Image.open(site / posixpath.dirname(name) / unquote(image["src"] or "")) as opened:
                assert opened.size == (int(image["width"]), int(image["height"]))
            assert ("srcset" in image) == ("sizes" in image)
            assert "srcset" in image or max(opened.size) <= 480
    assert seen >= 6


@pytest.mark.parametrize("kind", ["jpeg", "webp", "avif"])
def test_the_card_of_a_page_is_a_jpeg_of_the_size_it_says(root: Path, kind: str) -> None:
    _, site = published(root, kind)
    text = (site / "log/2026-07-04-first.html").read_text("utf-8")
    card = dict(re.findall(r'<meta property="og:image(:width|:height|)" content="([^"]+)">', text))
    with Image.open(site / card[""].removeprefix("https://made-up.example/")) as opened:
        assert opened.format == "JPEG"
        assert [str(side) for side in opened.size] == [card[":width"], card[":height"]]


def test_only_what_a_reader_meets_first_is_not_left_for_later(root: Path) -> None:
    _, site = published(root)
    first, *others = pages(site)["log/2026-07-04-first.html"].all("img")
    assert "loading" not in first
    assert len(others) == 2
    assert all((image["loading"], image["decoding"]) == ("lazy", "async") for image in others)
    front = pages(site)["index.html"].all("img")
    assert ["loading" in image for image in front] == [False] + [True] * (len(front) - 1)


def test_a_film_plays_where_it_stands_and_opens_from_a_link(root: Path) -> None:
    _, site = published(root)
    for name in ("log/2026-07-04-first.html", "photos.html"):
        page = pages(site)[name]
        films = page.all("video")
        assert len(films) == 2
        links = {link.get("href") for link in page.all("a")}
        for one in films:
            assert {"controls", "playsinline"} <= set(one)
            assert (one["preload"], one["width"], one["height"]) == ("metadata", "640", "360")
            assert one["src"] in links
            made = (site / posixpath.dirname(name) / unquote(one["src"] or "")).read_bytes()
            assert not [secret for secret in (PLACE, *SECRETS) if secret in made]
    text = (site / "log/2026-07-04-first.html").read_text("utf-8")
    assert "The engine runs" in text
    assert "3 photos and 2 films from 1 entry" in (site / "photos.html").read_text("utf-8")


def test_no_file_of_the_site_tells_the_place(root: Path) -> None:
    _, site = published(root)
    assert not [path for path in site.rglob("*") if path.is_file() and PLACE in path.read_bytes()]


def test_a_bomb_is_told_with_the_line_that_names_it(root: Path) -> None:
    (root / "photos/b.png").write_bytes(bomb())
    done, site = published(root)
    assert done.failed
    assert not site.exists()
    (problem,) = [one for one in done.problems if one.name == "cannot-use"]
    assert (problem.place.file, problem.place.line) == ("log/2026-07-04-first.md", 14)
    assert problem.message == "photos/b.png: 20000 x 20000 pixels are more than the 200 million that are opened"
    assert problem.remedy == "save a smaller copy of the picture and name that file instead"


def test_changing_the_format_leaves_no_old_copies_in_the_site(root: Path) -> None:
    for kind, ending in (("jpeg", ".jpg"), ("avif", ".avif"), ("jpeg", ".jpg")):
        _, site = published(root, kind)
        endings = {path.suffix for path in (site / "photos").iterdir()}
        assert endings == {ending, ".mov", ".mp4"} | ({".jpg"} if kind == "avif" else set())
