"""One page made ahead of the others is the same page."""

from __future__ import annotations

import pytest

from buildlog.check import check
from buildlog.figures.figures import figures
from buildlog.pages.site_sheets import Sheets, photos, sheet_at, site_sheets
from buildlog.records.audience import seen_by
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


@pytest.mark.parametrize("audience", ["buyer", "inspector"])
def test_a_document_s_views_show_every_picture_that_the_site_shows(audience: str) -> None:
    reading, _, _ = check(DEMO, audience=audience)
    worked, _ = figures(seen_by(reading.logbook, audience))
    sheets = Sheets(worked)
    first = photos(worked.logbook, sheets.on_paper())
    assert first and first == photos(worked.logbook, sheets)
    assert list(sheets) == site_sheets(worked)
