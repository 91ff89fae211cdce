"""Links, pictures and blocks in the text: where they point, where they stand, who may see them."""

from __future__ import annotations

import posixpath

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.basics.problems import Problem
from buildlog.reading import markdown as reading
from buildlog.reading.markdown import project_path, read_prose
from buildlog.reading.source import Source
from buildlog.records.prose import Prose
from tests.reading.laying import ENTRY

FILES = frozenset(
    {
        "photos/a.jpg",
        "photos/my box.jpg",
        "photos/100%.jpg",
        "photos/\u00fcber.jpg",
        "documents/tag.pdf",
        "log/2026/2026-07-04-a.md",
        "log/2026/b.jpg",
        "a.md",
    }
)


def prose(text: str, file: str = "log/2026/2026-07-04-a.md") -> tuple[Prose, list[Problem]]:
    return read_prose(Source.of(file, text), 0, FILES)


@pytest.mark.parametrize(
    ("written", "target"),
    [
        ("../../photos/a.jpg", "photos/a.jpg"),
        ("photos/a.jpg", "photos/a.jpg"),
        ("b.jpg", "log/2026/b.jpg"),
        ("./b.jpg", "log/2026/b.jpg"),
        ("../../photos/my%20box.jpg", "photos/my box.jpg"),
        ("<../../photos/my box.jpg>", "photos/my box.jpg"),
        ("../../photos/%C3%BCber.jpg", "photos/\u00fcber.jpg"),
        ("../../photos/\u00fcber.jpg", "photos/\u00fcber.jpg"),
        ("../../photos/100%25.jpg", "photos/100%.jpg"),
        ("../../photos/100%.jpg", "photos/100%.jpg"),
        ("..\\\\..\\\\photos\\\\a.jpg", "photos/a.jpg"),
        ("../../photos/../photos//a.jpg", "photos/a.jpg"),
    ],
)
def test_paths_become_paths_from_the_project_folder(written: str, target: str) -> None:
    found, problems = prose(f"![x]({written})\n")
    assert not problems
    assert [(ref.target, ref.picture) for ref in found.references] == [(target, True)]
    image = next(child for token in found.tokens for child in token.children or () if child.type == "image")
    assert image.attrGet("src") == target


@pytest.mark.parametrize(
    "address",
    [
        "https://dunlin.example/a%20b?c=%26&d=1%2B1#e",
        "http://dunlin.example",
        "mailto:a@dunlin.example",
        "tel:+15550100",
        "HTTPS://dunlin.example/",
    ],
)
def test_addresses_stay_as_they_are(address: str) -> None:
    found, problems = prose(f"[x]({address}) and <{address}>\n")
    assert not problems
    assert [ref.target for ref in found.references] == [address, address]


@pytest.mark.parametrize(
    "written",
    [
        "../../../etc/passwd",
        "/etc/passwd",
        "..%2f..%2f..%2fetc/passwd",
        "..\\\\..\\\\..\\\\etc",
        "photos/../../x",
        "//dunlin.example/x",
        "C:/photos/a.jpg",
        "C:\\\\photos\\\\a.jpg",
        "../../../photos/a.jpg",
        "/photos/a.jpg",
        "%2e%2e/%2e%2e/%2e%2e/etc/passwd",
    ],
)
def test_no_path_leaves_the_folder(written: str) -> None:
    found, problems = prose(f"[x]({written})\n")
    assert [problem.name for problem in problems] in (["outside-folder"], ["missing-file"])
    assert problems[0].name == "outside-folder" or written == "photos/../../x"
    assert [ref.target for ref in found.references] == [""]


@pytest.mark.parametrize(
    "written",
    [
        "javascript:alert(1)",
        "%6aavascript:x",
        "JAVASCRIPT:x",
        "data:text/html;base64,x",
        "file:///etc/passwd",
        "vbscript:x",
        "ftp://dunlin.example",
        "java&#115;cript:x",
    ],
)
def test_no_other_kind_of_address_is_followed(written: str) -> None:
    found, problems = prose(f"[x]({written})\n")
    assert [problem.name for problem in problems] == ["odd-link"]
    assert [ref.target for ref in found.references] == [""]
    found, problems = prose(f"![x]({written})\n")
    assert [problem.name for problem in problems] == ["far-picture"]
    assert [ref.target for ref in found.references] == [""]


@given(
    st.from_regex(r"(\.\./|\./|/|%2e|\\\\|photos|a\.jpg|~|C:|\x00| ){1,9}", fullmatch=True),
    st.sampled_from(["a.md", "log/2026/x.md"]),
)
def test_whatever_is_written_the_path_found_is_a_file_of_the_project(written: str, file: str) -> None:
    target, problems = project_path(written, file, Source.of(file, "x").place(0), FILES)
    assert (target in FILES) != bool(problems)
    assert target in FILES or target == ""


def test_places_of_links_in_every_kind_of_block() -> None:
    lines = [
        "# A [h](x-h)",
        "",
        "> quoted",
        "> [q](x-q)",
        "",
        "- item",
        "  - [l](x-l)",
        "",
        "| a | b |",
        "| --- | --- |",
        "| [t](x-t) | ![u](x-u) |",
        "",
        "Twice [one](x-same), [two](x-same)",
        "over [lines](x-o",
        ")",
        "and [ref][r].[^1]",
        "",
        "[r]: x-r",
        "",
        "[^1]: Note [f](x-f).",
        "",
        "::: handover",
        "[h](x-p)",
        ":::",
        "",
        "~~[s](x-s)~~ **[b](x-b)**",
    ]
    source = Source.of("a.md", "\n".join(lines) + "\n")
    found, problems = read_prose(source, 0, FILES)
    places = {}
    for ref, problem in zip(found.references, problems, strict=True):
        assert ref.place == problem.place
        where = source.line(ref.place.line)[ref.place.column - 1 : ref.place.end - 1]
        places.setdefault(where, []).append((ref.place.line, ref.place.column))
    for number, line in enumerate(lines, 1):
        for word in ("x-h", "x-q", "x-l", "x-t", "x-u", "x-f", "x-p", "x-s", "x-b"):
            if f"({word})" in line:
                assert places[word] == [(number, line.index(f"({word})") + 2)]
    assert places["x-same"] == [(13, 13), (13, 28)]


def test_who_may_see_what_is_linked() -> None:
    private = '::: private\n- ![c](../../photos/a.jpg "T")\n:::\n'
    text = f"[a](a.md)\n\n::: handover\n[b](a.md)\n:::\n\n{private}\n[*d* e\nf](a.md)\n"
    found, problems = prose(text.replace("a.md", "../../a.md"))
    assert not problems
    assert [(ref.words, ref.audience) for ref in found.references] == [
        ("a", "public"),
        ("b", "handover"),
        ("c", "private"),
        ("d e f", "public"),
    ]
    assert found.references[2].title == "T"


def test_prose_after_the_front_matter_has_the_lines_of_the_file() -> None:
    source = Source.of("log/2026/2026-07-04-a.md", ENTRY + "\n[x](nowhere.md)\n")
    found, problems = read_prose(source, ENTRY.index("It fits."), FILES)
    assert (found.first_line, problems[0].place.line, problems[0].place.column) == (5, 7, 5)


NOT_BLOCKS = [
    "`::: private`",
    "    ::: private",
    "```\n::: private\n```",
    "\\::: private",
    "text ::: private",
    "<!--\n::: private\n-->",
]


@pytest.mark.parametrize("text", NOT_BLOCKS)
def test_what_only_looks_like_a_block(text: str) -> None:
    assert not [problem for problem in prose(f"{text}\n")[1] if problem.name != "html-in-text"]


LEAKS = [
    "::: private\nsecret",
    "::: private\n::: handover\nx\n:::\nsecret\n:::",
    "::: Private\nsecret\n:::",
    "::: privat\nsecret\n:::",
    "<div>\n::: private\nsecret\n:::\n</div>",
    "::: private\nx[^1]\n:::\n\n[^1]: secret",
    "::: private\nx^[secret]\n:::",
    "::: private\n[^1]: secret\n:::\nx[^1]",
    "::: private:\nsecret\n:::",
    ":::\nsecret\n:::",
    "> ::: privat\n> secret\n> :::",
    "- ::: Private\n  secret\n  :::",
    "::: private\n\n::: private\nx\n:::\n\nsecret\n\n:::",
    "::: private\n::: private\nsecret",
]


@pytest.mark.parametrize("text", LEAKS)
def test_a_block_that_would_not_hold_is_an_error(text: str) -> None:
    """Each of these looks to its writer as if the secret were kept; none may be published in silence."""
    problems = prose(f"Before.\n\n{text}\n")[1]
    assert any(problem.severity == "error" for problem in problems)


FENCES = st.lists(
    st.sampled_from(
        [
            "::: private",
            "::: handover",
            ":::",
            "::::",
            ":::: private",
            "secret",
            "",
            "- a",
            "  b",
            "> c",
            "[^1]: d",
            "e[^1]",
            "```",
            "::: other",
            "    ::: private",
            "<div>",
            "<!--",
            "-->",
            "| a |",
            "| - |",
        ]
    ),
    max_size=14,
)


@given(FENCES)
def test_blocks_that_pass_hold_every_line_between_them(lines: list[str]) -> None:
    """Read by another eye: if nothing is wrong, each line after ``::: private`` and before its end is in the block."""
    found, problems = prose("\n".join(lines) + "\n")
    left_out = any(problem.name == "unused-footnote" for problem in problems)
    if (
        left_out
        or any(problem.severity == "error" for problem in problems)
        or {"```", "<!--", "<div>", "-->"} & set(lines)
    ):
        return
    inside = False
    secret = set()
    for number, line in enumerate(lines):
        if line.lstrip(" ->").startswith(":::") and not line.startswith("    "):
            inside = line.strip(": ") != ""
        elif inside and line == "secret":
            secret.add(number)
    held: set[int] = set()
    for token in found.tokens:
        if token.type.startswith("container_") and token.map:
            held |= set(range(*token.map))
    assert secret <= held


@given(
    st.text(alphabet="ab./\\:-", min_size=1, max_size=9), st.sampled_from(["log/2026/x.md", "log/x.md", "project.yaml"])
)
def test_a_path_that_leads_down_is_what_it_is_when_put_right(written: str, file: str) -> None:
    if reading._DOWN.fullmatch(written):
        here = posixpath.dirname(file)
        assert [f"{here}/{written}", written] == reading._tries(here, written) or not here


BITS = [
    "a",
    "b c",
    "\n",
    "\n\n",
    "- ",
    "[ ] ",
    "[x] ",
    "[X]",
    "[^1]",
    "[^1]: ",
    "^[n]",
    "~~",
    "|",
    "| - | - |",
    "<b>",
    "<http://a.b>",
    "<!--",
    "-->",
    ":::",
    " private\n",
    "`",
    "*",
    "**",
    "# ",
    "> ",
    "    ",
    "[l](m)",
    "![p](q)",
    "\\",
    "&lt;",
    "&#124;",
    "~~~\n",
    "1. ",
    "=",
    "---",
]


@given(st.lists(st.sampled_from(BITS), max_size=24).map("".join))
def test_rules_that_are_left_out_would_have_found_nothing(text: str) -> None:
    whole = reading._parser(frozenset(reading._MARKS))
    assert [one.as_dict() for one in reading.parser(text).parse(text, {})] == [
        one.as_dict() for one in whole.parse(text, {})
    ]
