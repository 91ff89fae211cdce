"""The theme's promises, read from its files: contrast, one red pencil, no handlers in the markup, its licences."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from buildlog.site.theme import built_in

THEME = built_in()
CSS = (THEME / "assets" / "hangar.css").read_text("utf-8")
SHEETS = (THEME / "assets" / "sheets.css").read_text("utf-8")
TEMPLATES = sorted(THEME.glob("*.html"))
PARTS = {"base.html", "menu.html", "foot.html", "macros.html", "photos.html", "ledgers.html", "lines.html"}


def tokens(block: str) -> dict[str, str]:
    return dict(re.findall(r"--(\w+):\s*(#[0-9a-f]{6,8})", block))


def palettes() -> list[dict[str, str]]:
    blocks = re.findall(r":root[^{]*\{([^}]*--paper[^}]*)\}", CSS.split("@media print")[0])
    return [tokens(block) for block in blocks]


def luminance(colour: str) -> float:
    channels = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """As WCAG 2.2 defines it."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def test_the_two_dark_blocks_are_one() -> None:
    light, *dark = palettes()
    assert len(dark) == 2
    assert all(one == other for one, other in pairwise(dark))
    assert set(light) == set(dark[0])


@pytest.mark.parametrize("palette", palettes()[:2], ids=["light", "dark"])
def test_words_stand_out_from_the_paper(palette: dict[str, str]) -> None:
    for ink in ("ink", "soft", "pencil"):
        for paper in ("paper", "lift"):
            assert contrast(palette[ink], palette[paper]) >= 4.5, (ink, paper)


def test_the_red_pencil_is_for_what_is_open() -> None:
    for css in (CSS, SHEETS):
        plain = re.sub(r"/\*.*?\*/", "", css, flags=re.DOTALL)
        rules = re.findall(r"([^{}]+)\{([^{}]*var\(--pencil\)[^{}]*)\}", plain)
        assert all(".open" in selector for selector, _ in rules), rules


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda path: path.name)
def test_templates_keep_scripts_and_styles_out(template: object) -> None:
    text = re.sub(r"\{#.*?#\}", "", template.read_text("utf-8"), flags=re.DOTALL)  # type: ignore[attr-defined]
    assert not re.search(r"<[^>]*\son\w+=", text)
    assert "http://" not in text
    assert "<style" not in text
    name = template.name  # type: ignore[attr-defined]
    assert text.count("<script") == (2 if name == "base.html" else 0)
    assert name in PARTS or text.lstrip().startswith('{% extends "base.html" %}')


def test_every_font_comes_with_its_licence() -> None:
    fonts = {
        path.name.split("-latin")[0].removesuffix("-semi-condensed")
        for path in (THEME / "assets/fonts").glob("*.woff2")
    }
    licences = {path.stem.removeprefix("OFL-") for path in (THEME / "assets/fonts").glob("OFL-*.txt")}
    assert fonts == licences
    for path in (THEME / "assets/fonts").glob("OFL-*.txt"):
        assert "SIL OPEN FONT LICENSE" in path.read_text("utf-8").upper()


def test_every_file_the_style_sheet_asks_for_is_there() -> None:
    for address in re.findall(r"url\(([^)]+)\)", CSS + SHEETS):
        assert (THEME / "assets" / address.strip("\"'")).is_file(), address
