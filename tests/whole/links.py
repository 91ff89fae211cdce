"""Where the links of a published site lead: each to a file that is there, and to an anchor that is in it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urldefrag


class Links(HTMLParser):
    """What a page points to, and the anchors it has."""

    def __init__(self) -> None:
        super().__init__()
        self.targets: list[str] = []
        self.anchors: set[str] = set()
        self.heads: list[int] = []
        self.images_without_alt = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        held = {name: value or "" for name, value in attrs}
        self.targets += [held[name] for name in ("href", "src") if name in held and tag != "base"]
        self.targets += [part.split()[0] for part in held.get("srcset", "").split(",") if part.strip()]
        self.anchors |= {held["id"]} if "id" in held else set()
        self.images_without_alt += tag == "img" and "alt" not in held
        self.heads += [int(tag[1])] if re.fullmatch("h[1-6]", tag) else []


def read(page: Path) -> Links:
    links = Links()
    links.feed(page.read_text("utf-8"))
    return links


def pages(site: Path) -> list[Path]:
    return sorted(site.rglob("*.html"))


def dead_links(site: Path, address: str) -> list[str]:
    """What leads nowhere, out of the folder, or to another site than its own address."""
    site = site.resolve()
    found = {page.resolve(): read(page) for page in pages(site)}
    return [
        f"{page.relative_to(site)}: {target} {wrong}"
        for page, links in found.items()
        if page.name != "404.html"  # its links start at the site's address, wherever it is shown
        for target in links.targets
        for wrong in _wrong(target, page, site, found, address)
    ]


def _wrong(target: str, page: Path, site: Path, found: dict[Path, Links], address: str) -> Iterator[str]:
    path, anchor = urldefrag(target)
    if re.match(r"(https?|mailto):", target):
        if not target.startswith((address, "mailto:")):
            yield "is another site"
        return
    if path.startswith("/"):
        yield "is not relative"
        return
    there = (page.parent / unquote(path)).resolve() if path else page
    if not there.is_relative_to(site):
        yield "leads out of the folder"
    elif not there.exists():
        yield "is not there"
    elif anchor and there.suffix == ".html" and unquote(anchor) not in found[there].anchors:
        yield "has no such anchor"
