"""The frame, the photos, the free pages and the page for what is not there (laying.py)."""

from __future__ import annotations

from pathlib import Path

from buildlog.figures.figures import figures
from buildlog.pages.frame import frame_of
from buildlog.pages.gallery import LONGEST, gallery_sheets
from buildlog.pages.notfound import notfound_sheets
from buildlog.pages.sheet import Frame
from buildlog.pages.writing import writing_sheets
from buildlog.records.audience import seen_by
from tests.making import PROJECT, entry, read
from tests.pages.laying import FILES, laid, rules

PAGES: dict[str, str | bytes] = {
    "pages/front.md": "---\ntitle: Headline\n---\nWords.\n",
    "pages/b.md": "---\ntitle: Second\norder: 2\n---\nWords of b, with ![a battery](../photos/battery.jpg).\n",
    "pages/a.md": "---\ntitle: First\norder: 1\n---\nWords of a.\n",
    "pages/hidden.md": "---\ntitle: Not in the menu\nmenu: no\n---\nWords.\n",
    "pages/late.md": "---\ntitle: Later\n---\nWords.\n",
    "pages/package.md": "---\ntitle: For the buyer\naudience: handover\n---\nWords.\n",
}


def frame(root: Path, files: dict[str, str | bytes], audience: str = "public") -> Frame:
    return frame_of(figures(seen_by(read(root, files).logbook, audience))[0])


def test_the_menu_names_only_what_there_is_to_see(tmp_path: Path) -> None:
    paths = [link.path for link in frame(tmp_path / "full", FILES).menu]
    assert {"cost.html", "hours.html", "decisions.html"} < set(paths)
    kept = [link.path for link in frame(tmp_path / "kept", rules("costs: none, hours: no")).menu]
    assert [path for path in paths if path not in kept] == ["cost.html", "hours.html"]
    assert "decisions.html" not in {link.path for link in frame(tmp_path / "none", {}).menu}


def test_the_menu_stands_in_groups_and_has_the_pages_of_papers_where_there_are_any(tmp_path: Path) -> None:
    groups = {group.name: [link.words for link in group.links] for group in frame(tmp_path / "full", FILES).groups}
    assert groups["The work"][:2] == ["Log", "Photos"]
    assert groups["The figures"] == ["Weight", "Balance", "Cost", "Hours"]
    none: dict[str, str | bytes] = {"project.yaml": PROJECT + "requirements: none\n"}
    assert "The papers" not in {group.name for group in frame(tmp_path / "none", none).groups}
    papers = none | {
        "directives.yaml": "directives:\n"
        "  - {key: D-1, number: A 1, title: A bolt, kind: directive, about: aircraft, applies: unknown, because: Not seen}\n",
        "log/2026-01-01-e.md": entry(
            "title: E\ndate: 2026-01-01\nsigned: {by: owner, as: work, date: 2026-01-01, words: Oil}"
        ),
    }
    listed = frame(tmp_path / "papers", papers).groups[-1]
    assert [link.path for link in listed.links] == ["directives.html", "signatures.html"]


def test_the_frame_says_whose_and_of_when(tmp_path: Path) -> None:
    found = frame(tmp_path, FILES | {"project.yaml": str(FILES["project.yaml"]) + "address: https://a.example/log\n"})
    assert (found.mark, found.aircraft_mark, found.state_of) == (
        "N0000T",
        "Test type N0000T",
        "July 20, 2026",
    )
    assert (found.worked_from, found.address) == ("4 entries, 1 weighing", "https://a.example/log/")
    assert frame(tmp_path / "empty", {}).state_of == "no entry yet"


def test_free_pages_in_the_foot_and_beside_each_other_in_their_order(tmp_path: Path) -> None:
    files = FILES | PAGES
    assert [link.words for link in frame(tmp_path / "frame", files).foot] == [
        "First",
        "Second",
        "Later",
        "Feed",
    ]
    sheets = laid(writing_sheets, tmp_path, files=files)
    assert set(sheets) == {"pages/a.html", "pages/b.html", "pages/hidden.html", "pages/late.html"}
    assert [link.path for link in sheets["pages/b.html"].view.others] == ["pages/a.html", "pages/late.html"]
    assert (sheets["pages/a.html"].description, sheets["pages/b.html"].picture) == (
        "Words of a.",
        "photos/battery.jpg",
    )
    assert "pages/package.html" in laid(writing_sheets, tmp_path, "buyer", files)


def test_every_photo_stands_under_its_month_with_its_entry(tmp_path: Path) -> None:
    view = laid(gallery_sheets, tmp_path)["photos.html"].view
    assert view.summary == "1 photo from 1 entry. Newest month first."
    ((month, entries),) = [(month.name, month.entries) for month in view.months]
    assert (month, entries[0].link.path, entries[0].photos[0].file) == (
        "July 2026",
        "log/2026-07-08-battery.html",
        "photos/battery.jpg",
    )


def test_a_photo_that_may_not_be_seen_is_not_among_them(tmp_path: Path) -> None:
    kept = entry("title: K\ndate: 2026-08-01\nphotos: [{file: photos/kept.jpg, audience: handover}]")
    files = FILES | {"log/2026-08-01-k.md": kept, "photos/kept.jpg": b"x"}
    assert "kept" not in repr(laid(gallery_sheets, tmp_path, files=files)["photos.html"].view)
    assert "kept" in repr(laid(gallery_sheets, tmp_path, "buyer", files)["photos.html"].view)


def test_many_photos_have_a_page_for_each_year(tmp_path: Path) -> None:
    files: dict[str, str | bytes] = {"project.yaml": PROJECT}
    for year in (2025, 2026):
        names = [f"photos/{year}-{n}.jpg" for n in range(LONGEST)]
        files |= dict.fromkeys(names, b"x")
        files[f"log/{year}-01-01-e.md"] = entry(f"title: E\ndate: {year}-01-01\nphotos: [{', '.join(names)}]")
    sheets = laid(gallery_sheets, tmp_path, files=files)
    assert list(sheets) == ["photos.html", "photos-2025.html"]
    assert sheets["photos-2025.html"].view.summary == f"{LONGEST} photos from 1 entry. Newest month first."


def test_there_is_a_gallery_and_a_page_for_nothing(tmp_path: Path) -> None:
    assert laid(gallery_sheets, tmp_path, files={})["photos.html"].view.months == ()
    (sheet,) = laid(notfound_sheets, tmp_path, files={}).values()
    assert (sheet.path, sheet.listed) == ("404.html", False)
