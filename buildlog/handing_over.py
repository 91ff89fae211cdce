"""The command that makes a package, and what it tells."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from buildlog.project_folder import cache_of, folder_of
from buildlog.telling import (
    PROBLEMS,
    counted_problems,
    counts_of,
    end_on_faults,
    progress_of,
    project_option,
    tell,
    waiting,
)

ON_PAPER = ("no-print-sign",)
"""Warnings that only printing finds, so that no audit tells them."""


@click.command(short_help="make the package for a buyer or an inspector")
@project_option
@click.option(
    "--for",
    "audience",
    required=True,
    type=click.Choice(["buyer", "inspector"]),
    help="Whose package: an inspector's tells no costs.",
)
@click.option(
    "--to",
    "target",
    type=click.Path(path_type=Path),
    metavar="FOLDER",
    help="Where it goes; its zip goes beside it. Left out: handover-buyer or handover-inspector in the project.",
)
def handover(project: Path | None, audience: str, target: Path | None) -> None:
    """Make the package: the record as a PDF, log sheets to sign, the site, the ledgers, the originals, with checksums."""
    from buildlog.basics.collecting import uncollected
    from buildlog.package import Steps
    from buildlog.package import handover as make_package
    from buildlog.text_cache import remembered

    root = folder_of(project)
    steps = Steps(progress_of, waiting())
    cache = cache_of(root)
    with uncollected(), remembered(cache) as texts:
        done = make_package(root, target or root / f"handover-{audience}", cache, audience, steps, texts)
    tell([one for one in done.problems if one.severity == "error" or one.name in ON_PAPER], done.reading, err=True)
    counts = counts_of(done.problems)
    if done.laid is None:
        click.echo(
            f"{counted_problems(counts)}: nothing was made, the package that is there stays as it was.", err=True
        )
        sys.exit(PROBLEMS)
    end_on_faults(done.laid.faults)
    click.echo(f"{done.laid.files} files, {done.laid.size / 1e6:.1f} MB, fingerprint {done.fingerprint}")
    if counts["warnings"] or counts["notes"]:
        click.echo(f"{counted_problems(counts)}: buildlog audit --audience {audience} tells them.")
    click.echo(f"Made {done.laid.folder} and {done.laid.zip.name}")
