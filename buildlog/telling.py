"""What every command tells alike: problems, how many of them, how far long work has come."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from buildlog.basics.problems import Problem
    from buildlog.reading.read import Reading
    from buildlog.site.faults import Fault

FINE, PROBLEMS, WRONG_USE = 0, 1, 2
"""How a run ends."""

project_option = click.option(
    "--project",
    "project",
    metavar="FOLDER",
    type=click.Path(path_type=Path),
    help="The project's folder. Left out: the nearest folder upward with a project.yaml.",
)
"""Which project a command is about."""


def tell(problems: list[Problem] | tuple[Problem, ...], reading: Reading, *, err: bool = False) -> None:
    """Prints problems, each with its line and remedy."""
    from buildlog.basics.problems import as_text

    for problem in problems:
        click.echo(as_text(problem, reading.lines), err=err)
        click.echo(err=err)


def end_on_faults(faults: Sequence[Fault]) -> None:
    """Prints what kept files from being delivered, and ends the run if anything did."""
    for fault in faults:
        click.echo(f"{fault.shown}: {fault.words}\n      {fault.remedy}", err=True)
    if faults:
        sys.exit(PROBLEMS)


def counts_of(problems: list[Problem] | tuple[Problem, ...]) -> dict[str, int]:
    """How many problems there are of each weight."""
    return {f"{word}s": sum(problem.severity == word for problem in problems) for word in ("error", "warning", "note")}


def counted_problems(counts: dict[str, int]) -> str:
    """The same in words."""
    from buildlog.basics.names import counted

    said = [counted(counts[f"{word}s"], word) for word in ("error", "warning", "note") if counts[f"{word}s"]]
    return ", ".join(said) if said else "no problem"


def progress_of(what: str) -> Callable[[int, int], None] | None:
    """A line that counts, on a terminal only."""
    if not sys.stderr.isatty():
        return None

    def show(done: int, whole: int) -> None:
        end: dict[str, Any] = {"nl": done == whole, "err": True}
        click.echo(f"\r{what}: {done} of {whole}", **end)

    return show


def waiting() -> Callable[[str, float], None] | None:
    """A line that tells what a run waits for, on a terminal only."""
    if not sys.stderr.isatty():
        return None
    return lambda what, seconds: click.echo(f"\r{what} is being printed: {seconds:.0f} s ", nl=False, err=True)
