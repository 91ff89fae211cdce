"""Every page of every site is HTML by the standard, as far as markup.py can tell; and markup.py can tell what is not."""

from __future__ import annotations

from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import pytest
from click.testing import CliRunner
from PIL import Image

from buildlog.cli import main
from tests.making import PROJECT, entry, write
from tests.whole.links import dead_links, pages
from tests.whole.markup import faults

pytestmark = [pytest.mark.whole]

PAGE = (
    "<!doctype html><html lang='en'><head><meta charset='utf-8'><title>A page</title></head>"
    "<body><main><h1>A page</h1>{}</main></body></html>"
)
WRONG = {
    "</span>": "unexpected-end-tag",
    "<p>Fish &amp chips</p>": "named-entity-without-semicolon",
    "<p><b>bold</p></b>": "adoption-agency",
    "<p class='a' class='b'>Words</p>": "duplicate-attribute",
    "<div>Not closed": "end-tag-too-early",
    "<a href='x'>One<a href='y'>two</a></a>": "implies-end-tag",
    "<div />": "trailing-solidus",
    "<p id='a'></p><p id='a'></p>": "id 'a' stands 2 times",
    "<p id='a b'></p>": "is no name",
    "<label for='field'>Words</label>": "for leads to no 'field'",
    "<section aria-labelledby='one two' id='one'></section>": "leads to no 'two'",
    "<button popovertarget='menu'>Menu</button>": "leads to no 'menu'",
    "<a href='x'><button>Press</button></a>": "<button> 'Press' within <a",
    "<button>A <span tabindex='0'>stop</span></button>": "<span> 'stop' within <button>",
    "<span><p>Words</p></span>": "<p> 'Words' within <span>",
    "<ul><p>Words</p></ul>": "straight within <ul>",
    "<dl><p>Words</p></dl>": "straight within <dl>",
    "<h3>Words</h3>": "h3 follows h1",
    "<h1>Words</h1>": "with 2 of the first",
    "<h2> </h2>": "is empty",
    "<img src='a' width='1' height='1'>": "has no alt",
    "<img src='a' alt=''>": "has no width and height",
    "<svg></svg>": "neither hidden nor named",
    "<p><a href='x'> </a></p>": "says nothing",
    "<div aria-label='Words'></div>": "may not be named",
    "<section aria-label=' '></section>": "aria-label is empty",
    "<nav><ul></ul></nav>": "without a name",
    "<input>": "has no label",
    "<main></main>": "not one main",
    "<table><tr><td>A</td></tr><tr><td>B</td><td>C</td></tr></table>": "has rows of [1, 2] cells",
    "<table><tr><td rowspan=2>A</td><td>B</td></tr><tr><td>C</td><td>D</td></tr></table>": "has rows of [2, 3] cells",
    "<table><tr><th>A</th></tr></table>": "has no scope",
}
"""What stands in a page, and a part of what is said of it."""
RIGHT = (
    "<h2 id='a'>Two</h2><p>Fish &amp; <b>chips</b> <a href='?a=1&amp;b=2'><img src='a' alt='A' width='1' height='2'></a></p>"
    "<nav aria-labelledby='a'><ul><li><a href='x' aria-label='Words'></a></li></ul></nav><p hidden><a href='x'></a></p>"
    "<svg role='img' aria-label='A chart'></svg><label for='f'>F</label><input id='f'>"
    "<table><tr><th scope='col' rowspan='2'>A</th><td>B</td></tr><tr><td>C</td></tr><tr><td colspan='2'>D</td></tr></table>"
)


@pytest.mark.parametrize("body", WRONG)
def test_what_is_wrong_is_told(body: str) -> None:
    told = faults(PAGE.format(body).encode())
    assert any(WRONG[body] in words for words in told), told


def test_what_is_right_is_not_complained_of() -> None:
    assert faults(PAGE.format(RIGHT).encode()) == []


@pytest.mark.parametrize(("old", "new"), [(" lang='en'", ""), ("'en'", "'English'"), ("A page</t", "</t")])
def test_a_page_says_its_language_and_its_title(old: str, new: str) -> None:
    assert faults(PAGE.format("").encode()) == []
    assert len(faults(PAGE.format("").replace(old, new).encode())) == 1


def complaints(site: Path, known: set[str]) -> list[str]:
    """What is wrong in a site. A page whose own part is the same as one looked at before is passed over, save the first."""
    wrong = []
    for number, page in enumerate(pages(site)):
        text = page.read_text("utf-8")
        own = text[text.index("<main") : text.index("</main>")]
        if own not in known or not number:
            wrong += [f"{page.relative_to(site)} {words}" for words in faults(text.encode())]
        known.add(own)
    return wrong


def test_every_page_of_the_demo_for_every_audience(demo_site: Path, demo_for: Callable[[str], Path]) -> None:
    known: set[str] = set()
    assert complaints(demo_site, known) == []
    looked_at = len(known)
    assert looked_at > 60
    for audience in ("inspector", "buyer", "builder"):
        assert complaints(demo_for(audience), known) == [], audience
    assert len(known) > looked_at
    assert dead_links(demo_for("builder"), "https://dunlin.example/") == []


def test_a_long_project(long_site: Path) -> None:
    """Its entries are all alike: the first stands for them."""
    for page in [*long_site.glob("*.html"), *long_site.glob("systems/*.html"), pages(long_site / "log")[0]]:
        assert faults(page.read_bytes()) == [], page.name


def _entry(facts: str) -> dict[str, str | bytes]:
    return {"log/2026-01-01-e.md": entry(f"title: E\ndate: 2026-01-01\n{facts}")}


PROSE = """
## Same

## Same

- [ ] to do
- [x] done
  - nested

| a | b |
| - | -: |
| 1 |

Words[^1] and again[^1] and two[^b] of <b>raw</b> & &nosuch; "marks" <script>alert(1)</script>.

[^1]: A note with a [link](https://dunlin.example/x?a=1&b=2).
[^b]: Another.

![](../photos/a.jpg)

A paragraph with ![a picture](../photos/a.jpg) in it, and [*nested* `code`](#same).

> - list in quote

<div>block</div>
"""


def _written() -> dict[str, str | bytes]:
    """Markdown of every sort, and a picture of which nobody says anything."""
    out = BytesIO()
    Image.new("RGB", (40, 30), (90, 90, 90)).save(out, "JPEG")
    facts = "title: \"E & <b> 'x'\"\ndate: 2026-01-01\nsystem: wings\nhours: 1:00\nphotos: [photos/a.jpg]"
    return {
        "log/2026-01-01-e.md": entry(facts, PROSE),
        "pages/front.md": f"---\ntitle: Head & <i>\n---\n{PROSE}",
        "photos/a.jpg": out.getvalue(),
    }


STATED = "datum: nose\nstart: {weight: 700 lb, arm: 10 in, says: A sheet}\n"
SMALL: dict[str, dict[str, str | bytes]] = {
    "nothing": {},
    "bare": _entry(""),
    "stated": _entry("weight: [{installed: A, weight: 1 lb, arm: 1 in}]") | {"loading.yaml": STATED},
    "no rules": _entry("hours: 1:00\ncost: 5 USD") | {"project.yaml": PROJECT + "requirements: none\n"},
    "written": _written(),
    "no prices": _entry("hours: 1:00") | {"project.yaml": PROJECT.replace("costs: full", "costs: totals")},
}


@pytest.mark.parametrize("name", ["new", *SMALL])
def test_a_new_project_and_others_that_hold_next_to_nothing(tmp_path: Path, name: str) -> None:
    project, runner = tmp_path / "project", CliRunner(env={"XDG_CACHE_HOME": str(tmp_path / "cache")})
    if name == "new":
        assert runner.invoke(main, ["start", str(project)]).exit_code == 0
    else:
        write(project, SMALL[name])
    known: set[str] = set()
    for audience in ("public", "builder"):
        site = tmp_path / audience
        said = runner.invoke(main, ["publish", "--project", str(project), "--audience", audience, "--to", str(site)])
        assert said.exit_code == 0, said.output
        assert complaints(site, known) == []
        assert dead_links(site, "https://dunlin.example/") == []
