"""What is in a project folder: every file by its path from the folder, without going out of it."""

from __future__ import annotations

import os
from bisect import bisect_left
from pathlib import Path

from buildlog.basics.frozen import frozen
from buildlog.basics.names import nearest
from buildlog.basics.problems import Place, Problem, Severity, shown

REGISTERS = ("components", "history", "loading", "plan", "directives", "checks", "requirements")
_FOLDERS = {"log", "decisions", "ledgers", "photos", "documents", "pages", "themes", *REGISTERS}
_FILES = {"project.yaml", "seals.yaml", *(f"{name}.yaml" for name in REGISTERS)}
_ENDINGS = {"log": ".md", "decisions": ".md", "pages": ".md", "ledgers": ".csv", **dict.fromkeys(REGISTERS, ".yaml")}
_TEXTS = (".md", ".markdown", ".mdown", ".txt", ".csv", ".tsv", ".yaml", ".yml", ".xls", ".xlsx", ".ods")
_LEFT_ALONE = {"README.md", "LICENSE", "Makefile"}


@frozen
class Folder:
    """The files of a project, sorted by path, with links that leave the folder left out and reported."""

    root: Path
    files: tuple[str, ...]

    def under(self, folder: str, ending: str) -> list[str]:
        """The files below a folder with an ending, in order."""
        first, last = (bisect_left(self.files, f"{folder}{end}") for end in "/0")  # 0 is the sign after /
        return [name for name in self.files[first:last] if name.endswith(ending)]


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
            problems.append(
                Problem(
                    Place(inner or "."),
                    "cannot-open",
                    f"the folder cannot be read: {error.strerror}",
                    "see who may read it, as with  ls -ld",
                )
            )
            continue
        for item in listing:
            name = f"{inner}/{item.name}" if inner else item.name
            if item.name.startswith("."):
                continue
            if not item.name.isprintable():  # also names that are not UTF-8, which arrive as lone surrogates
                readable = "".join(c if c.isprintable() else "?" for c in name)
                problems.append(
                    Problem(
                        Place(readable),
                        "odd-name",
                        "the name of this file holds characters that cannot be shown",
                        "give it a plain name",
                    )
                )
            elif item.is_symlink() and not _within(os.path.realpath(item.path), real):
                problems.append(
                    Problem(
                        Place(name),
                        "outside-folder",
                        "this is a link to something outside the project",
                        "copy the file itself into the project",
                    )
                )
            elif item.is_dir(follow_symlinks=False):
                stack.append(name)
            elif item.is_file():
                found.append(name)
            elif item.is_symlink():
                what = "another folder" if item.is_dir() else "nothing"
                problems.append(
                    Problem(
                        Place(name),
                        "blind-link",
                        f"this is a link to {what}, and is not followed",
                        "put the files themselves in its place",
                        Severity.WARNING,
                    )
                )
    return Folder(root, tuple(sorted(found))), problems + _strangers(found)


def _within(path: str, root: str) -> bool:
    return path == root or path.startswith(root + os.sep)


def _strangers(found: list[str]) -> list[Problem]:
    """Files at the top that nothing reads, when their name is close to one that would be."""
    problems, tops = [], {path.partition("/")[:2]: None for path in found}
    for name, slash in sorted(tops):
        top = bool(slash)
        known = _FOLDERS if top else _FILES
        near = nearest(name, known)
        if name in known or name in _LEFT_ALONE or near is None:
            continue
        problems.append(_unread(name, f"the {'folder' if top else 'file'} {shown(name)}", f"did you mean  {near} ?"))
    return problems + [
        _unread(name, shown(name), f"save it with the ending  {_ENDINGS[_top(name)]} if it is to be read")
        for name in found
        if _wrong_ending(name)
    ]


def _unread(name: str, what: str, remedy: str) -> Problem:
    return Problem(Place(name), "stranger", f"nothing reads {what}", remedy, Severity.WARNING)


def _top(name: str) -> str:
    return name.split("/", 1)[0]


def _wrong_ending(name: str) -> bool:
    """Whether a text in a folder that is read has an ending by which it is not."""
    right = _ENDINGS.get(_top(name)) if "/" in name else None
    return right is not None and name.casefold().endswith(_TEXTS) and not name.endswith(right)
