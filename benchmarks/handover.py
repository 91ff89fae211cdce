"""How long a package takes, against the engine's bare compile of the same document; run from the project's folder.

    .venv/bin/python benchmarks/handover.py [--large]

Each size is a made-up project (seeded), handed over twice so that the later runs find their pictures ready. The floor
is the engine alone, in a process of its own, over the very document and pictures of that run. Whole and bare runs
alternate, and the least of each counts. Peak memory is the largest process of the run, and all of them at their
largest together is at most the sum of the two (ru_maxrss of the children; Linux and macOS).
"""

from __future__ import annotations

import os
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from making import make
from pypdf import PdfReader

SIZES = ((35, 70), (105, 210))
LARGE = (290, 1000)
ROUNDS = 3
RUN = """
import shutil, sys
from pathlib import Path
from buildlog import package
from buildlog.cli import main
from buildlog.handover.pdf import Press
root, target, kept = map(Path, sys.argv[1:4])
plain = Press.start
def keeping(self, document, template, out, day):
    begun = plain(self, document, template, out, day)
    if template == package.TEMPLATE:
        shutil.copytree(self.work, kept, dirs_exist_ok=True, ignore=shutil.ignore_patterns("*.pdf"))
        shutil.copytree(self.templates / "fonts", kept / "fonts", dirs_exist_ok=True)
    return begun
if len(sys.argv) > 4:
    Press.start = keeping
main(["handover", "--project", str(root), "--for", "buyer", "--to", str(target)])
"""
ENVIRONMENT = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}


def timed(order: list[str]) -> float:
    """The seconds a process takes; it must do well."""
    start = time.perf_counter()
    subprocess.run(order, check=True, env=ENVIRONMENT, stdout=subprocess.DEVNULL)
    return time.perf_counter() - start


def measure(entries: int, photos: int) -> tuple[int, float, float, float]:
    """Pages, whole and bare seconds, and the peak in MB."""
    with tempfile.TemporaryDirectory() as folder:
        here = Path(folder)
        make(here / "project", entries, photos)
        ENVIRONMENT["XDG_CACHE_HOME"] = str(here / "cache")
        run = [sys.executable, "-c", RUN, *(str(here / name) for name in ("project", "out", "kept"))]
        timed([*run, "keep"])
        kept = here / "kept"
        order = [kept / "handover.typ", kept, kept / "fonts", "/handover.json", here / "bare.pdf", 0]
        engine = [sys.executable, "-m", "buildlog.handover.pdf", *map(str, order)]
        wholes, bares = zip(*((timed(run), timed(engine)) for _ in range(ROUNDS)), strict=True)
        pages = len(PdfReader(here / "out/data/handover.pdf").pages)
        shutil.rmtree(here / "out")
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    return pages, min(wholes), min(bares), peak


def main() -> None:
    """One table."""
    print(f"{'entries':>8} {'photos':>7} {'pages':>6} {'whole':>8} {'engine':>8} {'ratio':>6} {'peak':>9}")
    for entries, photos in (*SIZES, *((LARGE,) if "--large" in sys.argv else ())):
        pages, whole, bare, peak = measure(entries, photos)
        print(
            f"{entries:8} {photos:7} {pages:6} {whole:6.2f} s {bare:6.2f} s {whole / bare:6.2f} {peak:6.0f} MB",
            flush=True,
        )


if __name__ == "__main__":
    main()
