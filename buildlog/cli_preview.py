"""The word ``preview`` of the command line: joins publishing to the server that shows it."""

from __future__ import annotations

import signal
import sys
import threading
from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from buildlog.project_folder import cache_of, folder_of
from buildlog.telling import FINE, project_option

if TYPE_CHECKING:
    from buildlog.basics.problems import Problem
    from buildlog.preview.outcome import Build, Glimpse, Outcome, Progress
    from buildlog.publish import Memory, Published

_NAMED = 2


@click.command(short_help="show the site in a browser as you write, with its problems on the page")
@project_option
@click.option(
    "--audience",
    default="public",
    type=click.Choice(["public", "inspector", "buyer", "builder"]),
    show_default=True,
    help="Whose site: the builder's shows what is kept back from everybody.",
)
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    metavar="NUMBER",
    help="Where it is served; 0 for any. Left out: 8417, or the next port that is free.",
)
@click.option("--open/--no-open", "opened", default=False, help="Open it in your browser.")
def preview(project: Path | None, audience: str, port: int | None, *, opened: bool) -> None:
    """Show the site in your browser while you write: each save builds it anew, and the page follows.

    Problems are told on the page itself, over the last good one. It is served to this machine only; neither your folder
    nor the published site is touched. Ctrl-C ends it.
    """
    from buildlog.preview.board import Board
    from buildlog.preview.session import PREFERRED_PORT, NoPortError, previewing, server_at
    from buildlog.site.alone import alone

    root = folder_of(project)
    cache = cache_of(root)
    site = cache / "preview" / audience
    with alone(cache / "preview" / f"{audience}.running") as free:
        if not free:
            raise click.UsageError(f"the {audience} site of this project is being previewed already")
        try:
            server = server_at(port, site, Board())
        except NoPortError as wrong:
            raise click.UsageError(f"{wrong}\nchoose another with  --port NUMBER") from wrong
        if port is None and server.server_port != PREFERRED_PORT:
            click.echo(f"Port {PREFERRED_PORT} is taken; this preview has {server.server_port}.")
        end = _end_of_run()
        build, glimpse = makers(root, site, cache, audience)
        with previewing(root, server, build, _tell, glimpse):
            click.echo(f"Preview of the {audience} site at {server.url}  (Ctrl-C ends it)")
            sys.stdout.flush()
            if opened:
                click.launch(server.url)
            _wait(end)
    click.echo("The preview has ended.")
    sys.exit(FINE)


def _end_of_run() -> threading.Event:
    """Set when the run is asked to end, by Ctrl-C or by the system."""
    end = threading.Event()
    for name in (signal.SIGINT, signal.SIGTERM):
        signal.signal(name, lambda *_: end.set())
    return end


def _wait(end: threading.Event) -> None:
    while not end.wait(0.5):  # in steps: some systems let no signal through to a wait without end
        pass


def makers(root: Path, site: Path, cache: Path, audience: str) -> tuple[Build, Glimpse]:
    """Publishing as the preview wants it done: the whole site, and one page ahead of it. Both share what they remember."""
    kept: list[Memory] = []
    ahead: dict[Path, bytes] = {}

    def memory() -> Memory:
        from buildlog.publish import Memory

        if not kept:
            kept.append(Memory())
        return kept[0]

    def build(progress: Progress, between: Callable[[], None]) -> Outcome:
        from buildlog.basics.collecting import uncollected
        from buildlog.publish import publish
        from buildlog.site.shelf import put

        memory().between = between
        with uncollected():
            outcome = outcome_of(publish(root, site, cache, audience, progress, memory()))
        good = dict(ahead)
        ahead.clear()
        if outcome.made:
            return outcome
        for page, content in good.items():  # what was shown ahead did not hold: the last good page comes back
            put(page, content)
        return replace(outcome, written=tuple(page.relative_to(site).as_posix() for page in good))

    def glimpse(name: str) -> bool:
        from buildlog.basics.collecting import uncollected
        from buildlog.glimpse import glimpse as page_of
        from buildlog.preview.finding import file_of
        from buildlog.site.shelf import put

        page = file_of(site, name)
        if page is None:
            return False
        with uncollected():
            content = page_of(root, cache, audience, name, memory())
        if content is None or content == page.read_bytes():
            return False
        ahead.setdefault(page, page.read_bytes())
        put(page, content)
        return True

    return build, glimpse


def outcome_of(done: Published) -> Outcome:
    """What publishing did, as the preview tells it; what kept a file from being delivered is an error too."""
    from buildlog.preview.outcome import Outcome

    made = done.delivered
    if made is None:
        return Outcome(done.problems, done.reading.lines, made=False)
    problems = (*done.problems, *(_undelivered(fault.shown, fault.words, fault.remedy) for fault in made.faults))
    return Outcome(problems, done.reading.lines, made.written, made.removed, made.unchanged, made=not made.faults)


def _undelivered(shown: str, words: str, remedy: str) -> Problem:
    from buildlog.basics.problems import Place, Problem

    return Problem(Place(shown), "not-delivered", words, remedy)


def _tell(names: tuple[str, ...], outcome: Outcome, seconds: float) -> None:
    """One line for each build."""
    from buildlog.basics.names import counted
    from buildlog.preview.panel import counted_problems

    what = ", ".join(names[:_NAMED]) + (f" and {len(names) - _NAMED} more" if len(names) > _NAMED else "")
    told = f"{what}: " if what else ""
    if outcome.failure:
        told += f"the program failed ({outcome.failure}); the last good site stays"
    elif not outcome.made:
        told += f"{counted_problems(outcome)}; the last good site stays"
    else:
        changed = len(outcome.written) + len(outcome.removed)
        told += f"{counted(changed, 'file')} of the site changed" if changed else "nothing changed"
        told += f"; {counted_problems(outcome)}" if counted_problems(outcome) != "no problem" else ""
    with suppress(OSError):  # whoever read the lines may have gone; the pages have not
        click.echo("".join(c if c.isprintable() else "?" for c in f"{told} ({seconds:.2f} s)"))
        sys.stdout.flush()
