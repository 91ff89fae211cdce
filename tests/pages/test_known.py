"""Uncertain dates and the ways facts are told, in words."""

from __future__ import annotations

from pathlib import Path

import pytest

from buildlog.basics.dates import read_hazy
from buildlog.pages.known import hazy_words, in_words, is_file, project_file
from buildlog.pages.words import Words
from tests.making import PROJECT, read


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("2004-06-14", "June 14, 2004"),
        ("2004-06", "June 2004"),
        ("2004-06~", "about June 2004"),
        ("2001", "2001"),
        ("2001~", "about 2001"),
        ("2001?", "perhaps 2001"),
        ("2001%", "perhaps about 2001"),
        ("2006-23", "autumn 2006"),
        ("199X", "1990s"),
        ("19XX", "1900 to 1999"),
        ("1998/2003", "1998 to 2003"),
        ("../2006-11", "no later than November 2006"),
        ("2004/..", "from 2004 on"),
        ("2004-XX", "2004"),
        ("2004-06-XX", "June 2004"),
        ("2005-21/2006-22~", "spring 2005 to about summer 2006"),
    ],
)
def test_uncertain_dates_read_as_they_are_said(tmp_path: Path, written: str, told: str) -> None:
    words = Words(read(tmp_path, {}).logbook)
    assert hazy_words(read_hazy(written), words) == told


def test_no_day_is_told_where_days_may_not_be_seen(tmp_path: Path) -> None:
    from buildlog.records.audience import seen_by

    files: dict[str, str | bytes] = {"project.yaml": PROJECT.replace("costs: full", "costs: full, exact_dates: no")}
    words = Words(seen_by(read(tmp_path, files).logbook, "public"))
    assert hazy_words(read_hazy("2004-06-14"), words) == "June 2004"


def test_keys_read_as_words_and_paths_count_from_the_project() -> None:
    assert in_words("time_since_new") == "Time since new"
    assert project_file("../../documents/tag.jpg") == project_file("./documents/tag.jpg") == "documents/tag.jpg"
    assert is_file("../documents/tag.jpg")
    assert not is_file("Tag no. 17")
