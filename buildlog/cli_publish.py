"""The word ``publish`` of the command line: compiles the site, or sees that there is nothing to do."""

from __future__ import annotations

import os
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from buildlog.project_folder import cache_of, folder_of
from buildlog.telling import PROBLEMS, counted_problems, counts_of, end_on_faults, progress_of, project_option, tell

if TYPE_CHECKING:
    from buildlog.publish import Published
    from buildlog.reworded import Standing
    from buildlog.still import Look, Still, Told


@click.command(short_help="compile the site")
@project_option
@click.option(
    "--to",
    "target",
    type=click.Path(path_type=Path),
    metavar="FOLDER",
    help="Where the site goes. Left out:  site:  of project.yaml, else site/ in the project.",
)
@click.option(
    "--audience",
    default="public",
    type=click.Choice(["public", "inspector", "buyer", "builder"]),
    show_default=True,
    help="Whose site. Any but the public one needs --to.",
)
def publish(project: Path | None, target: Path | None, audience: str) -> None:
    """Compile the site. With an error in the content nothing is touched; the site that is there stays."""
    from buildlog.basics.collecting import uncollected

    root = folder_of(project)
    if target is None and audience != "public":
        raise click.UsageError(
            f"say with --to FOLDER where the site for the {audience} goes, so that it does not take "
            "the place of the public one"
        )
    with uncollected():
        _publish(root, target.resolve() if target else None, audience)


def _publish(root: Path, target: Path | None, audience: str) -> None:
    """The whole site, or no more than what has to be done of it."""
    from buildlog.still import Still

    still = Still(root, cache_of(root), audience, str(target or ""))
    look = still.look()
    if look is not None and not look.moved:
        _say(look.told, 0, look.told.files, 0)
        return
    changed = _reworded(still, look) if look else None
    if look is not None and changed is not None:
        _say(look.told, changed, look.told.files - changed, 0)
        return
    still.before()
    from buildlog.publish import Memory
    from buildlog.publish import publish as compile_site
    from buildlog.reworded import store
    from buildlog.site.pages_before import PagesBefore
    from buildlog.still import program
    from buildlog.text_cache import TextCache

    mark, cache = os.urandom(8).hex(), TextCache(still.cache)
    memory = Memory(cache.load(), pages=None, before=PagesBefore(still.pages, program()))

    def write_down(standing: Standing) -> None:
        """For the next run, which may find only words changed; what stopped by errors is remembered below."""
        store(standing, still.standing, mark)
        cache.save(memory.texts)

    memory.write_down = write_down
    done = compile_site(root, target, still.cache, audience, progress_of("photos"), memory)
    if done.standing is None:
        cache.save(memory.texts)
    told = _finished(done)
    still.keep(told, memory.texts.digest, mark)
    delivered = done.delivered
    if delivered is not None:
        _say(told, len(delivered.written), len(delivered.unchanged), len(delivered.removed))


def _reworded(still: Still, look: Look) -> int | None:
    """How many pages were written where only the words of some texts changed; None where that is not all."""
    from buildlog.reworded import reworded, stored
    from buildlog.site.folder import exchange
    from buildlog.site.theme import theme_of
    from buildlog.still import stamp_of
    from buildlog.text_cache import TextCache

    standing = stored(still.standing, look.mark)
    theme = theme_of(still.root, standing.theme) if standing else None
    if standing is None or theme is None:
        return None
    cache = TextCache(still.cache)
    texts = cache.load(look.moved)
    files = still.listing(look.told.target).files
    pages = reworded(still.root, files, look.moved, standing, texts, lambda: theme.environment(still.cache))
    target = Path(look.told.target).resolve()
    delivered = exchange(pages, target) if pages is not None else None
    if delivered is None:
        return None
    end_on_faults(delivered.faults)
    cache.save(texts)
    look = replace(look, made=look.made | {str(target / name): stamp_of(target / name) for name in delivered.written})
    still.keep(look.told, texts.digest, look.mark, look)
    return len(delivered.written)


def _finished(done: Published) -> Told:
    """What is to be told of a publication; one that failed tells why and ends the run."""
    from buildlog.still import Told

    tell([problem for problem in done.problems if problem.severity == "error"], done.reading, err=True)
    counts = counts_of(done.problems)
    if done.delivered is None:
        click.echo(
            f"{counted_problems(counts)}: nothing was published, the site that is there stays as it was.", err=True
        )
        sys.exit(PROBLEMS)
    end_on_faults(done.delivered.faults)
    problems = counted_problems(counts) if counts["warnings"] or counts["notes"] else ""
    files = len(done.delivered.written) + len(done.delivered.unchanged)
    return Told(done.pages, done.pictures, files, done.notes, problems, str(done.target))


def _say(told: Told, written: int, unchanged: int, removed: int) -> None:
    click.echo(
        f"{told.pages} pages and {told.pictures} pictures: {written} file{'s' if written != 1 else ''} written, "
        f"{unchanged} as they were, {removed} removed."
    )
    for note in told.notes:
        click.echo(note)
    if told.problems:
        click.echo(f"{told.problems}: buildlog audit tells them.")
    click.echo(f"Open {Path(told.target) / 'index.html'}")
