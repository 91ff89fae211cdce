"""Where the project of a command is, and where what is kept aside for it goes."""

from __future__ import annotations

from pathlib import Path

import click


def folder_of(project: Path | None) -> Path:
    """The project's folder, or the end of the run with a word of advice."""
    if project is not None:
        if not (project / "project.yaml").is_file():
            raise click.UsageError(
                f"there is no project.yaml in {project}\nbegin a project with:  buildlog start FOLDER"
            )
        return project.resolve()
    here = Path.cwd()
    for folder in (here, *here.parents):
        if (folder / "project.yaml").is_file():
            return folder
    raise click.UsageError(
        "there is no project.yaml here or in any folder above\n"
        "go to your project's folder, name it with --project FOLDER, or begin one with:  "
        "buildlog start FOLDER"
    )


def cache_of(root: Path) -> Path:
    """Where pictures already made are kept: never in the project."""
    import hashlib

    from platformdirs import user_cache_path

    name = hashlib.sha256(str(root).encode()).hexdigest()[:16]
    return user_cache_path("buildlog", appauthor=False) / name
