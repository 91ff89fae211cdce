"""A theme laid over ours file by file, and sites for other audiences than the public."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from buildlog.cli import main
from tests.making import PROJECT, entry, write
from tests.whole.conftest import DEMO

pytestmark = [pytest.mark.whole]


@pytest.fixture(autouse=True)
def _own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))


def publish(root: Path, target: Path, *more: str) -> Result:
    return CliRunner().invoke(main, ["publish", "--project", str(root), "--to", str(target), *more])


ONE: dict[str, str | bytes] = {"log/2026-01-01-x.md": entry("title: One\ndate: 2026-01-01")}


def test_one_file_of_a_theme_takes_the_place_of_ours_and_the_rest_stays(tmp_path: Path) -> None:
    root = write(
        tmp_path / "p",
        ONE
        | {
            "themes/hangar/page.html": "unused",
            "themes/hangar/notfound.html": "<!doctype html><title>x</title>Mine, {{ frame.mark }}",
            "themes/hangar/assets/sheets.css": "/* mine */",
            "themes/hangar/assets/more/own.txt": "own",
        },
    )
    assert publish(root, tmp_path / "site").exit_code == 0
    assert (tmp_path / "site/404.html").read_text() == "<!doctype html><title>x</title>Mine, N0000T"
    assert (tmp_path / "site/look/sheets.css").read_text() == "/* mine */"
    assert (tmp_path / "site/look/more/own.txt").read_text() == "own"
    assert "One" in (tmp_path / "site/log/2026-01-01-x.html").read_text()


def test_a_theme_of_another_name_is_laid_over_ours_too(tmp_path: Path) -> None:
    root = write(tmp_path / "p", ONE | {"project.yaml": PROJECT + "theme: shed\n", "themes/shed/notfound.html": "Shed"})
    assert publish(root, tmp_path / "site").exit_code == 0
    assert (tmp_path / "site/404.html").read_text() == "Shed"


def test_a_theme_that_is_not_there_is_told(tmp_path: Path) -> None:
    result = publish(write(tmp_path / "p", ONE | {"project.yaml": PROJECT + "theme: nowhere\n"}), tmp_path / "site")
    assert result.exit_code == 1 and "no-such-theme" in result.output


def test_a_broken_template_is_told_with_its_place_and_nothing_is_published(tmp_path: Path) -> None:
    root = write(tmp_path / "p", ONE | {"themes/hangar/notfound.html": "line one\n{{ view.nothing }}\n{% if %}"})
    result = publish(root, tmp_path / "site")
    assert result.exit_code == 1 and "themes/notfound.html:3" in result.output, result.output
    assert not (tmp_path / "site").exists()


def test_the_buyer_and_the_inspector_see_what_they_may(tmp_path: Path) -> None:
    for audience in ("buyer", "inspector", "builder"):
        result = publish(DEMO, tmp_path / audience, "--audience", audience)
        assert result.exit_code == 0, result.output
    text = {
        audience: "".join(path.read_text("utf-8") for path in sorted((tmp_path / audience).rglob("*.html")))
        for audience in ("buyer", "inspector", "builder")
    }
    for word in ("Thorne", "Tarn Valley", "M-20318"):
        assert word in text["buyer"] and word in text["inspector"], word
    assert "262.09" in text["buyer"]
    for word in ("262.09", "9,934", "cost.html"):
        assert word not in text["inspector"], word
    private = "What I would tell a buyer"
    assert private not in text["buyer"] and private in text["builder"]
    assert not list((tmp_path / "inspector").glob("documents/receipt*"))
    assert list((tmp_path / "buyer").glob("documents/receipt*"))


def test_the_site_never_goes_into_the_builders_own_folders(tmp_path: Path) -> None:
    root = write(tmp_path / "p", ONE)
    for folder in ("log", "log/site", "."):
        result = publish(root, root / folder)
        assert result.exit_code == 1, folder
    assert sorted(path.name for path in root.iterdir()) == ["log", "project.yaml"]


def test_the_menu_marks_the_page_one_is_on_though_it_is_made_once_a_folder(tmp_path: Path) -> None:
    pages = {"pages/about.md": entry("title: About"), "pages/terms.md": entry("title: Terms")}
    root = write(tmp_path / "p", ONE | pages)
    assert publish(root, tmp_path / "site").exit_code == 0
    found = {
        path: re.findall(r'<a href="([^"]*)" aria-current="(\w+)"', (tmp_path / "site" / path).read_text("utf-8"))
        for path in (
            "log.html",
            "cost.html",
            "weight.html",
            "log/2026-01-01-x.html",
            "pages/about.html",
            "pages/terms.html",
        )
    }
    assert found == {
        "log.html": [("log.html", "page")],
        "cost.html": [("cost.html", "page")],
        "weight.html": [("weight.html", "page")],
        "log/2026-01-01-x.html": [("../log.html", "true")],
        "pages/about.html": [("about.html", "page")],
        "pages/terms.html": [("terms.html", "page")],
    }


def test_a_menu_of_ones_own_takes_the_place_of_ours(tmp_path: Path) -> None:
    root = write(tmp_path / "p", ONE | {"themes/hangar/menu.html": '<p>{{ href("log.html") }} of {{ frame.mark }}</p>'})
    assert publish(root, tmp_path / "site").exit_code == 0
    assert "<p>../log.html of N0000T</p>" in (tmp_path / "site/log/2026-01-01-x.html").read_text("utf-8")
    assert "<p>log.html of N0000T</p>" in (tmp_path / "site/cost.html").read_text("utf-8")
