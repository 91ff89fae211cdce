"""How long a package takes, against the engine's bare compile of the same document; run from the project's folder.

    .venv/bin/python benchmarks/handover.py [--large]

Each size is a made-up project (seeded), handed over twice so that the second run finds its pictures ready. The floor is
the engine alone, in a process of its own, over the very document and pictures of that run. Peak memory is the largest
process of the run (ru_maxrss of the children; Linux and macOS).
"""

from __future__ import annotations

import random
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from PIL import Image
from pypdf import PdfReader

SIZES = ((17, 34), (60, 120), (150, 300))
LARGE = (500, 1000)
WORDS = [
    "wing",
    "rib",
    "spar",
    "glue",
    "tank",
    "hose",
    "cable",
    "pulley",
    "weld",
    "tag",
    "oil",
    "brush",
    "cloth",
    "bolt",
    "torque",
    "lamp",
    "bench",
    "scale",
    "rain",
    "dust",
]
RUN = """
import shutil, sys
from pathlib import Path
from buildlog import package
from buildlog.handover.pdf import Press
root, target, cache, kept = map(Path, sys.argv[1:5])
plain = Press.print
def keeping(self, document, template, out, day):
    plain(self, document, template, out, day)
    if template == package.TEMPLATE and len(sys.argv) > 5:
        shutil.copytree(self.work, kept, dirs_exist_ok=True)
        shutil.copytree(self.templates / "fonts", kept / "fonts", dirs_exist_ok=True)
Press.print = keeping
done = package.handover(root, target, cache, "buyer")
sys.exit(done.failed)
"""


def make(root: Path, entries: int, photos: int, seed: int = 1) -> None:
    """A project of so many entries and photos."""
    dice = random.Random(seed)
    for folder in ("log", "photos"):
        (root / folder).mkdir(parents=True)
    (root / "project.yaml").write_text(
        "title: A made-up project\naircraft: {type: Made-up type}\nlocale: en-GB\n", "utf-8"
    )
    tile = Image.effect_noise((400, 300), 60).convert("RGB")
    for number in range(photos):
        shade = Image.new("RGB", tile.size, tuple(dice.randrange(256) for _ in range(3)))
        Image.blend(tile, shade, 0.6).resize((1600, 1200)).save(root / f"photos/{number:04}.jpg", quality=85)
    each = max(photos // entries, 1)
    for number in range(entries):
        day = f"{2024 + number // 336}-{number // 28 % 12 + 1:02}-{number % 28 + 1:02}"
        text = "\n\n".join(" ".join(dice.choices(WORDS, k=90)).capitalize() + "." for _ in range(3))
        shown = ", ".join(f"{{file: photos/{one:04}.jpg}}" for one in range(number * each, (number + 1) * each))
        facts = (
            f"title: Day {number} of {dice.choice(WORDS)}\ndate: {day}\nsystem: [{dice.choice(('wings', 'fuel', 'engine'))}]\n"
            f"hours: {{owner: {dice.randrange(1, 9)}:30}}\ncosts: [{{item: Thing, cost: {dice.randrange(1, 199)}.50 USD}}]\n"
            f"photos: [{shown}]"
        )
        (root / f"log/{day}-x{number}.md").write_text(f"---\n{facts}\n---\n{text}\n", "utf-8")


def timed(order: list[str]) -> float:
    """The seconds a process takes; it must do well."""
    start = time.perf_counter()
    subprocess.run(order, check=True)
    return time.perf_counter() - start


def measure(entries: int, photos: int) -> tuple[int, float, float, float]:
    """Pages, whole and bare seconds, and the peak in MB."""
    with tempfile.TemporaryDirectory() as folder:
        here = Path(folder)
        make(here / "project", entries, photos)
        run = [sys.executable, "-c", RUN, *(str(here / name) for name in ("project", "out", "cache", "kept"))]
        timed([*run, "keep"])
        whole = min(timed(run) for _ in range(2))
        engine = [sys.executable, "-m", "buildlog.handover.pdf", str(here / "kept/handover.typ"), str(here / "kept")]
        bare = min(timed([*engine, str(here / "kept/fonts"), str(here / "bare.pdf"), "0"]) for _ in range(2))
        pages = len(PdfReader(here / "out/data/handover.pdf").pages)
        shutil.rmtree(here / "out")
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    return pages, whole, bare, peak


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
