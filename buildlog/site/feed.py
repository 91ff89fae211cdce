"""The feed (Atom, RFC 4287) and the site map (sitemaps.org, 0.9).

Identifiers are names, not places: they are made from the project's seed and the entry's permanent key alone,
so they stay the same when the site moves, a title is corrected or a date is put right. Without a public
address all links are relative to the feed itself.
"""

import re
import uuid
from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime, time
from urllib.parse import quote
from xml.etree import ElementTree as ET

from buildlog.basics.frozen import frozen

_ATOM = "http://www.w3.org/2005/Atom"
_SITEMAP = "http://www.sitemaps.org/schemas/sitemap/0.9"
_FORBIDDEN = re.compile("[^\t\n\r -\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_IRI = re.compile(r"(urn|tag|https?):\S+", re.ASCII)
_SAFE = "/%?#&=:;+,@!$'()*~[]"


@frozen
class Item:
    """One entry of the feed: its permanent key, what it is called, when it last changed, and where it is."""

    id: str
    title: str
    updated: date
    summary: str
    href: str


def permanent_id(seed: str, key: str = "") -> str:
    """The identifier of an entry, or without a key of the feed: the same for ever for the same two words."""
    return uuid.uuid5(uuid.uuid5(uuid.NAMESPACE_OID, _clean(seed)), _clean(key)).urn


def atom(
    title: str,
    address: str | None,
    self_name: str,
    feed_id: str,
    updated: date,
    author: str,
    items: Sequence[Item],
) -> bytes:
    """The feed as a file.

    `self_name` is the feed's own name from the site's root, `feed_id` the project's permanent seed; it or an
    item's `id` may also be a complete identifier (urn:, tag:, https:), which then stands as it is. A date
    without a time counts as its beginning in UTC.
    """
    feed = ET.Element("feed", {"xmlns": _ATOM})
    _add(feed, "id", feed_id if _IRI.fullmatch(feed_id) else permanent_id(feed_id))
    _add(feed, "title", title)
    _add(feed, "updated", _moment(updated))
    _add(ET.SubElement(feed, "author"), "name", author)
    _link(feed, "self", _place(address, self_name, self_name), "application/atom+xml")
    _link(feed, "alternate", _place(address, "index.html", self_name), "text/html")
    for item in items:
        entry = ET.SubElement(feed, "entry")
        _add(entry, "id", item.id if _IRI.fullmatch(item.id) else permanent_id(feed_id, item.id))
        _add(entry, "title", item.title)
        _add(entry, "updated", _moment(item.updated))
        _link(entry, "alternate", _place(address, item.href, self_name), "text/html")
        _add(entry, "summary", item.summary)
    return _file(feed)


def sitemap(address: str, pages: Iterable[tuple[str, date | None]]) -> bytes:
    """The map of a site with a public address: its pages by name, each with the day of its last change."""
    urlset = ET.Element("urlset", {"xmlns": _SITEMAP})
    for href, changed in sorted(pages, key=lambda page: page[0]):
        url = ET.SubElement(urlset, "url")
        _add(url, "loc", _place(address, href, ""))
        if changed:
            _add(url, "lastmod", _moment(changed) if isinstance(changed, datetime) else changed.isoformat())
    return _file(urlset)


def _place(address: str | None, href: str, from_name: str) -> str:
    """Where a file of the site is: in full, or as seen from another file of the site."""
    start = address.rstrip("/") + "/" if address else "../" * from_name.count("/")
    return quote(_clean(start + href), safe=_SAFE)


def _moment(when: date) -> str:
    """RFC 3339, in UTC."""
    if not isinstance(when, datetime):
        when = datetime.combine(when, time(), UTC)
    elif when.tzinfo is None:
        when = when.replace(tzinfo=UTC)
    return when.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def _clean(text: str) -> str:
    """The text without what XML cannot hold, and with one kind of line end."""
    return _FORBIDDEN.sub("", text.replace("\r\n", "\n").replace("\r", "\n"))


def _add(parent: ET.Element, tag: str, text: str) -> None:
    ET.SubElement(parent, tag).text = _clean(text)


def _link(parent: ET.Element, rel: str, href: str, kind: str) -> None:
    ET.SubElement(parent, "link", {"rel": rel, "type": kind, "href": href})


def _file(root: ET.Element) -> bytes:
    ET.indent(root)
    return f'<?xml version="1.0" encoding="utf-8"?>\n{ET.tostring(root, encoding="unicode")}\n'.encode()
