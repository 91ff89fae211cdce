"""A theme: templates and assets, the built-in ones overlaid file by file by the project's own."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from contextlib import suppress
from functools import cache, cached_property
from pathlib import Path

from jinja2 import BytecodeCache, Environment, FileSystemBytecodeCache, FileSystemLoader, StrictUndefined
from jinja2.bccache import Bucket

from buildlog.basics.frozen import frozen

DEFAULT = "hangar"
ASSETS = "assets"
LOOK = "look"
"""The folder of the site that holds the theme's style sheets, scripts and fonts."""


@cache
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

        They are compiled once for many runs, a project's own where there is a ``cache`` folder; one that changed is
        compiled anew.
        """
        environment = Environment(
            bytecode_cache=_Compiled(cache),
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


class _Compiled(BytecodeCache):
    """Compiled templates: ours beside the theme, as Python keeps its own modules; a project's own in its cache."""

    def __init__(self, cache: Path | None) -> None:
        own = _kept_in(cache / "templates") if cache else None
        beside = None if sys.dont_write_bytecode else _kept_in(built_in() / "__pycache__")
        self._ours, self._own = beside or own, own
        self._homes: dict[str, FileSystemBytecodeCache] = {}

    def get_bucket(self, environment: Environment, name: str, filename: str | None, source: str) -> Bucket:
        """A template as it was compiled, if it was and did not change."""
        home = self._ours if filename and Path(filename).is_relative_to(built_in()) else self._own
        if home is None:
            return Bucket(environment, self.get_cache_key(name, filename), self.get_source_checksum(source))
        bucket = home.get_bucket(environment, name, filename, source)
        self._homes[bucket.key] = home
        return bucket

    def set_bucket(self, bucket: Bucket) -> None:
        """Keeps a compiled template; if that cannot be done it is only compiled again."""
        if bucket.key in self._homes:
            with suppress(OSError):
                self._homes[bucket.key].set_bucket(bucket)


def _kept_in(folder: Path) -> FileSystemBytecodeCache | None:
    """Compiled templates of this Python in a folder; nowhere if it cannot be made or written to."""
    with suppress(OSError):
        folder.mkdir(parents=True, exist_ok=True)
    pattern = f"{sys.implementation.cache_tag}-%s.template"
    return FileSystemBytecodeCache(str(folder), pattern) if os.access(folder, os.W_OK) else None


def theme_of(project_folder: Path, name: str) -> Theme | None:
    """The theme a project asks for: its own themes/NAME laid over the built-in one; None when there is none."""
    own = project_folder / "themes" / name
    if own.is_dir():
        return Theme((own, built_in()))
    return Theme((built_in(),)) if name == DEFAULT else None
