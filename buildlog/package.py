"""The whole job of handing over: the site for one reader, the documents, the ledgers and the originals, as one bag."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Callable, Mapping
from contextlib import ExitStack
from dataclasses import dataclass, field, replace
from pathlib import Path

from buildlog.basics.frozen import frozen
from buildlog.basics.problems import Place, Problem, Severity, in_order
from buildlog.check import check
from buildlog.compose import Prepared, Progress, compose, no_theme, prepare
from buildlog.figures.figures import figures
from buildlog.handover.bag import Bag, Content, Laid, lay_bag, refused
from buildlog.handover.document import TEMPLATE, document
from buildlog.handover.document_binder import Attachment
from buildlog.handover.document_nodes import Node
from buildlog.handover.fingerprint import LABEL, digests_of, fingerprint_of
from buildlog.handover.glyphs import coverage, printable
from buildlog.handover.ledgers import DICTIONARY, ledgers
from buildlog.handover.pdf import FONTS, CannotPrintError, Press, Printing
from buildlog.handover.sheets import TEMPLATE as SHEETS_TEMPLATE
from buildlog.handover.sheets import log_sheets
from buildlog.pages.record import record
from buildlog.pages.record_schema import figures_schema
from buildlog.pages.sheet import Addresses
from buildlog.pages.site_sheets import papers
from buildlog.pages.words import Words
from buildlog.publish import CONTENT
from buildlog.reading.memory import Memory
from buildlog.reading.read import Reading
from buildlog.records.audience import seen_by
from buildlog.records.project import Project
from buildlog.site.prints import prints
from buildlog.site.theme import theme_of
from buildlog.site.workshop import Workshop

AUDIENCES = ("buyer", "inspector")
"""Who a package can be made for."""
LETTER = ("US", "CA", "MX", "PH", "CL", "CO")
"""Countries that print on letter paper."""


@frozen
class Steps:
    """What shows progress: asked once for each long piece of work, by its name; told what the run waits for."""

    of: Callable[[str], Progress | None]
    waiting: Callable[[str, float], None] | None = None


SILENT = Steps(lambda _: None)


@frozen
class Package:
    """What was made: the problems found, and the bag (None when something kept it from being made)."""

    reading: Reading
    problems: tuple[Problem, ...]
    laid: Laid | None = None
    fingerprint: str = ""

    @property
    def failed(self) -> bool:
        """Whether nothing was made."""
        return self.laid is None or bool(self.laid.faults)


def handover(
    root: Path, target: Path, cache: Path, audience: str, steps: Steps = SILENT, texts: Memory | None = None
) -> Package:
    """The package of a project for an audience, as the folder ``target`` and its zip.

    Every error in the content, and every missing or broken photo or document, is told before anything is written. The
    documents are printed by processes of their own while the site is composed and the bag is filled. ``texts`` is what
    earlier runs read.
    """
    reading, _, problems = check(root, audience=audience, pictures=True, texts=texts or Memory())
    theme = theme_of(root, reading.logbook.project.theme)
    if theme is None:
        problems.append(no_theme(reading.logbook))
    if theme is None or _stopped(problems):
        return Package(reading, tuple(in_order(problems)))
    kept = [root / name for name in CONTENT]
    if refusals := refused(target, kept):
        return Package(reading, tuple(in_order(problems)), Laid(target, target, faults=refusals))
    worked, _ = figures(seen_by(reading.logbook, audience))
    made, faults = prepare(root, worked, theme, cache, steps.of("photos"))
    problems += faults
    if _stopped(problems):
        return Package(reading, tuple(in_order(problems)))
    records = _records(made, problems)
    try:
        digests = digests_of(records)
    except OSError as error:
        problems.append(_unread(error, root))
        return Package(reading, tuple(in_order(problems)))
    laid, fingerprint = None, fingerprint_of(digests)
    with tempfile.TemporaryDirectory(prefix="buildlog-") as folder, ExitStack() as ended:
        run = _Run(made, Path(folder), records, digests, fingerprint, steps, ended)
        problems += run.documents()
        site, faults = compose(made, laid=Workshop(Path(folder) / "pages"))
        problems += faults
        if not _stopped(problems):
            bag = run.bag({f"site/{name}": content for name, content in site.staged.files().items()})
            try:
                laid = lay_bag(bag, target, kept, steps.of("files"))
            except CannotPrintError as error:
                problems.append(_not_printed(error))
    return Package(reading, tuple(in_order(problems)), laid, fingerprint)


def _stopped(problems: list[Problem]) -> bool:
    return any(problem.severity is Severity.ERROR for problem in problems)


def _unread(error: OSError, root: Path) -> Problem:
    """An original that went, or was closed, since it was found."""
    path = Path(error.filename or root)
    file = path.relative_to(root).as_posix() if path.is_relative_to(root) else path.name
    words = f"this file cannot be read any more ({error.strerror})"
    return Problem(Place(file), "cannot-use", words, "put it back, then make the package again")


def _not_printed(error: CannotPrintError) -> Problem:
    words = f"a document could not be printed: {error}"
    return Problem(Place("project.yaml"), "cannot-print", words, "put right what it names")


def _records(made: Prepared, problems: list[Problem]) -> dict[str, bytes | Path]:
    """The ledgers and the originals, by their names in the package: what its fingerprint is taken of."""
    shown = {*made.pictures, *papers(made.worked.logbook).values()}
    counts = {f"{word}s": sum(one.severity == word for one in problems) for word in Severity}
    figures = json.dumps(record(made.worked, counts), indent=1, ensure_ascii=False)
    return {
        **{f"records/{name}": content for name, content in ledgers(made.worked).items()},
        "records/figures.json": figures.encode(),
        "records/figures.schema.json": json.dumps(figures_schema(), indent=1).encode(),
        **{f"originals/{file}": made.root / file for file in sorted(shown)},
    }


@dataclass
class _Run:
    """One package on its way: what was prepared, and where its documents are printed."""

    made: Prepared
    folder: Path
    records: Mapping[str, bytes | Path]
    digests: Mapping[str, str]
    fingerprint: str
    steps: Steps
    ended: ExitStack
    """What must be ended with the run, however that ends."""
    printing: dict[str, Printing] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)

    def documents(self) -> list[Problem]:
        """Begins to print both documents; what they had to be told."""
        worked = self.made.worked
        words, at, paper = Words(worked.logbook), Addresses(worked.logbook), _paper(worked.logbook.project)
        shown = prints(self.made.pictures, self.made.cache, self.steps.of("pictures for print"))
        attached = self._attached()
        press = Press(self._templates(), self.folder)
        press.prepare({one.path for one in shown.values()}, attached)
        record = document(
            worked,
            words,
            at,
            shown,
            self._original_digests(),
            fingerprint=self.fingerprint,
            attachments=attached,
            paper=paper,
            sheets=self.made.sheets.on_paper(),
        )
        self._print(press, record, TEMPLATE, "handover.pdf")
        sheets = log_sheets(worked, words, at, fingerprint=self.fingerprint, paper=paper)
        self._print(press, sheets, SHEETS_TEMPLATE, "log-sheets.pdf")
        return self.problems

    def _print(self, press: Press, record: Node, template: str, name: str) -> None:
        book = self.made.worked.logbook
        sources = {one.file: (one.prose.first_line, one.prose.source) for one in book.texts()}
        ready, lacking = printable(record, coverage(press.templates / FONTS), sources)
        self.problems += [one for one in lacking if one not in self.problems]
        begun = press.start(ready, template, self.folder / name, self.made.worked.on)
        self.ended.callback(begun.stop)
        self.printing[name] = replace(begun, waiting=self.steps.waiting)

    def _templates(self) -> Path:
        """The theme's print folder, the project's own before the built-in one."""
        found = [folder / "print" for folder in self.made.theme.folders if (folder / "print").is_dir()]
        return found[0]

    def _original_digests(self) -> Mapping[str, str]:
        prefix = "originals/"
        return {name.removeprefix(prefix): found for name, found in self.digests.items() if name.startswith(prefix)}

    def _attached(self) -> list[Attachment]:
        """The ledgers, to travel within the document too."""
        return [
            Attachment(name.removeprefix("records/"), content, "text/csv", _described(name))
            for name, content in self.records.items()
            if name.startswith("records/") and name.endswith(".csv") and isinstance(content, bytes)
        ]

    def bag(self, site: Mapping[str, Content]) -> Bag:
        """Everything, with what a stranger reads first."""
        worked = self.made.worked
        aircraft = worked.logbook.project.aircraft
        named = f"{aircraft.type} {aircraft.mark or ''}".strip()
        info = [
            ("External-Description", f"Record of work on {named}, for the {worked.logbook.sight.name}"),
            ("External-Identifier", aircraft.mark or ""),
            (LABEL, self.fingerprint),
        ]
        payload = {**site, **self.records, **self.printing}
        tags = {"README.txt": readme(named, worked.logbook.sight.name)}
        return Bag(payload, worked.on, info, tags, self.digests)


def _described(name: str) -> str:
    """What an attached ledger is, in words."""
    file = name.removeprefix("records/")
    if file == DICTIONARY:
        return "What each column of the other files is"
    return f"Ledger: {file.removesuffix('.csv').replace('-', ' ').replace('_', ' ')}, one line each"


def _paper(project: Project) -> str:
    """The paper that project.yaml names, else that of its country."""
    return project.package.paper or paper_of(project.locale)


def paper_of(locale: str) -> str:
    """The paper of a locale's country: letter or a4."""
    return "letter" if locale.replace("_", "-").rpartition("-")[2].upper() in LETTER else "a4"


def readme(named: str, audience: str) -> bytes:
    """What a stranger is told in ten lines."""
    lines = (
        f"Record of work on {named}, made for the {audience}.",
        "",
        "data/handover.pdf     the record as one document: begin here",
        "data/log-sheets.pdf   new log pages, to be printed, signed in ink and kept",
        "data/site/            the same as pages: open data/site/index.html in a browser",
        "data/records/         every ledger as CSV, and the figures as JSON",
        "data/originals/       photos and papers as they were kept",
        "",
        "This record approves nothing for flight. To see that no file was changed, added or lost:",
        "  buildlog verify FOLDER   or, in this folder,   sha256sum -c manifest-sha256.txt tagmanifest-sha256.txt",
    )
    return "".join(f"{line}\n" for line in lines).encode()
