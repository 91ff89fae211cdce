"""Lists of what rules ask of the records: built into the package, and the project's own in requirements/."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from buildlog.basics.names import suggestion
from buildlog.basics.problems import Place, Problem, Severity, shown
from buildlog.reading.desk import Desk
from buildlog.reading.registers import register_files
from buildlog.reading.source import Source
from buildlog.reading.validate import validated
from buildlog.reading.yaml_text import read_yaml
from buildlog.records.project import Project
from buildlog.records.requirements import RequirementTable

NONE = "none"
"""What project.yaml says where no list is wanted."""


@cache
def built_in() -> dict[str, RequirementTable]:
    """The tables that come with the program, by key."""
    tables = {}
    for resource in sorted((files("buildlog") / "requirements").iterdir(), key=lambda item: item.name):
        if resource.name.endswith(".yaml"):
            source = Source.of(f"buildlog/requirements/{resource.name}", resource.read_text("utf-8"))
            table = RequirementTable.model_validate(read_yaml(source)[0].value)
            tables[table.key] = table
    return tables


def the_requirements(desk: Desk, project: Project) -> tuple[RequirementTable, ...]:
    """The tables that project.yaml names; one of the project's own stands in place of a built-in one of its key."""
    own = _own(desk)
    known = {**built_in(), **own}
    if "project.yaml" not in desk.unread:
        desk.problems += _unnamed(own, project)
    chosen = {}
    for number, key in enumerate(project.requirements):
        if key in known:
            chosen[key] = known[key]
        elif key != NONE and key not in desk.unsound_keys and not _unread(desk):
            desk.problems.append(_missing(key, [*known, NONE], desk.locate("project.yaml", ("requirements", number))))
    return tuple(chosen.values())


def _own(desk: Desk) -> dict[str, RequirementTable]:
    """The project's own tables, by key."""
    tables: dict[str, RequirementTable] = {}
    for file in register_files(desk, "requirements"):
        document = desk.document(file)
        if document is None:
            continue
        table, problems = validated(RequirementTable, document, desk.context)
        desk.problems += problems
        if table is None:
            desk.note_keys(file, document.value)
        elif table.key in tables:
            desk.problems.append(_twice(table, tables[table.key], document.place(("key",))))
        else:
            tables[table.key] = table
    return tables


def _twice(table: RequirementTable, first: RequirementTable, place: Place) -> Problem:
    return Problem(
        place,
        "repeated-key",
        f"there is another list of requirements with the key {shown(table.key)}",
        "give this one another key",
        also=(Place(first.place.file),),
    )


def _unnamed(own: dict[str, RequirementTable], project: Project) -> list[Problem]:
    """Tables that were written and that nothing asks for."""
    return [
        Problem(
            Place(table.place.file),
            "list-not-used",
            f"project.yaml does not name the list of requirements {shown(key)}",
            f"write in project.yaml  requirements: {key}",
            Severity.WARNING,
        )
        for key, table in own.items()
        if key not in project.requirements
    ]


def _missing(key: str, known: list[str], place: Place) -> Problem:
    return Problem(
        place,
        "no-such-requirements",
        f"there is no list of requirements {shown(key)}",
        suggestion(key, known, "name a list of  requirements/ , or  none"),
    )


def _unread(desk: Desk) -> bool:
    """Whether a table may be in a file that could not be read."""
    return any(file.startswith("requirements") for file in desk.unread)
