"""A theme: templates and assets, the built-in ones overlaid file by file by the project's own."""

from __future__ import annotations

import os
from collections.abc import Mapping
from contextlib import suppress
from functools import cached_property
from pathlib import Path

from jinja2 import Environment, FileSystemBytecodeCache, FileSystemLoader, StrictUndefined

from buildlog.basics.frozen import frozen

DEFAULT = "hangar"
ASSETS = "assets"
LOOK = "look"
"""The folder of the site that holds the theme's style sheets, scripts and fonts."""


def built_in() -> Path:
    """The default theme: inside the installed package, or beside it in a checkout."""
    inside = Path(__file__).resolve().parent.parent / "themes" / DEFAULT
    return inside if inside.is_dir() else inside.parents[2] / "themes" / DEFAULT


@frozen
class Theme:
    """Folders to look in, the project's own before the built-in one."""

    folders: tuple[Path, ...]

    def environment(self, cache: Path | None = None) -> Environment:
        """Templates that escape what they are given and complain of what they are not.

        With a ``cache`` folder they are compiled once for many runs; a template that changed is compiled anew.
        """
        environment = Environment(
            bytecode_cache=_compiled(cache),
            loader=FileSystemLoader([str(folder) for folder in self.folders]),
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
            keep_trailing_newline=True,
            auto_reload=False,
            cache_size=-1,
        )
        environment.filters["plain"] = str
        return environment

    @cached_property
    def assets(self) -> Mapping[str, Path]:
        """Every asset by its name in the site; a file of the project's theme takes the place of ours."""
        found: dict[str, Path] = {}
        for folder in reversed(self.folders):
            root = folder / ASSETS
            for path in sorted(root.rglob("*")) if root.is_dir() else ():
                if path.is_file() and not path.name.startswith("."):
                    found[f"{LOOK}/{path.relative_to(root).as_posix()}"] = path
        return dict(sorted(found.items()))


def _compiled(cache: Path | None) -> FileSystemBytecodeCache | None:
    """Where compiled templates are kept; nowhere if no folder can be made there."""
    if cache is None:
        return None
    folder = cache / "templates"
    with suppress(OSError):
        folder.mkdir(parents=True, exist_ok=True)
    return FileSystemBytecodeCache(str(folder)) if os.access(folder, os.W_OK) else None


def theme_of(project_folder: Path, name: str) -> Theme | None:
    """The theme a project asks for: its own themes/NAME laid over the built-in one; None when there is none."""
    own = project_folder / "themes" / name
    if own.is_dir():
        return Theme((own, built_in()))
    return Theme((built_in(),)) if name == DEFAULT else None
