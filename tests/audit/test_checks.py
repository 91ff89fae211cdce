"""Every check has a case that fires and one that does not; the manual of checks and the field reference are current."""

from __future__ import annotations

import hashlib
import io
import struct
import zlib
from pathlib import Path

import pytest
from PIL import Image

from buildlog.audit.run import CHECKS, audit, name_of
from buildlog.basics.problems import Problem
from buildlog.figures.figures import figures
from buildlog.reading.survey import survey
from buildlog.records.pictures import pictures_of
from buildlog.reference import FOLDER, pages
from tests.making import PROJECT, entry, read

DAY = "title: x\ndate: 2026-07-04\nsystem: electrical\n"
LATER = "title: y\ndate: 2026-12-04\nsystem: electrical\n"
RECEIPTS = {"project.yaml": PROJECT + "receipts_from: 50 USD\n", "documents/r.pdf": "paper"}
ORDER = "orders: [{key: O, item: Thing, supplier: Shop, cost: 90 USD, deposit: 10 USD, lead: 2 weeks}]"
JOBS = "jobs: [{key: brakes, name: Brakes, done: 2026-07-04}]\n"
SIGNED = entry(DAY + "signed: {by: mechanic, as: work, date: 2026-07-04, words: Magneto timed}")
LOADING = """\
datum: firewall, positive aft
limits: [{weight: 100 lb, forward: 30.0 in, aft: 40.0 in}, {weight: 1320 lb, forward: 30.0 in, aft: 40.0 in}]
stations: [{key: pilot, name: Pilot, arm: 40.0 in, max: 220 lb}]
cases: [{key: solo, name: Solo, loads: {pilot: 170 lb}}]
start: {weight: 748 lb, arm: 29.4 in, plus_minus: 1 lb, says: Sheet}
"""
BOX = "weight: [{installed: Box, weight: 60 lb, arm: 10.0 in, basis: estimated}]"
"""It brings the centre of gravity 0.05 in behind the forward limit, and how well that is known is how well this is."""
SURVEYED = {"project.yaml": PROJECT + "tolerances: {arm: 0.01 in}\n", "loading.yaml": LOADING}
MAGNETO = {"components.yaml": "magneto: {name: Magneto, system: ignition}\n"}
OFF = "components: [{removed: magneto, state: unserviceable}]"
TIME = "{about: airframe, quantity: time_in_service, basis: statement, says: z, value"


def sealed(text: str) -> str:
    """seals.yaml with the seal of an entry of this text."""
    made = hashlib.sha256(text.encode()).hexdigest()
    return f"seals: [{{entry: log/2026-07-04-x.md, sealed: 2026-07-04, sha256: {made}}}]\n"


def jpeg(taken: str = "", colour: str = "red") -> bytes:
    """A small photo, with the day and time its camera wrote into it."""
    picture, exif = Image.new("RGB", (8, 8), colour), Image.Exif()
    if taken:
        exif.get_ifd(0x8769)[0x9003] = taken
    out = io.BytesIO()
    picture.save(out, "JPEG", exif=exif)
    return out.getvalue()


def png_head(width: int, height: int) -> bytes:
    """The head of a picture of that many pixels, without the pixels."""

    def chunk(kind: bytes, content: bytes) -> bytes:
        return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", zlib.crc32(kind + content))

    size = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", size) + chunk(b"IDAT", b"")


SHOWN = {"log/2026-07-04-x.md": entry(DAY, "![A](../photos/a.jpg)\n")}
Files = dict[str, str | bytes]
CASES: dict[str, tuple[Files, Files]] = {
    "secret-in-words": (
        {"log/2026-07-04-x.md": entry(DAY, "Then Bob Example came.\n")},
        {"log/2026-07-04-x.md": entry(DAY, "Then the mechanic came.\n\n::: handover\nBob Example.\n:::\n")},
    ),
    "price-in-words": (
        {
            "project.yaml": PROJECT.replace("costs: full", "costs: none"),
            "log/2026-07-04-x.md": entry(DAY, "It cost 574.25 USD.\n"),
        },
        {"log/2026-07-04-x.md": entry(DAY, "It cost 574.25 USD.\n")},
    ),
    "weight-without-arm": (
        {"log/2026-07-04-x.md": entry(DAY + "weight: [{installed: Box, weight: 2 lb}]")},
        {"log/2026-07-04-x.md": entry(DAY + "weight: [{installed: Box, weight: 2 lb, arm: 73 in}]")},
    ),
    "part-not-weighed": (
        {"log/2026-07-04-x.md": entry(DAY + "parts: [{item: Hose}]")},
        {"log/2026-07-04-x.md": entry(DAY + "parts: [{item: Hose, weight: none}]")},
    ),
    "receipt-missing": (
        RECEIPTS | {"log/2026-07-04-x.md": entry(DAY + "parts: [{item: Hose, cost: 50 USD}]")},
        RECEIPTS
        | {
            "log/2026-07-04-x.md": entry(
                DAY + "parts: [{item: Hose, cost: 50 USD, receipt: documents/r.pdf}, {item: Clip, cost: 49.99 USD}]"
            )
        },
    ),
    "currency-without-rate": (
        {"log/2026-07-04-x.md": entry(DAY + "cost: 3 CAD")},
        {"log/2026-07-04-x.md": entry(DAY + "cost: 3 USD")},
    ),
    "order-paid-twice": (
        {
            "log/2026-07-04-x.md": entry(DAY + ORDER),
            "log/2026-07-14-y.md": entry(
                "title: y\ndate: 2026-07-14\nreceived: [O]\ncosts: [{item: Thing it is, cost: 80 USD, supplier: Shop}]"
            ),
        },
        {
            "log/2026-07-04-x.md": entry(DAY + ORDER),
            "log/2026-07-14-y.md": entry(
                "title: y\ndate: 2026-07-14\nreceived: [O]\ncosts: [{item: Thing it is, cost: 80 USD, supplier: Shop, order: O}]"
            ),
        },
    ),
    "order-overdue": (
        {"log/2026-07-04-x.md": entry(DAY + ORDER), "log/2026-12-04-y.md": entry(LATER)},
        {"log/2026-07-04-x.md": entry(DAY + ORDER), "log/2026-12-04-y.md": entry(LATER + "received: [O]")},
    ),
    "quote-open": (
        {
            "log/2026-07-04-x.md": entry(DAY + "quotes: [{key: Q, item: z, cost: 9 USD, until: 2026-08-01}]"),
            "log/2026-12-04-y.md": entry(LATER),
        },
        {
            "log/2026-07-04-x.md": entry(DAY + "quotes: [{key: Q, item: z, cost: 9 USD, until: 2026-08-01}]"),
            "log/2026-12-04-y.md": entry(LATER + "declines: [Q]"),
        },
    ),
    "finding-closed-without-words": (
        {"log/2026-07-04-x.md": entry(DAY + "findings: [{key: F, found: z, standing: cosmetic}]\ncloses: [F]")},
        {
            "log/2026-07-04-x.md": entry(
                DAY + "findings: [{key: F, found: z, standing: cosmetic}]\ncloses: [{key: F, by: paint}]"
            )
        },
    ),
    "finding-deferred-without-limit": (
        {"log/2026-07-04-x.md": entry(DAY + "findings: [{key: F, found: z, standing: deferred}]")},
        {"log/2026-07-04-x.md": entry(DAY + "findings: [{key: F, found: z, standing: deferred, limit: No rain}]")},
    ),
    "finding-past-its-day": (
        {
            "log/2026-07-04-x.md": entry(DAY + "findings: [{key: F, found: z, standing: deferred, until: 2026-12-03}]"),
            "log/2026-12-04-y.md": entry(LATER),
        },
        {
            "log/2026-07-04-x.md": entry(DAY + "findings: [{key: F, found: z, standing: deferred, until: 2026-12-04}]"),
            "log/2026-12-04-y.md": entry(LATER),
        },
    ),
    "unserviceable-without-fate": (
        MAGNETO | {"log/2026-07-04-x.md": entry(DAY + OFF)},
        MAGNETO
        | {
            "log/2026-07-04-x.md": entry(DAY + OFF),
            "log/2026-12-04-y.md": entry(LATER + "components: [{sent: magneto, to: Shop}]"),
        },
    ),
    "overhauled-without-paper": (
        MAGNETO | {"log/2026-07-04-x.md": entry(DAY + "components: [{overhauled: magneto}]")},
        MAGNETO
        | {
            "log/2026-07-04-x.md": entry(DAY + "components: [{overhauled: magneto, paper: documents/p.pdf}]"),
            "documents/p.pdf": "ink",
        },
    ),
    "claim-without-evidence": (
        {
            "history.yaml": "facts: [{about: aircraft, quantity: paint, basis: document, says: z}]\n",
            "log/2026-07-04-x.md": entry(DAY),
        },
        {
            "history.yaml": "facts: [{about: aircraft, quantity: paint, basis: document, says: z, evidence: [documents/p.pdf]},"
            " {about: aircraft, quantity: wax, basis: statement, says: z}]\n",
            "documents/p.pdf": "ink",
            "log/2026-07-04-x.md": entry(DAY),
        },
    ),
    "facts-conflict": (
        {
            "history.yaml": f"facts: [{TIME}: 412 h, on: 2004-06-14}}, {TIME}: 361 h, on: 2005-01-20}}]\n",
            "log/2026-07-04-x.md": entry(DAY),
        },
        {
            "history.yaml": f"facts: [{TIME}: 361 h, on: 2004-06-14}}, {TIME}: 412 h, on: 2005-01-20}}]\n",
            "log/2026-07-04-x.md": entry(DAY),
        },
    ),
    "tolerance-hides-margin": (
        SURVEYED | {"log/2026-07-04-x.md": entry(DAY + BOX)},
        SURVEYED | {"log/2026-07-04-x.md": entry(DAY + BOX.replace("estimated", "weighed"))},
    ),
    "seat-over-maximum": (
        {"loading.yaml": LOADING.replace("pilot: 170", "pilot: 221"), "log/2026-07-04-x.md": entry(DAY)},
        {"loading.yaml": LOADING.replace("pilot: 170", "pilot: 220"), "log/2026-07-04-x.md": entry(DAY)},
    ),
    "photo-unreadable": (SHOWN | {"photos/a.jpg": "x"}, SHOWN | {"photos/a.jpg": jpeg()}),
    "photo-huge": (
        SHOWN | {"photos/a.jpg": png_head(10_000, 4_001)},
        SHOWN | {"photos/a.jpg": png_head(10_000, 4_000)},
    ),
    "photo-dated-far": (
        SHOWN | {"photos/a.jpg": jpeg("2026:06:02 12:00:00")},
        SHOWN | {"photos/a.jpg": jpeg("2026:06:03 12:00:00")},
    ),
    "same-photo-twice": (
        SHOWN
        | {
            "photos/a.jpg": jpeg(),
            "photos/b.jpg": jpeg(),
            "log/2026-12-04-y.md": entry(LATER + "photos: [photos/b.jpg]"),
        },
        SHOWN
        | {
            "photos/a.jpg": jpeg(),
            "photos/b.jpg": jpeg(colour="blue"),
            "log/2026-12-04-y.md": entry(LATER + "photos: [photos/b.jpg, photos/a.jpg]"),
        },
    ),
    "photo-without-words": (
        {"photos/a.jpg": "x", "log/2026-07-04-x.md": entry(DAY, "![](../photos/a.jpg)\n")},
        {"photos/a.jpg": "x", "log/2026-07-04-x.md": entry(DAY, "![A box](../photos/a.jpg)\n")},
    ),
    "entry-to-be-written": (
        {"log/2026-07-04-x.md": entry(DAY.replace("title: x", 'title: "To be written: 6 pictures"'))},
        {"log/2026-07-04-x.md": entry(DAY)},
    ),
    "file-not-used": (
        {"documents/a.pdf": "x", "log/2026-07-04-x.md": entry(DAY)},
        {
            "documents/a.pdf": "x",
            "log/2026-07-04-x.md": entry(DAY + "documents: [{file: documents/a.pdf, title: A, kind: tag}]"),
        },
    ),
    "job-done-without-hours": (
        {"plan.yaml": JOBS, "log/2026-07-04-x.md": entry(DAY)},
        {"plan.yaml": JOBS, "log/2026-07-04-x.md": entry(DAY + "job: brakes\nhours: 1:00")},
    ),
    "entry-without-system": (
        {"log/2026-07-04-x.md": entry("title: x\ndate: 2026-07-04\nhours: 1:00")},
        {"log/2026-07-04-x.md": entry(DAY + "hours: 1:00")},
    ),
    "sealed-entry-changed": (
        {"log/2026-07-04-x.md": SIGNED, "seals.yaml": sealed(SIGNED.replace("timed", "tuned"))},
        {"log/2026-07-04-x.md": SIGNED.replace("\n", "\r\n"), "seals.yaml": sealed(SIGNED)},
    ),
    "signature-incomplete": (
        {"log/2026-07-04-x.md": SIGNED},
        {"log/2026-07-04-x.md": SIGNED.replace("timed}", "timed, paper: documents/p.pdf}"), "documents/p.pdf": "ink"},
    ),
    "signature-missing": (
        {
            "project.yaml": PROJECT + "systems: {electrical: {signature: yes}}\n",
            "log/2026-07-04-x.md": entry(DAY + "parts: [{item: Hose}]"),
            "log/2026-07-14-y.md": SIGNED.replace("electrical", "engine").replace("07-04", "07-14"),
        },
        {
            "project.yaml": PROJECT + "systems: {electrical: {signature: yes}}\n",
            "log/2026-07-04-x.md": entry(DAY + "parts: [{item: Hose}]"),
            "log/2026-07-14-y.md": SIGNED.replace("electrical", "[engine, electrical]").replace("07-04", "07-14"),
        },
    ),
    "unknown-system-code": (
        {"components.yaml": 'magneto: {name: Magneto, code: "8400"}\n'},
        {
            "project.yaml": PROJECT
            + 'systems: {records: {name: Papers, code: "05"}, paint: {name: Paint, code: P-2}}\n',
            "components.yaml": 'magneto: {name: Magneto, code: "7414"}\nwire: {name: Wire, code: "7497"}\n',
        },
    ),
}


def problems(root: Path, files: Files) -> list[Problem]:
    """What all checks find in a project, in the files of its pictures too."""
    book = read(root, dict(files)).logbook
    return audit(figures(book)[0], pictures=survey(root, pictures_of(book)))


def found(root: Path, files: Files) -> list[str]:
    return [problem.name for problem in problems(root, files)]


@pytest.mark.parametrize("check", CHECKS, ids=name_of)
def test_a_check_fires_and_does_not(tmp_path: Path, check: object) -> None:
    name = name_of(check)  # type: ignore[arg-type]
    wrong, right = CASES[name]
    assert name in found(tmp_path / "wrong", wrong)
    assert name not in found(tmp_path / "right", right)


@pytest.mark.parametrize("check", CHECKS, ids=name_of)
def test_a_check_explains_itself(check: object) -> None:
    doc = check.__doc__ or ""  # type: ignore[attr-defined]
    assert all(word in doc for word in ("Why:", "Wrong:", "Right:"))


@pytest.mark.parametrize("name", sorted(pages()))
def test_the_reference_is_current(name: str) -> None:
    assert (FOLDER / name).read_text("utf-8") == pages()[name], "run  make reference"


def test_of_a_draft_of_ones_own_only_that_it_waits_is_told(tmp_path: Path) -> None:
    """Fifty pictures fresh from a card need not have fifty warnings."""
    text = entry(
        DAY.replace("title: x", 'title: "To be written: 2 pictures"')
        + "audience: private\nphotos: [photos/a.jpg, photos/b.jpg]"
    )
    files = {"log/2026-07-04-x.md": text, "photos/a.jpg": jpeg(), "photos/b.jpg": jpeg(colour="blue")}
    worked, _ = figures(read(tmp_path, files).logbook)
    assert [(one.name, one.severity) for one in audit(worked)] == [("entry-to-be-written", "note")]
    written = {**files, "log/2026-07-04-x.md": text.replace("To be written: 2 pictures", "Both brakes out")}
    worked, _ = figures(read(tmp_path / "written", written).logbook)
    assert [one.name for one in audit(worked)] == ["photo-without-words"] * 2
