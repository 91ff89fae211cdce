"""The feed and the site map, read back by a feed reader and by an XML parser."""

import re
from datetime import UTC, date, datetime, timedelta, timezone
from urllib.parse import urljoin
from xml.etree import ElementTree as ET

import feedparser  # type: ignore[import-untyped]
import pytest

from buildlog.site.feed import Item, atom, permanent_id, sitemap

ATOM = "{http://www.w3.org/2005/Atom}"
MAP = "{http://www.sitemaps.org/schemas/sitemap/0.9}"
ITEMS = (
    Item(
        "2026-07-04-battery",
        "Battery box & <cables>",
        date(2026, 7, 4),
        "Fitted — 2½ h",
        "log/2026-07-04-battery.html",
    ),
    Item("2026-06-01-straps", "Straps", date(2026, 6, 1), "", "log/2026-06-01-straps.html"),
)


def feed(
    *,
    address: str | None = None,
    self_name: str = "feed.xml",
    title: str = "The project",
    author: str = "The owner",
    updated: date = date(2026, 7, 4),
    items: tuple[Item, ...] = ITEMS,
    seed: str = "seed",
) -> bytes:
    return atom(title, address, self_name, seed, updated, author, items)


@pytest.mark.parametrize("address", [None, "https://example.org/project", "https://example.org/project/"])
def test_a_feed_reader_reads_it(address: str | None) -> None:
    read = feedparser.parse(feed(address=address))
    assert read.bozo is False
    assert read.version == "atom10"
    assert read.feed.title == "The project"
    assert read.feed.author == "The owner"
    assert read.feed.updated == "2026-07-04T00:00:00Z"
    assert [entry.title for entry in read.entries] == ["Battery box & <cables>", "Straps"]
    assert [entry.summary for entry in read.entries] == ["Fitted — 2½ h", ""]
    start = "https://example.org/project/" if address else ""
    assert [entry.link for entry in read.entries] == [f"{start}{item.href}" for item in ITEMS]
    links = {link.rel: link.href for link in read.feed.links}
    assert links == {"self": f"{start}feed.xml", "alternate": f"{start}index.html"}


@pytest.mark.parametrize("address", [None, "https://example.org/"])
def test_it_has_what_the_standard_demands(address: str | None) -> None:
    root = ET.fromstring(feed(address=address))
    assert root.tag == f"{ATOM}feed"
    for element in (root, *root.iter(f"{ATOM}entry")):
        for name in ("id", "title", "updated"):
            assert len(element.findall(f"{ATOM}{name}")) == 1
        moment = element.findtext(f"{ATOM}updated")
        assert moment
        assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", moment)
        assert re.match(r"urn:uuid:[0-9a-f-]{36}$", element.findtext(f"{ATOM}id") or "")
        assert [link.get("rel") for link in element.findall(f"{ATOM}link")].count("alternate") == 1
    assert root.find(f"{ATOM}author/{ATOM}name") is not None


def test_identifiers_stay_whatever_else_changes() -> None:
    moved = tuple(Item(item.id, "New title", date(2027, 1, 1), "other", f"elsewhere/{item.id}.html") for item in ITEMS)
    first = feedparser.parse(feed())
    other = feedparser.parse(feed(address="https://example.org/", title="Renamed", items=moved[::-1]))
    assert {entry.id for entry in first.entries} == {entry.id for entry in other.entries}
    assert first.feed.id == other.feed.id
    assert len({first.feed.id, *(entry.id for entry in first.entries)}) == 3
    assert first.feed.id == permanent_id("seed")
    assert first.entries[0].id == permanent_id("seed", "2026-07-04-battery")
    assert first.entries[0].id != feedparser.parse(feed(seed="another project")).entries[0].id


def test_the_identifiers_are_these_for_ever() -> None:
    """A change here would show every entry as new to every reader of every published feed."""
    assert permanent_id("seed") == "urn:uuid:928faff5-f4fe-54a5-8c4b-d98357bf8337"
    assert permanent_id("seed", "2026-07-04-battery") == "urn:uuid:d861cc75-b0f8-5cac-9c29-465a8e50b7d8"


def test_a_complete_identifier_stands_as_it_is() -> None:
    own = "tag:example.org,2026:battery"
    items = (Item(own, "A", date(2026, 1, 1), "", "a.html"),)
    read = feedparser.parse(feed(items=items, seed="urn:uuid:00000000-0000-4000-8000-000000000000"))
    assert (read.feed.id, read.entries[0].id) == ("urn:uuid:00000000-0000-4000-8000-000000000000", own)


def test_links_of_a_feed_in_a_folder_lead_back_to_the_root() -> None:
    root = ET.fromstring(feed(self_name="feeds/all/log.xml"))
    base = "https://example.org/project/feeds/all/log.xml"
    found = {link.get("rel"): urljoin(base, link.get("href", "")) for link in root.findall(f"{ATOM}link")}
    assert found == {"self": base, "alternate": "https://example.org/project/index.html"}
    entry = root.find(f"{ATOM}entry/{ATOM}link")
    assert entry is not None
    assert urljoin(base, entry.get("href", "")) == "https://example.org/project/log/2026-07-04-battery.html"


@pytest.mark.parametrize(
    ("when", "written"),
    [
        (date(2026, 12, 31), "2026-12-31T00:00:00Z"),
        (datetime(2026, 7, 4, 18, 30, tzinfo=UTC), "2026-07-04T18:30:00Z"),
        (datetime(2026, 7, 4, 1, 30, tzinfo=timezone(timedelta(hours=2))), "2026-07-03T23:30:00Z"),
        (datetime(2026, 7, 4, 18, 30, 5, 999), "2026-07-04T18:30:05Z"),  # noqa: DTZ001 - without a zone: as UTC
    ],
)
def test_times_are_rfc_3339(when: date, written: str) -> None:
    assert feedparser.parse(feed(updated=when)).feed.updated == written


@pytest.mark.parametrize("code", [0x00, 0x08, 0x0B, 0x1F, 0xFFFE, 0xFFFF, 0xD800, 0xDFFF])
def test_what_xml_cannot_hold_is_left_out(code: int) -> None:
    bad = chr(code)
    items = (Item(f"a{bad}", f"Ti{bad}tle", date(2026, 1, 1), f"one{bad}\r\ntwo\tend", f"a{bad}.html"),)
    read = feedparser.parse(feed(items=items, title=f"The{bad} project", author=f"O{bad}wner"))
    assert read.bozo is False
    assert (read.feed.title, read.entries[0].title, read.entries[0].link) == (
        "The project",
        "Title",
        "a.html",
    )
    root = ET.fromstring(feed(items=items))
    assert root.findtext(f"{ATOM}entry/{ATOM}summary") == "one\ntwo\tend"


def test_what_xml_can_hold_stays() -> None:
    words = "\u0085 \u00a0 \ufffd \ud7ff \ue000 \U0001f6e9 ]]> &amp; \"quoted\" 'so'"
    items = (Item("a", words, date(2026, 1, 1), words, "a.html"),)
    root = ET.fromstring(feed(items=items))
    assert root.findtext(f"{ATOM}entry/{ATOM}title") == words
    assert root.findtext(f"{ATOM}entry/{ATOM}summary") == words


def test_addresses_are_written_as_addresses() -> None:
    items = (Item("a", "A", date(2026, 1, 1), "", "log/box å & more.html#top"),)
    link = ET.fromstring(feed(items=items, address="https://example.org")).find(f"{ATOM}entry/{ATOM}link")
    assert link is not None
    assert link.get("href") == "https://example.org/log/box%20%C3%A5%20&%20more.html#top"


def test_an_empty_log_is_a_valid_feed() -> None:
    read = feedparser.parse(feed(items=()))
    assert (read.bozo, read.entries) == (False, [])


def test_the_same_input_gives_the_same_bytes() -> None:
    assert feed() == feed()
    assert feed().startswith(b'<?xml version="1.0" encoding="utf-8"?>\n<feed xmlns="http://www.w3.org/2005/Atom">\n')
    assert feed().endswith(b"</feed>\n")


def test_the_site_map() -> None:
    pages = [
        ("log/b & c.html", date(2026, 7, 4)),
        ("index.html", None),
        ("a.html", datetime(2026, 1, 2, 3, tzinfo=UTC)),
    ]
    content = sitemap("https://example.org/project", pages)
    root = ET.fromstring(content)
    assert root.tag == f"{MAP}urlset"
    found = [(url.findtext(f"{MAP}loc"), url.findtext(f"{MAP}lastmod")) for url in root]
    assert found == [
        ("https://example.org/project/a.html", "2026-01-02T03:00:00Z"),
        ("https://example.org/project/index.html", None),
        ("https://example.org/project/log/b%20&%20c.html", "2026-07-04"),
    ]
    assert sitemap("https://example.org/project/", reversed(pages)) == content
