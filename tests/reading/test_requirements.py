"""Which lists of requirements a project has: built in, its own, both, none."""

from __future__ import annotations

from pathlib import Path

from buildlog.reading.read import read_logbook
from buildlog.reading.requirements import built_in
from tests.reading.laying import held, lay, names

PROJECT = "title: A small project\naircraft: {type: Halloran Dunlin}\n"


def own(key: str, words: str = "No log seen") -> str:
    return (
        f"key: {key}\nname: Our list\nauthority: The club\nof_date: 2026\nabout: Ours.\n"
        f"rows:\n  - {{key: log, cite: Rule 4, asks: A log., by: work-records, unknown: {words}}}\n"
    )


def keys(root: Path, files: dict[str, str | bytes]) -> list[str]:
    reading = held(lay(root, files))
    assert names(reading) == []
    return [table.key for table in reading.logbook.requirements]


def test_the_built_in_list_is_there_unless_it_is_not_wanted(tmp_path: Path) -> None:
    assert keys(tmp_path / "a", {"project.yaml": PROJECT}) == ["us"]
    assert keys(tmp_path / "b", {"project.yaml": PROJECT + "requirements: none\n"}) == []
    assert keys(tmp_path / "c", {"project.yaml": PROJECT + "requirements: []\n"}) == []


def test_lists_stand_in_the_order_they_are_named_each_once(tmp_path: Path) -> None:
    project = PROJECT + "requirements: [club, us, club]\n"
    assert keys(tmp_path, {"project.yaml": project, "requirements/any-name.yaml": own("club")}) == ["club", "us"]


def test_a_list_of_the_same_key_takes_the_place_of_the_built_in_one(tmp_path: Path) -> None:
    root = lay(tmp_path, {"project.yaml": PROJECT, "requirements/us.yaml": own("us", "Nothing shown")})
    (table,) = held(root).logbook.requirements
    assert [row.unknown for row in table.rows] == ["Nothing shown"]
    assert str(table.rows[0].place) == "requirements/us.yaml:7:5"
    assert built_in()["us"].rows[0].unknown != "Nothing shown"


def test_rows_know_where_they_stand(tmp_path: Path) -> None:
    (table,) = held(lay(tmp_path, {"project.yaml": PROJECT})).logbook.requirements
    places = [row.place for row in table.rows]
    assert {place.file for place in places} == {"buildlog/requirements/us.yaml"}
    assert [place.line for place in places] == sorted({place.line for place in places})


def test_naming_a_list_that_may_be_in_a_broken_file_is_no_second_problem(tmp_path: Path) -> None:
    for number, broken in enumerate(("key: [club\n", "\tkey: club\n", "- club\n", own("club").replace("log,", "log"))):
        files = {"project.yaml": PROJECT + "requirements: club\n", "requirements/club.yaml": broken}
        told = names(read_logbook(lay(tmp_path / str(number), files)))
        assert told and "no-such-requirements" not in told, (broken, told)


def test_a_project_that_cannot_be_read_says_nothing_of_the_lists_it_names(tmp_path: Path) -> None:
    files = {"project.yaml": "title: [A\n", "requirements/club.yaml": own("club")}
    assert "list-not-used" not in names(read_logbook(lay(tmp_path, files)))
