"""Who may import whom, read from the imports themselves; and the house's sizes."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parent.parent / "buildlog"
MAY_IMPORT = {
    "basics": set(),
    "records": {"basics"},
    "reading": {"basics", "records"},
    "figures": {"basics", "records"},
    "audit": {"basics", "records", "figures"},
    "pages": {"basics", "records", "figures"},
    "site": {"basics"},
    "handover": {"basics", "records", "figures", "pages", "site"},
    "preview": {"basics", "site"},
    "starter": {"basics", "records"},
    "reference": {"basics", "records", "audit"},
}
TOUCH_FILES = {"reading", "site", "starter", "handover", "preview", "reference"}


def modules() -> list[Path]:
    return sorted(path for path in PACKAGE.rglob("*.py") if "themes" not in path.parts)


def layer(path: Path) -> str:
    inside = path.relative_to(PACKAGE).parts
    return inside[0] if len(inside) > 1 else ""


def imports(path: Path) -> set[str]:
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module)
        elif isinstance(node, ast.Import):
            found |= {name.name for name in node.names}
    return found


@pytest.mark.parametrize("path", modules(), ids=lambda path: path.relative_to(PACKAGE).as_posix())
def test_a_layer_imports_only_what_lies_below_it(path: Path) -> None:
    here = layer(path)
    if not here:
        return
    ours = {name.split(".")[1] for name in imports(path) if name.startswith("buildlog.")}
    assert ours <= MAY_IMPORT[here] | {here}, f"{path} reaches up or sideways"


def test_nothing_but_the_command_line_asks_the_clock() -> None:
    for path in modules():
        if path.name != "cli.py":
            text = path.read_text("utf-8")
            for word in ("date.today(", "datetime.now(", "time.time(", "datetime.utcnow("):
                assert word not in text, f"{path}: {word}"


def test_only_some_layers_touch_files() -> None:
    for path in modules():
        if layer(path) and layer(path) not in TOUCH_FILES:
            text = path.read_text("utf-8")
            for word in ("open(", ".read_text(", ".write_text(", ".read_bytes(", "os.scandir"):
                for other in ("_open(", "def open(", "os.fdopen("):  # the last is of pipes
                    text = text.replace(other, "")
                assert word not in text, f"{path}: {word}"


def test_nothing_imports_the_command_line() -> None:
    for path in modules():
        if path.name != "__main__.py":
            assert "buildlog.cli" not in imports(path), path


def test_modules_and_functions_keep_to_the_house_sizes() -> None:
    for path in modules():
        text = path.read_text("utf-8")
        assert text.count("\n") <= 300, f"{path} is {text.count(chr(10))} lines long"
        for node in ast.walk(ast.parse(text)):
            if isinstance(node, ast.FunctionDef):
                assert (node.end_lineno or 0) - node.lineno < 60, f"{path}: {node.name} is too long"


def test_every_public_name_is_explained() -> None:
    for path in modules():
        tree = ast.parse(path.read_text("utf-8"))
        assert ast.get_docstring(tree), path
        for node in tree.body:
            if isinstance(node, (ast.FunctionDef, ast.ClassDef)) and not node.name.startswith("_"):
                assert ast.get_docstring(node), f"{path}: {node.name}"


def test_other_words_in_an_entry_need_no_figures() -> None:
    """To put words into their page takes half as long where nothing is loaded that works figures out or draws."""
    code = "import buildlog.reworded, buildlog.pages.entry, sys; print(*sys.modules)"
    loaded = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split()
    assert "buildlog.pages.entry" in loaded
    assert not {"buildlog.figures.figures", "buildlog.pages.charts", "buildlog.audit.leaks", "PIL.Image"} & {*loaded}
