"""The words of the command line, in the order a builder meets them. The only place that asks the clock."""

from __future__ import annotations

import atexit
import os
import sys

import click

from buildlog import VERSION

TYPE_CHECKING = False
if TYPE_CHECKING:
    from datetime import date
    from typing import NoReturn

WORDS = {
    "start": ("buildlog.cli_words", "lay out a new project that publishes at once"),
    "entry": ("buildlog.cli_words", "begin an entry"),
    "gather": ("buildlog.cli_gather", "take pictures off a card, and draft an entry for each working session"),
    "audit": ("buildlog.cli_words", "tell every problem, with file, line and remedy"),
    "totals": ("buildlog.cli_words", "cost, hours, weight and balance, what is open"),
    "publish": ("buildlog.cli_publish", "compile the site"),
    "preview": ("buildlog.cli_preview", "show the site in a browser as you write, with its problems on the page"),
    "handover": ("buildlog.handing_over", "make the package for a buyer or an inspector"),
    "verify": ("buildlog.cli_words", "check a package against its checksums and seals"),
    "seal": ("buildlog.cli_words", "fingerprint signed entries, so that a later change shows"),
    "schema": ("buildlog.cli_words", "JSON Schema of each kind of file, for editors"),
}
"""Each command with the module it is in and what it does; the module is loaded when the command is used."""


class InOrder(click.Group):
    """Commands listed in the order a builder meets them, without loading one of them."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - click calls it so
        """The order they are written in."""
        return list(WORDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """One of them, out of its module."""
        if cmd_name not in WORDS:
            return None
        import importlib

        found: click.Command = getattr(importlib.import_module(WORDS[cmd_name][0]), cmd_name)
        return found

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        """The list in the help."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, words) for name, (_, words) in WORDS.items()])


@click.group(cls=InOrder, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(VERSION, prog_name="buildlog")
@click.pass_context
def main(ctx: click.Context) -> None:
    """Keep the record of an aircraft project in plain files, and publish it.

    A project is a folder: entries in log/, photos in photos/, and a project.yaml. Begin one with
    "buildlog start FOLDER"; write; then "buildlog publish".
    """
    ctx.obj = _today
    if hasattr(sys.stdout, "reconfigure"):
        sys.stdout.reconfigure(encoding="utf-8", errors="replace")


def run() -> NoReturn:
    """The program as a shell calls it: it ends without taking apart all that it holds, which takes as long as a page."""
    code = 0
    try:
        main()
    except SystemExit as end:
        code = end.code if isinstance(end.code, int) else 1 if end.code else 0
        atexit._run_exitfuncs()  # noqa: SLF001 - what Python itself calls first at the end
    try:
        sys.stdout.flush()
        sys.stderr.flush()
    except OSError:  # nobody reads any more
        code = code or 120
    os._exit(code)


def _today() -> date:
    from datetime import datetime

    return datetime.now().astimezone().date()
