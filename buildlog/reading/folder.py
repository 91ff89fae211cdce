"""What is in a project folder: every file by its path from the folder, without going out of it."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

from buildlog.basics.names import nearest
from buildlog.basics.problems import Place, Problem, Severity

REGISTERS = ("components", "history", "loading", "plan", "directives", "checks")
_FOLDERS = {"log", "decisions", "ledgers", "photos", "documents", "pages", "themes", *REGISTERS}
_FILES = {"project.yaml", "seals.yaml", *(f"{name}.yaml" for name in REGISTERS)}
_LEFT_ALONE = {"README.md", "LICENSE", "Makefile"}


@dataclass(frozen=True)
class Folder:
    """The files of a project, sorted by path, with links that leave the folder left out and reported."""

    root: Path
    files: tuple[str, ...]

    def under(self, folder: str, ending: str) -> list[str]:
        """The files below a folder with an ending, in order."""
        return [name for name in self.files if name.startswith(folder + "/") and name.endswith(ending)]


def scan(root: Path) -> tuple[Folder, list[Problem]]:
    """Every file of the project; hidden ones and those of hidden folders are not looked at."""
    found: list[str] = []
    problems: list[Problem] = []
    real = os.path.realpath(root)
    stack = [""]
    while stack:
        inner = stack.pop()
        try:
            listing = sorted(os.scandir(root / inner), key=lambda item: item.name)
        except OSError as error:
            problems.append(Problem(Place(inner or "."), "cannot-open", f"the folder cannot be read: {error.strerror}",
                                    "see who may read it"))
            continue
        for item in listing:
            name = f"{inner}/{item.name}" if inner else item.name
            if item.name.startswith("."):
                continue
            if item.is_symlink() and not _within(os.path.realpath(item.path), real):
                problems.append(Problem(Place(name), "outside-folder", "this is a link to something outside the project",
                                        "copy the file itself into the project"))
            elif item.is_dir(follow_symlinks=False):
                stack.append(name)
            elif item.is_file():
                found.append(name)
    return Folder(root, tuple(sorted(found))), problems + _strangers(found)


def _within(path: str, root: str) -> bool:
    return path == root or path.startswith(root + os.sep)


def _strangers(found: list[str]) -> list[Problem]:
    """Files at the top that nothing reads, when their name is close to one that would be."""
    problems = []
    for name in sorted({path.split("/", 1)[0] for path in found}):
        top = "/" in next(path for path in found if path.split("/", 1)[0] == name)
        known = _FOLDERS if top else _FILES
        near = nearest(name, known)
        if name in known or name in _LEFT_ALONE or near is None:
            continue
        problems.append(Problem(Place(name), "stranger", f"nothing reads {'the folder' if top else 'the file'} {name!r}",
                                f"did you mean  {near} ?", Severity.WARNING))
    return problems
