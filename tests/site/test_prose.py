"""Markdown as pages show it: what is the same on every page laid out once, links and photos said by each page."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from markdown_it.token import Token

from buildlog.reading.markdown import parsed_again, read_prose
from buildlog.reading.source import Source
from buildlog.site.prose import Hands, laid_out, to_html

TEXT = """Words with [a link](other.md "its title"), [one that leads nowhere](gone.md) and <https://example.org/?a=1&b=2>.

![Alone](photos/a.jpg "A caption")

In a line ![within](photos/b.jpg), and **strong *and* more**.

| | Left | Right |
| --- | :-- | --: |
| a | b | c |

- [x] done
- [ ] to do

<b>raw</b> <!-- unseen -->

A note.[^1]

[^1]: The note, with [a link](other.md).

::: handover
For few.
:::
"""
KNOWN = {"other.md", "gone.md", "photos/a.jpg", "photos/b.jpg"}


def hands(link: dict[str, str]) -> Hands:
    return Hands(
        lambda target: link.get(target, target if ":" in target else None),
        lambda photos: "".join(f"<figure>{photo}</figure>" for photo in photos),
    )


def shown(text: str, **link: str) -> str:
    prose, _ = read_prose(Source("a.md", text), 0, KNOWN, laid_out)
    return to_html(prose.laid, hands({f"{name}.md": to for name, to in link.items()}))


def test_each_page_says_where_links_lead_and_how_photos_are_shown() -> None:
    one, two = shown(TEXT, other="../o.html"), shown(TEXT, other="o.html?a&b", gone="g.html")
    assert '<a href="../o.html" title="its title">a link</a>' in one and "one that leads nowhere</a>" not in one
    assert '<a href="o.html?a&amp;b" title="its title">a link</a>' in two
    assert '<a href="g.html">one that leads nowhere</a>' in two
    assert '<a href="https://example.org/?a=1&amp;b=2">' in one
    assert "<figure>('photos/a.jpg', 'Alone', 'A caption')</figure>" in one
    assert "<span>('photos/b.jpg', 'within', '')</span>" in one
    assert "&lt;b&gt;raw&lt;/b&gt;" in one and "unseen" not in one
    assert '<div class="for-handover"><p>For few.</p>' in re.sub(r"\s*\n", "", one)
    assert one.count('type="checkbox"') == 2 and 'class="footnotes"' in one


def test_a_text_parsed_again_is_laid_out_the_same() -> None:
    prose, _ = read_prose(
        Source("log/a.md", TEXT), 0, {"log/other.md", "gone.md", "photos/a.jpg", "photos/b.jpg"}, laid_out
    )
    assert laid_out(prose.tokens) == prose.laid
    assert "log/other.md" in [reference.target for reference in prose.references]


@given(st.text(st.sampled_from("ab \n#*_[](){}<>!`|-:.\\\"'&\0x1"), max_size=120))
def test_whatever_is_written_each_text_is_laid_out_once_and_for_all(text: str) -> None:
    prose, _ = read_prose(Source("a.md", text), 0, KNOWN, laid_out)
    assert laid_out(prose.tokens) == prose.laid
    assert "\0" not in to_html(prose.laid, hands({}))


@pytest.mark.parametrize(
    ("levels", "tags"),
    [
        ("1 2 3", "2 3 4"),
        ("4", "2"),
        ("3 1 2", "2 2 3"),
        ("2 6 2 6", "2 3 2 3"),
        ("1 2 3 4 5 6", "2 3 4 5 6 6"),
    ],
)
def test_headings_skip_no_level_whatever_was_written(levels: str, tags: str) -> None:
    text = "\n\n".join(f"{'#' * int(level)} Same" for level in levels.split())
    made = shown(text)
    assert re.findall(r"<h(\d) id", made) == re.findall(r"</h(\d)>", made) == tags.split()
    names = re.findall(r'id="([^"]+)"', made)
    assert len(set(names)) == len(names)


def test_the_head_of_a_column_says_so_and_an_empty_one_is_a_cell() -> None:
    made = shown(TEXT)
    assert "<td></td>" in made
    assert '<th style="text-align:right" scope="col">Right</th>' in made


def test_tokens_are_parsed_once_for_those_who_ask_again() -> None:
    tokens = parsed_again(TEXT, ("x.md",) * 9)
    assert parsed_again(TEXT, ("x.md",) * 9) is tokens
    assert all(isinstance(token, Token) for token in tokens)
