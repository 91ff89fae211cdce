"""The case files: what the reader says of each scene, and that every problem it knows has a scene."""

from __future__ import annotations

import ast
import re
from collections import Counter
from pathlib import Path

import pytest

from buildlog.basics.problems import as_text
from buildlog.reading.read import read_logbook
from tests.casefile import Scene, accept, scenes

CASES = Path(__file__).parent / "cases"
FILES = sorted(CASES.glob("*.md"))
ALL = [(path, scene) for path in FILES for scene in scenes(path)]
PACKAGE = Path(__file__).parent.parent / "buildlog"

# Problems that no text in a Markdown file can bring about; each has a test in Python.
TESTED_ELSEWHERE = {
    "not-utf-8": "a case file is UTF-8 itself: reading/test_files.py",
    "huge-file": "five million bytes: reading/test_files.py",
    "cannot-open": "wants a file that may not be read: reading/test_files.py",
    "blind-link": "wants a symbolic link: reading/test_files.py",
    "odd-name": "wants a file name that cannot be shown: reading/test_files.py",
    "odd-character": "wants a character that nobody can see: reading/test_yaml_text.py",
    "no-currency": "the reader always knows the project's currency: basics/test_money.py",
}


@pytest.mark.parametrize(("path", "scene"), ALL, ids=[f"{path.stem}: {scene.heading}" for path, scene in ALL])
def test_scene(path: Path, scene: Scene, tmp_path: Path, request: pytest.FixtureRequest) -> None:
    said = says(scene.lay_out(tmp_path))
    if request.config.getoption("--accept") and said != scene.says:
        accept(path, scene.heading, said)
        return
    assert said == scene.says


def says(root: Path) -> str:
    """All that the reader reports of a folder."""
    reading = read_logbook(root)
    return "".join(as_text(problem, reading.lines) + "\n" for problem in reading.problems) or "nothing\n"


def test_headings_name_one_scene_each() -> None:
    assert ALL
    for path in FILES:
        twice = [heading for heading, count in Counter(scene.heading for scene in scenes(path)).items() if count > 1]
        assert not twice, f"{path.name}: {twice}"
    assert all(scene.says for _, scene in ALL)


def names_in_the_code() -> set[str]:
    """Every name that the packages give a Problem or a Misread, however it gets there."""
    found: set[str] = set()
    for package in ("basics", "records", "reading"):
        for path in (PACKAGE / package).glob("*.py"):
            for node in ast.walk(ast.parse(path.read_text("utf-8"))):
                found |= _names(node)
    return found


def _names(node: ast.AST) -> set[str]:
    if isinstance(node, ast.Call) and getattr(node.func, "id", "") in {"Problem", "Misread"}:
        at = 0 if getattr(node.func, "id", "") == "Misread" else 1
        given = node.args[at]
        if isinstance(given, ast.Constant):
            return {str(given.value)}
    if isinstance(node, ast.Constant) and isinstance(node.value, str):  # names that reach a Problem by a variable
        return {node.value} if re.fullmatch(r"(no-such|missing)-[a-z]+", node.value) else set()
    return set()


def names_told() -> set[str]:
    return {
        name
        for _, scene in ALL
        for name in re.findall(r"^\S.*?: (?:error|warning|note) ([a-z0-9-]+): ", scene.says or "", re.MULTILINE)
    }


def test_every_problem_has_a_scene() -> None:
    names = names_in_the_code()
    assert len(names) > 60
    assert names - names_told() - set(TESTED_ELSEWHERE) == set()


def test_the_excuses_are_needed() -> None:
    assert set(TESTED_ELSEWHERE) <= names_in_the_code()
    assert not set(TESTED_ELSEWHERE) & names_told()
    for where in TESTED_ELSEWHERE.values():
        assert (Path(__file__).parent / where.rsplit(" ", 1)[1]).is_file()


def test_every_problem_told_is_one_the_code_has() -> None:
    assert names_told() <= names_in_the_code()


def told() -> list[tuple[str, str, str]]:
    """(heading, message, remedy) of every problem in the case files."""
    found = []
    for _, scene in ALL:
        for block in re.split(r"\n(?=\S)", (scene.says or "").rstrip("\n")):
            head, *rest = block.split("\n")
            if head == "nothing":
                continue
            message = re.fullmatch(r"\S.*?: (?:error|warning|note) [a-z0-9-]+: (.*)", head)
            assert message, (scene.heading, head)
            remedy = [line.strip() for line in rest if line.startswith("      ") and not line.startswith("      |")]
            found.append(
                (scene.heading, message[1], "\n".join(line for line in remedy if not line.startswith("see also")))
            )
    return found


def test_messages_begin_in_lower_case_and_say_what_to_do() -> None:
    for heading, message, remedy in told():
        assert message[0] in "'\"&:" or message[0].islower() or message[0].isdigit() or message.startswith("HTML"), (
            message
        )
        assert not message.endswith("."), message
        assert remedy, f"{heading}: no remedy for {message!r}"


def test_messages_hold_no_word_of_the_machinery() -> None:
    for heading, message, remedy in told():
        for word in ("None", "True", "Place(", "Decimal(", "Misread", "pydantic", "input should", "{'", "object at"):
            assert word not in message + remedy, (heading, message)
