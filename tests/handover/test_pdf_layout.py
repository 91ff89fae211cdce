"""Nothing on paper stands over an edge or over something else, no heading alone, no photo stretched: by the page's own operators.

The demo is looked at as it is, and a project of long words, wide tables and photos of odd shapes.
"""

from __future__ import annotations

import io
import unicodedata
from collections.abc import Iterator
from itertools import pairwise

import pikepdf
import pytest
from PIL import Image
from pypdf import PdfReader

from tests.handover.inked import Ink, inks, pictures
from tests.handover.printed import Printed, made, plain, squeezed
from tests.making import entry, write

MM = 72 / 25.4
LEFT, RIGHT, BOTTOM = 25 * MM, 20 * MM, 25 * MM
SPACE = 3.0
"""Points that a space at the end of a line may hang out."""
WORD = "Verstellpropellersteuerungsgehaeuseabdeckungsbefestigungsschraubensicherungsblechsatz"
NUMBER = "MS24693-C272-REV-B/ALT-00417-XJ-7781-0002-MOD3-LEFT-INBOARD-UPPER-FWD-LOT-20240117"
CODE = "BRKN0001234567890ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789AB"
ADDRESS = (
    "https://dunlin.example/archive/handbooks/structures/wing/left/rib-07/trailing-edge?view=all&page=117#figure-22"
)
NAMES = ("Ελληνική Προμηθευτική", "Авиаремонтные мастерские", "Příliš žluťoučký kůň", "Công ty Đồng Nai")
SIZES = {"wide.jpg": (4000, 600), "tall.jpg": (600, 3000), "tiny.jpg": (60, 40), "plain.jpg": (1200, 900)}
TYPE = "Halloran-Weatherby-Featherstonehaugh Dunlin Mark IV Special Long-Range Amphibian Development Prototype"
PROJECT = f"""\
title: A test of long words
aircraft: {{type: {TYPE}, mark: N0417D, serial: "{CODE}"}}
people: {{owner: {{name: {NAMES[0]}, role: owner}}, mechanic: {{name: {WORD}, role: mechanic}}}}
locale: en-US
package: {{leave_out: [requirements]}}
"""
FACTS = f"""\
title: "{{title}}"
date: {{day}}
system: [fuel, engine, gear]
hours: {{{{owner: 3:15, mechanic: 1:00}}}}
parts:
  - {{{{item: {WORD}, cost: 98765432.55 USD, supplier: {WORD}, part_no: {NUMBER}, serial: {CODE}, weight: none}}}}
  - {{{{item: Hose, cost: 12.50 USD, supplier: "{NAMES[1]}", part_no: {CODE}, weight: none}}}}
weight:
  - {{{{installed: {WORD}, weight: 3.1 lb, basis: weighed, arm: 10.0 in}}}}
  - {{{{installed: Clamp, weight: 0.1 lb, basis: weighed, arm: 10.0 in}}}}
components: [{{{{installed: pump, because: {WORD}, by: "{NAMES[2]}"}}}}]
measured: [{{{{what: {WORD}, value: 34 lb, limits: 30 to 40 lb}}}}]
photos:
  - {{{{file: photos/wide.jpg, caption: "A caption with {WORD}"}}}}
  - {{{{file: photos/tall.jpg, caption: "{NAMES[3]}"}}}}
  - {{{{file: photos/tiny.jpg}}}}
"""
TEXT = "\n\n".join(
    (
        f"Read <{ADDRESS}> and {WORD}, `{NUMBER}`.[^1]",
        '![A plain one](../photos/plain.jpg "A plain one")',
        "|"
        + "|".join(f"Column {n}" for n in range(12))
        + "|\n"
        + "|---" * 12
        + "|\n"
        + f"|{WORD}|1234567.89" * 6
        + "|",
        f"- one\n  - {WORD}\n\n> {NUMBER}",
        f"```\n{WORD * 2}\n```",
        f"[^1]: {WORD}",
    )
)


@pytest.fixture(scope="module")
def hard(tmp_path_factory: pytest.TempPathFactory) -> Printed:
    """A small project with everything that is too long, too wide or too tall."""
    folder = tmp_path_factory.mktemp("hard")
    titles = (f"Entry with {WORD}", "A day " + "of many words " * 14, *NAMES)
    files: dict[str, str | bytes] = {
        f"log/2026-03-{day:02}-x.md": entry(FACTS.format(title=title, day=f"2026-03-{day:02}").strip(), TEXT + "\n")
        for day, title in enumerate(titles, 1)
    }
    for name, size in SIZES.items():
        out = io.BytesIO()
        Image.new("RGB", size, "teal").save(out, "JPEG")
        files[f"photos/{name}"] = out.getvalue()
    files["project.yaml"] = PROJECT
    files["components.yaml"] = (
        f"pump: {{name: {WORD}, system: fuel, part_no: {NUMBER}, serial: {CODE}, note: {WORD}}}\n"
    )
    return made("buyer", folder, "letter", write(folder / "project", files))


@pytest.fixture(params=["buyer", "inspector", "hard"])
def printed(request: pytest.FixtureRequest) -> Printed:
    found: Printed = request.getfixturevalue(request.param)
    return found


def pages(content: bytes) -> Iterator[tuple[int, pikepdf.Page, list[Ink]]]:
    with pikepdf.open(io.BytesIO(content)) as pdf:
        for number, page in enumerate(pdf.pages, 1):
            yield number, page, list(inks(page))


def over(one: Ink, two: Ink) -> bool:
    return abs(one.y - two.y) < 1 and one.left < two.right - SPACE and two.left < one.right - SPACE


def test_nothing_stands_over_an_edge_or_over_other_words(printed: Printed) -> None:
    for content in (printed.record, printed.sheets):
        found, seen = [], 0
        for number, page, marks in pages(content):
            edge = float(page.mediabox[2]) - RIGHT + SPACE
            found += [(number, mark) for mark in marks if mark.left < LEFT - 1 or mark.right > edge]
            lines: dict[int, list[Ink]] = {}
            for mark in marks:
                lines.setdefault(round(mark.y), []).append(mark)
            for line in lines.values():
                line.sort(key=lambda mark: mark.left)
                found += [(number, two) for one, two in pairwise(line) if over(one, two)]
            seen += len(marks)
        assert seen > 500
        assert found == []


def test_no_heading_is_the_last_thing_on_a_page(printed: Printed) -> None:
    for content in (printed.record, printed.sheets):
        for number, _, marks in pages(content):
            body = [mark for mark in marks if mark.y > BOTTOM + 2]
            last = min(body, key=lambda mark: mark.y, default=None)
            heads = number > 3 and last is not None and last.size > 9.1 and "SemiBold" in last.font
            assert not heads, f"page {number}: {last}"


def test_no_page_is_empty(printed: Printed) -> None:
    for number, _, marks in pages(printed.record):
        assert any(mark.y > BOTTOM + 2 for mark in marks), number


def test_photos_keep_their_shape_and_stay_on_the_page(printed: Printed) -> None:
    shapes = set()
    for _, page, _ in pages(printed.record):
        for width, height, across, down in pictures(page):
            assert width / height == pytest.approx(across / down, rel=0.02)
            assert width <= float(page.mediabox[2]) - LEFT - RIGHT + 1
            assert height <= float(page.mediabox[3]) - 2 * BOTTOM
            shapes.add(round(across / down, 1))
    assert shapes


def test_long_words_are_read_back_whole(hard: Printed) -> None:
    """What lets a word break leaves no sign in the text that is searched and copied."""
    assert squeezed(NAMES[3]) in unicodedata.normalize("NFC", hard.text())
    for content in (hard.record, hard.sheets):
        text = plain(content)
        # Vietnamese is set of letters and marks in the face of the sheets, with the right text beside them (ActualText),
        # which pypdf does not read.
        for words in (WORD, squeezed(NUMBER), CODE, *map(squeezed, NAMES[:3])):
            assert words in text
    assert squeezed(ADDRESS) in hard.text()
    for page in PdfReader(io.BytesIO(hard.record)).pages:
        assert "\u200b" not in page.extract_text()
    with hard.pdf().open_outline() as outline:
        titles = [item.title for part in outline.root for one in part.children for item in (one, *one.children)]
    assert f"Entry with {WORD}" in titles
