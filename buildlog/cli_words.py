"""The words of the command line that need no module of their own: what each is given, does, and how it ends."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path

import click

from buildlog.project_folder import cache_of, folder_of
from buildlog.telling import FINE, PROBLEMS, counted_problems, counts_of, project_option, tell


def today() -> date:
    """The day, as the one who reads the clock tells it."""
    told: date = click.get_current_context().find_root().obj()
    return told


def day_of(text: str | None) -> date | None:
    """A day as it was written on the command line."""
    from buildlog.basics.dates import read_date
    from buildlog.basics.problems import Misread

    if text is None:
        return None
    try:
        return read_date(text)
    except Misread as wrong:
        raise click.BadParameter(f"{wrong.message}; {wrong.remedy}") from wrong


@click.command(short_help="lay out a new project that publishes at once")
@click.argument("folder", type=click.Path(path_type=Path))
@click.option(
    "--type", "aircraft", default="My aircraft", metavar="NAME", help="The aircraft's type, for project.yaml."
)
@click.option("--mark", default=None, metavar="MARK", help="Its registration mark.")
def start(folder: Path, aircraft: str, mark: str | None) -> None:
    """Lay out a new project in FOLDER. It publishes at once, with one entry that explains itself."""
    from buildlog.starter.start import NotEmptyError, lay_out

    try:
        made = lay_out(folder, aircraft, mark, today())
    except NotEmptyError as wrong:
        raise click.UsageError(str(wrong)) from wrong
    click.echo(f"Laid out {folder}:")
    for name in made:
        click.echo(f"  {name}")
    click.echo(
        f"\nNow:  cd {folder}\n      buildlog publish      then open site/index.html\n"
        '      buildlog entry "What I did today"'
    )


@click.command(short_help="begin an entry")
@click.argument("title")
@project_option
@click.option(
    "--date", "day", default=None, metavar="DAY", help="The day it is about, as in 2026-07-04. Left out: today."
)
@click.option("--edit", is_flag=True, help="Open the new entry in your editor ($VISUAL or $EDITOR).")
def entry(title: str, project: Path | None, day: str | None, *, edit: bool) -> None:
    """Begin an entry called TITLE, with the jobs and components of your own plan and register at hand."""
    from buildlog.reading.read import read_logbook
    from buildlog.starter.entry import begin

    root = folder_of(project)
    made = begin(root, read_logbook(root).logbook, title, day_of(day) or today())
    click.echo(f"Began {made.relative_to(root)}")
    if edit:
        click.edit(filename=str(made))


@click.command(short_help="tell every problem, with file, line and remedy")
@project_option
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
    from buildlog.text_cache import remembered

    if name is not None:
        return click.echo(explanation(name))
    root = folder_of(project)
    with remembered(cache_of(root)) as texts:
        reading, worked, problems = check(root, audience=audience, pictures=True, texts=texts)
    tell(by_weight(problems), reading)
    counts = counts_of(problems)
    click.echo(f"{counted(len(worked.logbook.entries), 'entry', 'entries')} read: {counted_problems(counts)}.")
    sys.exit(PROBLEMS if counts["errors"] or (strict and counts["warnings"]) else FINE)


@click.command(short_help="cost, hours, weight and balance, what is open")
@project_option
@click.option("--json", "as_json", is_flag=True, help="Everything, as JSON (schema buildlog/figures/1).")
@click.option("--on", "on", default=None, metavar="DAY", help="The state at the end of that day, as in 2026-07-04.")
def totals(project: Path | None, on: str | None, *, as_json: bool) -> None:
    """Tell the state: cost, hours, weight, what is open."""
    import json

    from buildlog.check import check
    from buildlog.pages.record import record
    from buildlog.pages.terminal import totals_text
    from buildlog.pages.words import Words
    from buildlog.text_cache import remembered

    root = folder_of(project)
    with remembered(cache_of(root)) as texts:
        reading, worked, problems = check(root, day_of(on), texts=texts)
    counts = counts_of(problems)
    if counts["errors"]:
        tell([problem for problem in problems if problem.severity == "error"], reading, err=True)
        click.echo(f"{counted_problems(counts)}; what they touch is not in the figures.", err=True)
    if as_json:
        click.echo(json.dumps(record(worked, counts), indent=1, ensure_ascii=False))
    else:
        click.echo(totals_text(worked, Words(worked.logbook)))
    sys.exit(PROBLEMS if counts["errors"] else FINE)


@click.command(short_help="check a package against its checksums and seals")
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


@click.command(short_help="fingerprint signed entries, so that a later change shows")
@click.argument("entries", nargs=-1, metavar="ENTRY\u2026")
@project_option
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
    root = folder_of(project)
    reading, _, problems = check(root)
    errors, book = [problem for problem in problems if problem.severity == "error"], reading.logbook
    try:
        chosen = [entry_named(name, root, book) for name in entries]
    except NoSuchEntryError as wrong:
        raise click.UsageError(str(wrong)) from wrong
    done = sealed(root, book, chosen, today(), errors, again=again, unsigned=unsigned)
    tell(done.problems, reading, err=True)
    now = read_logbook(root).logbook if listing else book
    for line in [*done.told(), *(standing_lines(now) if listing else [])]:
        click.echo(line)
    broken = listing and not all(seal.whole for seal in now.sealed().values())
    sys.exit(PROBLEMS if done.problems or broken else FINE)


@click.command(short_help="JSON Schema of each kind of file, for editors")
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
