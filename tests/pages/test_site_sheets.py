"""One page made ahead of the others is the same page."""

from __future__ import annotations

import pytest

from buildlog.check import check
from buildlog.figures.figures import figures
from buildlog.pages.site_sheets import Share, Sheets, photos, sheet_at, site_sheets
from buildlog.records.audience import AUDIENCES, seen_by
from tests.whole.conftest import DEMO


def test_any_page_of_the_demo_alone_is_what_it_is_among_all() -> None:
    reading, _, _ = check(DEMO)
    worked, _ = figures(seen_by(reading.logbook, "public"))
    sheets = site_sheets(worked)
    assert len(sheets) > 50
    for sheet in sheets[::3]:
        assert sheet_at(worked, sheet.path) == sheet
    assert sheet_at(worked, "log/no-such-entry.html") is None
    assert sheet_at(worked, "nothing.html") is None


@pytest.mark.parametrize("audience", AUDIENCES)
def test_every_picture_that_a_page_shows_is_among_the_photos(audience: str) -> None:
    """They are made before any page is, of the record alone."""
    reading, _, _ = check(DEMO, audience=audience)
    worked, _ = figures(seen_by(reading.logbook, audience))
    sheets = Sheets(worked)
    wanted = photos(worked.logbook)
    assert {sheet.picture for sheet in sheets if sheet.picture} <= {*wanted}
    shown = {photo.file for sheet in sheets for photo in getattr(sheet.view, "photos", ()) if hasattr(photo, "file")}
    assert shown and shown <= {*wanted}
    assert list(sheets) == site_sheets(worked)


def test_the_shares_hold_every_page_once_and_in_order() -> None:
    reading, _, _ = check(DEMO)
    worked, _ = figures(seen_by(reading.logbook, "public"))
    shares = Sheets(worked)
    assert not shares.begun
    pages = [sheet for share in sorted(Sheets.shares()) for sheet in shares.of(share)]
    assert pages == site_sheets(worked)
    assert not shares.begun
    assert list(shares.of(Share())) == pages and shares.begun
