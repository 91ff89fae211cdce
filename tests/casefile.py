"""Case files: Markdown in which scenes show content files and what the reader says of them.

A scene begins with a ``## heading``. A fenced block whose info has a second word is a file of that path; the block
``text says`` holds what the reader reports, or ``nothing``. A project.yaml is supplied where a scene gives none, unless
a block ``text without`` names it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from pathlib import Path

PROJECT = """\
title: A small project
aircraft: {type: Halloran Dunlin}
people:
  owner: {name: H. Arden, role: owner}
  mechanic: {name: R. Thorne, role: mechanic}
"""
_OPENS = re.compile(r"(`{3,}|~{3,})\s*(\S*) ?(.*)")


@dataclass
class Scene:
    """One scene: its files, what is to be said of them, and where in the case file that stands."""

    heading: str
    files: dict[str, str] = field(default_factory=dict)
    without: list[str] = field(default_factory=list)
    says: str | None = None
    says_lines: tuple[int, int] = (0, 0)

    def lay_out(self, root: Path) -> Path:
        """The scene's files below ``root``."""
        files = {"project.yaml": PROJECT} | self.files
        for name in self.without:
            files.pop(name, None)
        for name, content in files.items():
            path = root / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(content, encoding="utf-8", newline="")
        return root


def scenes(path: Path) -> list[Scene]:
    """The scenes of a case file, in order."""
    found: list[Scene] = []
    lines = path.read_text(encoding="utf-8").split("\n")
    at = 0
    while at < len(lines):
        opens = _OPENS.fullmatch(lines[at])
        if lines[at].startswith("## "):
            found.append(Scene(lines[at][3:]))
        elif opens:
            end = next(n for n in range(at + 1, len(lines)) if lines[n] == opens[1])
            _take(found[-1], opens[3], lines[at + 1 : end], (at + 1, end))
            at = end
        at += 1
    return found


def _take(scene: Scene, name: str, lines: list[str], where: tuple[int, int]) -> None:
    content = "".join(line + "\n" for line in lines)
    if name == "says":
        scene.says, scene.says_lines = content, where
    elif name == "without":
        scene.without = lines
    elif name:
        scene.files[name] = content


def accept(path: Path, heading: str, said: str) -> None:
    """The case file with another ``says`` block under a heading."""
    scene = next(scene for scene in scenes(path) if scene.heading == heading)
    lines = path.read_text(encoding="utf-8").split("\n")
    begin, end = scene.says_lines
    lines[begin:end] = said.rstrip("\n").split("\n")
    path.write_text("\n".join(lines), encoding="utf-8")
