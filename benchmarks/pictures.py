"""What web pictures cost, against the bare work of making the same files; run from the project's folder.

    .venv/bin/python benchmarks/pictures.py [--quick]

Photos of 12 megapixels are made up (seeded; a third in Display P3, as phones write them) and developed: cold by us, by
Pillow alone with two threads and the same calls (whose files must be the same to the last byte), and by libvips where
pyvips is installed (its own files, of the same sizes and quality). Each runs in a process of its own, in turn, and the
least of each figure counts; the time of the cores is what a busy machine falsifies least. Then with nothing changed, with every photo renamed, as WebP and AVIF, and with photos of 48
megapixels one by one for their memory. Peak memory is that of the process (Linux and macOS). Compare ratios, not times.
"""

from __future__ import annotations

import hashlib
import importlib.util
import json
import os
import random
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from PIL import Image, ImageChops

ROOT = Path(__file__).parent.parent
sys.path.insert(0, str(ROOT))
from tests.site.test_pictures import display_p3  # noqa: E402 - after the path to it

ROUNDS = 3
HEAD = """
import json, os, resource, sys, time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
folder, out, cache = map(Path, sys.argv[1:4])
files = sorted(folder.iterdir())[: int(sys.argv[4])]
def tell(began, worked):
    seconds, core = time.perf_counter() - began, time.process_time() - worked
    try:  # ru_maxrss would count the process that started this one
        status = Path("/proc/self/status").read_text().split("VmHWM:")[1].split()
        peak = int(status[0]) / 1024
    except OSError:
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024 / (1024 if sys.platform == "darwin" else 1)
    print(json.dumps({"seconds": seconds, "core": core, "megabytes": peak}))
"""
OURS = (
    HEAD
    + """
from buildlog.site.pictures import Wanted, develop
began, worked = time.perf_counter(), time.process_time()
wanted = [Wanted(path, "photos/" + path.name) for path in files]
found, faults = develop(wanted, out, cache, kind=sys.argv[5] if len(sys.argv) > 5 else "jpeg")
assert not faults, faults
tell(began, worked)
"""
)
BARE = (
    HEAD
    + """
import io
from functools import lru_cache
from PIL import Image, ImageCms
out.mkdir()
@lru_cache
def transform(profile):
    return ImageCms.buildTransform(io.BytesIO(profile), ImageCms.createProfile("sRGB"), "RGB", "RGB")
def fit(size, edge):
    return tuple((2 * side * edge + max(size)) // (2 * max(size)) for side in size)
def one(path):
    with Image.open(path) as image:
        image.draft(None, fit(image.size, 1600))
        image.load()
        profile = image.info.get("icc_profile")
        large = image.resize(fit(image.size, 1600), Image.Resampling.BICUBIC, reducing_gap=2.0)
    if profile:
        large = transform(profile).apply(large)
    large.save(out / (path.stem + "-1600.jpg"), "JPEG", quality=82, subsampling="4:2:0", icc_profile=None, exif=b"", comment=None, xmp=None)
    small = large.resize(fit(large.size, 480), Image.Resampling.LANCZOS, reducing_gap=1.5)
    small.save(out / (path.stem + "-480.jpg"), "JPEG", quality=82, subsampling="4:2:0", icc_profile=None, exif=b"", comment=None, xmp=None)
began, worked = time.perf_counter(), time.process_time()
with ThreadPoolExecutor(2) as pool:
    done = list(pool.map(one, files))
tell(began, worked)
"""
)
VIPS = (
    HEAD
    + """
os.environ["VIPS_CONCURRENCY"] = "1"
import pyvips
pyvips.cache_set_max(0)
out.mkdir()
def one(path):
    tagged = pyvips.Image.new_from_file(str(path)).get_typeof("icc-profile-data") != 0
    asked = {"export_profile": "srgb"} if tagged else {}
    large = pyvips.Image.thumbnail(str(path), 1600, height=1600, size="down", **asked).copy_memory()
    large.jpegsave(str(out / (path.stem + "-1600.jpg")), Q=82, keep="none")
    large.thumbnail_image(480, height=480, size="down").jpegsave(str(out / (path.stem + "-480.jpg")), Q=82, keep="none")
began, worked = time.perf_counter(), time.process_time()
with ThreadPoolExecutor(2) as pool:
    done = list(pool.map(one, files))
tell(began, worked)
"""
)


def make(folder: Path, count: int, seed: int = 1) -> None:
    """So many photos of 12 megapixels; every fourth has its own pixels, the others differ by a comment."""
    dice = random.Random(seed)
    folder.mkdir()
    profile = display_p3()
    for number in range(0, count, 4):
        fine = Image.effect_noise((4000, 3000), 22)
        coarse = Image.effect_noise((500, 375), 90).resize((4000, 3000), Image.Resampling.BICUBIC)
        slope = Image.linear_gradient("L").rotate(dice.randrange(360)).resize((4000, 3000))
        grey = Image.blend(Image.blend(coarse, slope, 0.5), fine, 0.3)
        tint = Image.new("RGB", grey.size, tuple(dice.randrange(60, 256) for _ in range(3)))
        photo = ImageChops.multiply(grey.convert("RGB"), tint)
        for copy in range(number, min(number + 4, count)):
            more = {"icc_profile": profile} if copy % 3 == 0 else {}
            photo.save(folder / f"{copy:04}.jpg", quality=88, comment=f"made up, {copy}".encode(), **more)
    for path in folder.iterdir():
        os.utime(path, (1_600_000_000, 1_600_000_000))


def run(code: str, folder: Path, out: Path, cache: Path, count: int, *more: str) -> dict[str, float]:
    """One measurement in a process of its own."""
    command = [sys.executable, "-c", code, str(folder), str(out), str(cache), str(count), *more]
    done = subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True)
    found: dict[str, float] = json.loads(done.stdout)
    return found


def same(ours: Path, bare: Path, folder: Path) -> int:
    """How many files are the same to the last byte."""
    number = 0
    for path in folder.iterdir():
        digest = hashlib.sha256(path.read_bytes()).hexdigest()[:16]
        for edge in (1600, 480):
            one, other = ours / "photos" / f"{digest}-{edge}.jpg", bare / f"{path.stem}-{edge}.jpg"
            if other.is_file():
                number += one.read_bytes() == other.read_bytes()
    return number


def say(name: str, found: dict[str, float], count: int, floor: dict[str, float] | None = None) -> None:
    ratios = f"{found['seconds'] / floor['seconds']:6.2f} {found['core'] / floor['core']:6.2f}" if floor else " " * 13
    each, core = found["seconds"] / count * 1000, found["core"] / count * 1000
    print(f"{name:34} {found['seconds']:8.2f} {each:8.1f} {core:8.1f} {ratios} {found['megabytes']:8.0f}", flush=True)


def cold(work: Path, folder: Path, count: int) -> dict[str, list[dict[str, float]]]:
    """Ours, Pillow alone and libvips in turn."""
    times: dict[str, list[dict[str, float]]] = {"ours": [], "bare": [], "vips": []}
    codes = {"ours": OURS, "bare": BARE} | ({"vips": VIPS} if importlib.util.find_spec("pyvips") else {})
    for _ in range(ROUNDS):
        for name, code in codes.items():
            out = work / name
            shutil.rmtree(out, ignore_errors=True)
            times[name].append(run(code, folder, out, out if name == "ours" else work / "none", count))
    return times


def least(found: list[dict[str, float]]) -> dict[str, float]:
    return {name: min(one[name] for one in found) for name in found[0]}


def warm(work: Path, folder: Path, count: int) -> None:
    """With nothing changed, and with every photo renamed."""
    for _ in range(2):
        same_again = run(OURS, folder, work / "ours", work / "ours", count)
    say("nothing changed", same_again, count)
    for path in sorted(folder.iterdir()):
        path.rename(path.with_name(f"r{path.name}"))
    renamed = run(OURS, folder, work / "ours", work / "ours", count)
    say("every photo renamed", renamed, count)


def formats(work: Path, folder: Path, count: int) -> None:
    """The web formats, in time and bytes, one round."""
    lengths = {}
    for kind in ("jpeg", "webp", "avif"):
        out = work / kind
        found = run(OURS, folder, out, out, count, kind)
        lengths[kind] = sum(path.stat().st_size for path in (out / "photos").iterdir())
        say(f"as {kind}, {lengths[kind] / lengths['jpeg']:.2f} of the bytes", found, count)


def large(work: Path) -> None:
    """Photos of 48 megapixels, four of each kind, which take turns."""
    noise = Image.effect_noise((2000, 1500), 60).convert("RGB").resize((8000, 6000))
    kinds = {"baseline.jpg": {"quality": 85}, "progressive.jpg": {"quality": 85, "progressive": True}, "colour.png": {}}
    for name, options in kinds.items():
        folder = work / name
        folder.mkdir()
        for number in range(4):
            noise.putpixel((number, 0), (255, 0, 0))
            noise.save(folder / f"{number}-{name}", **options)
        found = run(OURS, folder, work / "big", work / "big", 4)
        say(f"48 megapixels, {name}", found, 4)


def main() -> None:
    quick = "--quick" in sys.argv
    count = 40 if quick else 200
    with tempfile.TemporaryDirectory() as kept:
        work = Path(kept)
        folder = work / "originals"
        make(folder, count)
        each = sum(path.stat().st_size for path in folder.iterdir()) / count / 1e6
        print(f"{count} photos of 12 megapixels, {each:.1f} MB each; least of {ROUNDS}; two threads")
        print(
            f"{'':34} {'seconds':>8} {'ms each':>8} {'of core':>8} {'ratio':>6} {'core':>6} {'peak MB':>8}", flush=True
        )
        times = cold(work, folder, count)
        for name, words in (("ours", "cold"), ("bare", "Pillow alone"), ("vips", "libvips")):
            if times[name]:
                say(words, least(times[name]), count, least(times["bare"]))
            else:
                print(f"{words:34} not installed")
        print(f"same to the last byte as Pillow alone: {same(work / 'ours', work / 'bare', folder)} of {2 * count}")
        warm(work, folder, count)
        for some in sorted({count // 4, count}):
            found = run(OURS, folder, work / f"m{some}", work / f"m{some}", some)
            say(f"cold, {some} photos", found, some)
        formats(work, folder, min(count, 40))
        large(work)


if __name__ == "__main__":
    main()
