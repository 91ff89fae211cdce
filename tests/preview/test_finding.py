"""Which file an address means, and what part of it: nothing outside the site can be reached."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.preview.finding import file_of, name_of, slice_of, type_of


@pytest.fixture
def site(tmp_path: Path) -> Path:
    folder = tmp_path / "site"
    (folder / "log").mkdir(parents=True)
    (folder / "index.html").write_text("front")
    (folder / "log" / "a b.html").write_text("entry")
    (folder / ".buildlog-site").write_text("index.html\n")
    (tmp_path / "secret.html").write_text("secret")
    return folder


@pytest.mark.parametrize(
    ("target", "name"),
    [
        ("/", "index.html"),
        ("/?x=1#y", "index.html"),
        ("/log/", "log/"),
        ("/log/a%20b.html?since=3", "log/a b.html"),
        ("/log/caf%C3%A9.html", "log/caf\u00e9.html"),
    ],
)
def test_an_address_means_a_name(target: str, name: str) -> None:
    assert name_of(target) == name


@pytest.mark.parametrize(
    "target",
    [
        "/../secret.html",
        "/log/../../secret.html",
        "/%2e%2e/secret.html",
        "/%2E%2E%2Fsecret.html",
        "/..%5csecret.html",
        "/log\\..\\secret.html",
        "/a%00.html",
        "//evil.example/x",
        "/log//x.html",
        "/./index.html",
        "/.buildlog-site",
        "/log/.hidden/x.html",
        "/c:/windows/x",
        "/%ff%fe",
        "/nul",
        "http://evil.example/",
        "*",
        "",
    ],
)
def test_what_leads_elsewhere_or_is_hidden_means_nothing(target: str) -> None:
    assert name_of(target) is None


def test_files_of_the_site_are_found_and_folders_and_missing_ones_are_not(site: Path) -> None:
    assert file_of(site, "log/a b.html") == (site / "log" / "a b.html").resolve()
    assert file_of(site, "log") is None
    assert file_of(site, "none.html") is None


def test_a_link_out_of_the_site_is_not_followed_and_one_within_is(site: Path) -> None:
    (site / "out.html").symlink_to(site.parent / "secret.html")
    (site / "away").symlink_to(site.parent)
    (site / "in.html").symlink_to(site / "index.html")
    assert file_of(site, "out.html") is None
    assert file_of(site, "away/secret.html") is None
    assert file_of(site, "in.html") == (site / "index.html").resolve()


@given(st.text(st.sampled_from("/.%2e5cF\\:a\0 ?#"), max_size=24))
def test_no_address_at_all_reaches_out(target: str) -> None:
    name = name_of("/" + target)
    assert name is None or ".." not in name.split("/")
    if name is not None:
        assert os.path.normpath(os.path.join("/root/site", name)).startswith("/root/site/")  # noqa: PTH118


@pytest.mark.parametrize(
    ("header", "part"),
    [
        (None, None),
        ("bytes=0-3", (0, 3)),
        ("bytes=4-", (4, 9)),
        ("bytes=-3", (7, 9)),
        ("bytes=-30", (0, 9)),
        ("bytes=2-400", (2, 9)),
        ("bytes=5-2", None),
        ("bytes=0-1,4-5", None),
        ("lines=0-1", None),
        ("bytes=-", None),
    ],
)
def test_one_part_of_ten_bytes(header: str | None, part: tuple[int, int] | None) -> None:
    found = slice_of(header, 10)
    assert (found and (found.first, found.last)) == part


@pytest.mark.parametrize(
    ("header", "size"), [("bytes=10-", 10), ("bytes=99-100", 10), ("bytes=-0", 10), ("bytes=0-", 0)]
)
def test_a_part_beyond_the_end_is_refused(header: str, size: int) -> None:
    with pytest.raises(ValueError, match="are asked for"):
        slice_of(header, size)


def test_types_do_not_depend_on_the_system() -> None:
    named = {name: type_of(Path(name)) for name in ("x.html", "x.CSS", "x.js", "x.woff2", "x.mp4", "x.unheard")}
    assert named == {
        "x.html": "text/html; charset=utf-8",
        "x.CSS": "text/css; charset=utf-8",
        "x.js": "text/javascript; charset=utf-8",
        "x.woff2": "font/woff2",
        "x.mp4": "video/mp4",
        "x.unheard": "application/octet-stream",
    }
