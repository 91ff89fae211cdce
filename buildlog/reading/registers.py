"""The registers beside the log, each one file or a folder of files of the same name."""

from __future__ import annotations

from typing import Any, TypeVar, cast

from buildlog.basics.problems import Misread, Place, Problem, shown
from buildlog.reading.desk import Desk
from buildlog.reading.validate import validated
from buildlog.reading.yaml_text import Document
from buildlog.records.loading import Loading
from buildlog.records.registers import Component
from buildlog.records.types import PLACE_KEY, Record, read_key

R = TypeVar("R", bound=Record)


def register_files(desk: Desk, name: str) -> list[str]:
    """A register's files: one, or those of the folder of its name."""
    single = f"{name}.yaml"
    several = desk.folder.under(name, ".yaml")
    return ([single] if single in desk.folder.files else []) + several


def register(desk: Desk, name: str, model: type[R]) -> R:
    """A register of lists; the lists of several files follow one another."""
    merged: dict[str, Any] = {}
    for file in register_files(desk, name):
        document = desk.document(file)
        if document is None:
            continue
        record, problems = validated(model, document, desk.context)
        desk.problems += problems
        if record is None:
            desk.note_keys(file, document.value)
            continue
        for field_name in model.model_fields:
            value = getattr(record, field_name)
            if isinstance(value, tuple):
                merged[field_name] = merged.get(field_name, ()) + value
            elif value is not None:
                merged[field_name] = value
    empty = {n: f.get_default(call_default_factory=True) for n, f in model.model_fields.items()}
    return cast("R", model.model_construct(**{**empty, **merged}))


def the_loading(desk: Desk) -> Loading | None:
    """The loading, of which there is one."""
    files = register_files(desk, "loading")
    desk.problems += [
        Problem(
            Place(file),
            "second-loading",
            f"the loading is already in {files[0]}; there is one for an aircraft",
            f"put what is here into {files[0]}",
            also=(Place(files[0]),),
        )
        for file in files[1:]
    ]
    document = desk.document(files[0]) if files else None
    if document is None:
        return None
    loading, problems = validated(Loading, document, desk.context)
    desk.problems += problems
    if loading is None:
        desk.note_keys(files[0], document.value)
    return loading


def the_components(desk: Desk) -> dict[str, Component]:
    """The register of components, by key; each is validated alone so that one fault does not cost the others."""
    components: dict[str, Component] = {}
    for file in register_files(desk, "components"):
        document = desk.document(file)
        if document is None:
            continue
        if not isinstance(document.value, dict):
            desk.unread.add(file)
            desk.problems.append(
                Problem(
                    document.place(()),
                    "wrong-shape",
                    "a group of  key: {name: \u2026}  is wanted",
                    "write  engine: {name: Engine, system: engine}",
                )
            )
            continue
        for key in (key for key in document.value if key != PLACE_KEY):
            component, problems = validated(Component, document, desk.context, (key,))
            desk.problems += problems + _misnamed(key, document)
            if key in components:
                desk.problems.append(
                    Problem(
                        document.place((key,), key=True),
                        "repeated-key",
                        f"the component {shown(key)} stands in two files",
                        "keep one of them",
                        also=(components[key].place,),
                    )
                )
            elif component is not None:
                components[key] = component
            else:
                desk.unsound_keys.add(key)
    return components


def _misnamed(key: str, document: Document) -> list[Problem]:
    """A key under which no entry could name its component."""
    try:
        read_key(key)
    except Misread as trouble:
        return [Problem(document.place((key,), key=True), trouble.name, trouble.message, trouble.remedy)]
    return []
