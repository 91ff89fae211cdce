"""The field reference and the manual of checks: made from the code, kept beside it, proven current by a test."""

from __future__ import annotations

import inspect
from collections.abc import Mapping
from pathlib import Path

from buildlog.audit.run import CHECKS, name_of
from buildlog.records.schema import field_reference

FOLDER = Path(__file__).parent


def pages() -> Mapping[str, str]:
    """The text of each reference file, by its name."""
    return {"fields.md": field_reference(), "checks.md": checks_manual()}


def checks_manual() -> str:
    """Every check: what must hold, why, a wrong and a right example, from the checks' own docstrings."""
    parts = [
        "# What is checked",
        "",
        (
            "Made from the checks themselves by `make reference`; a test keeps it current. "
            "Problems of reading (a date that is none, a field that is unknown) explain themselves and are not listed."
        ),
        "",
    ]
    for check in CHECKS:
        parts += [f"## {name_of(check)}", "", *_laid_out(inspect.getdoc(check) or ""), ""]
    return "\n".join(parts).rstrip() + "\n"


def _laid_out(doc: str) -> list[str]:
    """A docstring as Markdown: Why, Wrong and Right begin lines of their own."""
    lines: list[str] = []
    for line in doc.splitlines():
        head, colon, rest = line.partition(": ")
        if colon and head in {"Why", "Wrong", "Right"}:
            lines += ([""] if head == "Why" and lines and lines[-1] else []) + [
                f"- **{head}:** {rest if head == 'Why' else _code(rest)}"
            ]
        elif lines and lines[-1].startswith("- ") and line.strip():
            lines[-1] += " " + line.strip()
        else:
            lines.append(line)
    return lines


def _code(example: str) -> str:
    return f"`{example}`" if example.startswith(("{", "[", "!")) or ": [" in example.split(",", 1)[0] else example
