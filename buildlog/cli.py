"""The words of the command line. The only place that asks the clock, and the only one that prints."""

from __future__ import annotations

import sys
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from buildlog import VERSION
from buildlog.cli_gather import gather
from buildlog.cli_preview import preview
from buildlog.cli_publish import publish
from buildlog.handing_over import handover
from buildlog.project_folder import folder_of as _folder
from buildlog.telling import FINE, PROBLEMS
from buildlog.telling import counted_problems as _counted
from buildlog.telling import counts_of as _counts
from buildlog.telling import project_option as _project
from buildlog.telling import tell as _tell

if TYPE_CHECKING:
    pass


class InOrder(click.Group):
    """Commands listed in the order a builder meets them."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - click calls it so
        """The order they are written in."""
        return list(self.commands)


@click.group(cls=InOrder, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(VERSION, prog_name="buildlog")
def main() -> None:
    """Keep the record of an aircraft project in plain files, and publish it.

    A project is a folder: entries in log/, photos in photos/, and a project.yaml. Begin one with
    "buildlog start FOLDER"; write; then "buildlog publish".
    """
    if hasattr(sys.stdout, "reconfigure"):
        sys.stdout.reconfigure(encoding="utf-8", errors="replace")


def _day(text: str | None) -> date | None:
    from buildlog.basics.dates import read_date
    from buildlog.basics.problems import Misread

    if text is None:
        return None
    try:
        return read_date(text)
    except Misread as wrong:
        raise click.BadParameter(f"{wrong.message}; {wrong.remedy}") from wrong


@main.command(short_help="lay out a new project that publishes at once")
@click.argument("folder", type=click.Path(path_type=Path))
@click.option(
    "--type", "aircraft", default="My aircraft", metavar="NAME", help="The aircraft's type, for project.yaml."
)
@click.option("--mark", default=None, metavar="MARK", help="Its registration mark.")
def start(folder: Path, aircraft: str, mark: str | None) -> None:
    """Lay out a new project in FOLDER. It publishes at once, with one entry that explains itself."""
    from buildlog.starter.start import NotEmptyError, lay_out

    try:
        made = lay_out(folder, aircraft, mark, _today())
    except NotEmptyError as wrong:
        raise click.UsageError(str(wrong)) from wrong
    click.echo(f"Laid out {folder}:")
    for name in made:
        click.echo(f"  {name}")
    click.echo(
        f"\nNow:  cd {folder}\n      buildlog publish      then open site/index.html\n"
        '      buildlog entry "What I did today"'
    )


@main.command(short_help="begin an entry")
@click.argument("title")
@_project
@click.option(
    "--date", "day", default=None, metavar="DAY", help="The day it is about, as in 2026-07-04. Left out: today."
)
@click.option("--edit", is_flag=True, help="Open the new entry in your editor ($VISUAL or $EDITOR).")
def entry(title: str, project: Path | None, day: str | None, *, edit: bool) -> None:
    """Begin an entry called TITLE, with the jobs and components of your own plan and register at hand."""
    from buildlog.reading.read import read_logbook
    from buildlog.starter.entry import begin

    root = _folder(project)
    made = begin(root, read_logbook(root).logbook, title, _day(day) or _today())
    click.echo(f"Began {made.relative_to(root)}")
    if edit:
        click.edit(filename=str(made))


main.add_command(gather)


@main.command(short_help="tell every problem, with file, line and remedy")
@_project
@click.option("--strict", is_flag=True, help="Fail on warnings too.")
@click.option(
    "--audience",
    default="public",
    type=click.Choice(["public", "inspector", "buyer"]),
    show_default=True,
    help="Whose eyes to check the text for.",
)
@click.option("--explain", "name", default=None, metavar="NAME", help="Tell what the check of that name holds to.")
def audit(project: Path | None, audience: str, name: str | None, *, strict: bool) -> None:
    """Read everything and tell every problem, the weightiest first, with file, line and what to type."""
    from buildlog.audit.run import by_weight
    from buildlog.basics.names import counted
    from buildlog.check import check
    from buildlog.explained import explanation

    if name is not None:
        return click.echo(explanation(name))
    reading, worked, problems = check(_folder(project), audience=audience, pictures=True)
    _tell(by_weight(problems), reading)
    counts = _counts(problems)
    click.echo(f"{counted(len(worked.logbook.entries), 'entry', 'entries')} read: {_counted(counts)}.")
    sys.exit(PROBLEMS if counts["errors"] or (strict and counts["warnings"]) else FINE)


@main.command(short_help="cost, hours, weight and balance, what is open")
@_project
@click.option("--json", "as_json", is_flag=True, help="Everything, as JSON (schema buildlog/figures/1).")
@click.option("--on", "on", default=None, metavar="DAY", help="The state at the end of that day, as in 2026-07-04.")
def totals(project: Path | None, on: str | None, *, as_json: bool) -> None:
    """Tell the state: cost, hours, weight, what is open."""
    import json

    from buildlog.check import check
    from buildlog.pages.record import record
    from buildlog.pages.terminal import totals_text
    from buildlog.pages.words import Words

    reading, worked, problems = check(_folder(project), _day(on))
    counts = _counts(problems)
    if counts["errors"]:
        _tell([problem for problem in problems if problem.severity == "error"], reading, err=True)
        click.echo(f"{_counted(counts)}; what they touch is not in the figures.", err=True)
    if as_json:
        click.echo(json.dumps(record(worked, counts), indent=1, ensure_ascii=False))
    else:
        click.echo(totals_text(worked, Words(worked.logbook)))
    sys.exit(PROBLEMS if counts["errors"] else FINE)


main.add_command(publish)


main.add_command(preview)
main.add_command(handover)


@main.command(short_help="check a package against its checksums and seals")
@click.argument("package", type=click.Path(path_type=Path))
def verify(package: Path) -> None:
    """Check a PACKAGE, its folder or its zip: what has been changed, taken away or added since it was made."""
    from buildlog.handover.verify import NoPackageError
    from buildlog.handover.verify import verify as verified

    try:
        found = verified(package)
    except NoPackageError as wrong:
        raise click.UsageError(str(wrong)) from wrong
    for line in found.told():
        click.echo(line)
    sys.exit(PROBLEMS if found.faults else FINE)


@main.command(short_help="fingerprint signed entries, so that a later change shows")
@click.argument("entries", nargs=-1, metavar="ENTRY\u2026")
@_project
@click.option("--list", "listing", is_flag=True, help="Tell where every seal stands.")
@click.option("--again", is_flag=True, help="Seal a changed entry anew; its old seal stays in seals.yaml.")
@click.option("--unsigned", is_flag=True, help="Seal an entry that nobody has signed.")
def seal(entries: tuple[str, ...], project: Path | None, *, listing: bool, again: bool, unsigned: bool) -> None:
    """Fingerprint each ENTRY and the files it names, in seals.yaml, so that a later change of them shows."""
    from buildlog.check import check
    from buildlog.pages.seals import standing_lines
    from buildlog.reading.read import read_logbook
    from buildlog.starter.seal import NoSuchEntryError, entry_named
    from buildlog.starter.seal import seal as sealed

    if not entries and not listing:
        raise click.UsageError("name the entries to seal, or say  --list")
    root = _folder(project)
    reading, _, problems = check(root)
    errors, book = [problem for problem in problems if problem.severity == "error"], reading.logbook
    try:
        chosen = [entry_named(name, root, book) for name in entries]
    except NoSuchEntryError as wrong:
        raise click.UsageError(str(wrong)) from wrong
    done = sealed(root, book, chosen, _today(), errors, again=again, unsigned=unsigned)
    _tell(done.problems, reading, err=True)
    now = read_logbook(root).logbook if listing else book
    for line in [*done.told(), *(standing_lines(now) if listing else [])]:
        click.echo(line)
    broken = listing and not all(seal.whole for seal in now.sealed().values())
    sys.exit(PROBLEMS if done.problems or broken else FINE)


@main.command(short_help="JSON Schema of each kind of file, for editors")
@click.argument("kind", required=False)
@click.option("--systems", is_flag=True, help="List the built-in systems.")
@click.option(
    "--codes", is_flag=False, flag_value="", default=None, metavar="[WORD]", help="List the system codes with a WORD."
)
def schema(kind: str | None, codes: str | None, *, systems: bool) -> None:
    """Print the JSON Schema of a KIND of file, for your editor; without a KIND, list them."""
    import json

    from buildlog.records.jasc import listing
    from buildlog.records.schema import KINDS, schema_of
    from buildlog.records.systems import BUILT_IN

    if codes is not None:
        click.echo(listing(codes))
    elif systems:
        for system in BUILT_IN.values():
            click.echo(f"{system.code}  {system.key:20} {system.name}")
    elif kind is None:
        click.echo("\n".join(f"{name:12} {words}" for name, (_, words) in KINDS.items()))
    elif kind not in KINDS:
        from buildlog.basics.names import suggestion

        raise click.UsageError(f"{kind!r} is no kind of file; {suggestion(kind, KINDS, 'kinds: ' + ', '.join(KINDS))}")
    else:
        click.echo(json.dumps(schema_of(kind), indent=1, ensure_ascii=False))


def _today() -> date:
    return datetime.now().astimezone().date()
