"""The word ``gather`` of the command line: shows what it would do, asks, and does it."""

from __future__ import annotations

import sys
from datetime import timedelta
from pathlib import Path

import click

from buildlog.project_folder import folder_of
from buildlog.telling import FINE, PROBLEMS, progress_of, project_option


@click.command(short_help="take pictures off a card, and draft an entry for each working session")
@click.argument("photos", nargs=-1, required=True, metavar="PHOTOS\u2026", type=click.Path(exists=True, path_type=Path))
@project_option
@click.option("--gap", default="4 h", show_default=True, metavar="TIME", help="A longer pause begins a new session.")
@click.option("--yes", is_flag=True, help="Write without asking, as in scripts.")
def gather(photos: tuple[Path, ...], project: Path | None, gap: str, *, yes: bool) -> None:
    """Copy pictures and short films from PHOTOS (files or folders) into photos/, by day, and draft their entries.

    Repeats are found by content. Each working session gets one draft, seen by nobody but you, with its pictures in order
    and the hours guessed from the first to the last. A session ends with a pause longer than --gap, and at midnight
    unless two pictures on either side of it are within an hour. Nothing is deleted or written over.
    """
    from buildlog.reading.read import read_logbook
    from buildlog.starter.gather import gather as gathered
    from buildlog.starter.gather import plan, told

    pause = _gap(gap)
    root = folder_of(project)
    planned = plan(root, photos, pause, progress_of("looked at"))
    for line in told(planned):
        click.echo(line)
    for broken in planned.broken:
        click.echo(f"{_shown(broken.path)} is skipped: {broken.why}", err=True)
    if not planned.new:
        click.echo("Nothing new to copy; nothing was written.")
        sys.exit(PROBLEMS if planned.broken else FINE)
    _agreed(len(planned.new), len(planned.sessions), yes=yes)
    done = gathered(root, read_logbook(root).logbook, planned, progress_of("copied"))
    click.echo(f"{_counted(len(done.copied), 'file')} copied under photos/.")
    for file in done.drafts:
        click.echo(f"Began {file}")
    if done.stopped:
        click.echo(f"Stopped: {done.stopped}. Run it again for the rest.", err=True)
    elif done.drafts:
        click.echo("Each is a draft that only you see; buildlog audit tells which pictures have no words yet.")
    sys.exit(PROBLEMS if planned.broken or done.stopped else FINE)


def _agreed(files: int, drafts: int, *, yes: bool) -> None:
    """Ask on a terminal, and end the run without a yes."""
    if yes:
        return
    if not on_a_terminal():
        raise click.UsageError("nothing was written: this cannot ask here\nto write without asking, add  --yes")
    if not click.confirm(f"Copy {_counted(files, 'file')} and begin {_counted(drafts, 'draft')}?"):
        click.echo("Nothing was written.")
        sys.exit(FINE)


def on_a_terminal() -> bool:
    """Whether somebody is there to be asked."""
    return sys.stdin.isatty()


def _gap(text: str) -> timedelta:
    from buildlog.basics.problems import Misread
    from buildlog.basics.times import read_labour

    try:
        minutes = read_labour(text)
    except Misread as wrong:
        raise click.BadParameter(f"{wrong.message}; write  4 h  or  90 min", param_hint="--gap") from wrong
    if minutes <= 0:
        raise click.BadParameter("a pause of no time is none; write  4 h  or  90 min", param_hint="--gap")
    return timedelta(minutes=minutes)


def _counted(number: int, word: str) -> str:
    from buildlog.basics.names import counted

    return counted(number, word)


def _shown(path: Path) -> str:
    """A path that can be printed, whatever bytes the card's names are of."""
    return "".join(c if c.isprintable() else "?" for c in str(path))
