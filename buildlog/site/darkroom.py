"""One original in, its web copies out: upright, sRGB, small, and silent about place, time, person and camera.

Decoding is the cost, so it is done once for both sizes, and a JPEG is decoded at a half, a quarter or an
eighth where that suffices. A moving picture gives its first frame. Whatever a decoder says against a file
comes back as a `Fault`; the original is only ever read.

The copies are JPEG, which everything opens, or WebP or AVIF, which every current browser shows: they take less room, for
about 1.7 and 2.2 times the work (benchmarks/pictures.py).
"""

import importlib
import io
import threading
from collections.abc import Iterator, Mapping
from contextlib import nullcontext, suppress
from functools import lru_cache
from typing import BinaryIO

from PIL import Image, UnidentifiedImageError

from buildlog.basics.frozen import frozen
from buildlog.site.colour import plain, web_colours
from buildlog.site.faults import Fault

LARGE = 1600
SMALL = 480
QUALITY = 82
AVIF_QUALITY = 65
MOST_PIXELS = 200_000_000
ENDINGS: Mapping[str, str] = {"jpeg": "jpg", "webp": "webp", "avif": "avif"}
"""The formats of web copies, each with the ending of its files."""
RECIPE = f"jpeg {QUALITY}, webp {QUALITY} 2, avif {AVIF_QUALITY} 10, {LARGE} {SMALL} bicubic white 2"
"""Changes whenever the same original would give other bytes."""

_READ = ("JPEG", "MPO", "PNG", "WEBP", "GIF", "TIFF", "BMP", "AVIF", "HEIF")
_DRAWN = {"PNG", "GIF", "BMP", "TIFF"}  # thin coloured lines keep all their colour
_RAW = {"dng", "cr2", "cr3", "nef", "arw", "raf", "orf", "rw2", "pef", "srw"}
_HEIC = {b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1"}
_FILM = {b"qt  ", b"isom", b"iso2", b"mp41", b"mp42", b"avc1", b"M4V ", b"3gp4", b"3gp5"}
_ORIENTATION = 0x0112
_LYING = 5
_TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
_BIG = 40_000_000
_BIG_ONES = threading.Lock()  # held while one big picture is open: two at once might not fit into memory

_READABLE = "JPEG, PNG, WebP, GIF, TIFF, BMP, AVIF, or HEIC with its reader"


@frozen
class Copy:
    """One web copy: the end of its name (the long edge it is meant for and its ending), its real size, its bytes."""

    label: str
    width: int
    height: int
    content: bytes


@frozen
class Print:
    """What one original gives: its upright size in pixels, and its web copies, largest first."""

    width: int
    height: int
    copies: tuple[Copy, ...]


def develop_one(original: BinaryIO, shown: str, kind: str = "jpeg") -> Print | Fault:
    """The web copies of one open original as `kind` (jpeg, webp or avif); `shown` is its path in messages."""
    if shown.rpartition(".")[2].lower() in _RAW:
        return Fault(shown, "this is a camera's raw file", "export it as JPEG and name that file instead")
    try:
        with Image.open(original, formats=_formats()) as image:
            if image.width * image.height > MOST_PIXELS:
                return _too_large(shown, image)
            return _printed(image, kind)
    except UnidentifiedImageError:
        return _not_a_picture(original, shown)
    except Image.DecompressionBombError:
        return _too_large(shown, None)
    except Exception as error:  # noqa: BLE001 - on broken files the decoders raise nearly everything there is
        return _broken(shown, error)


@lru_cache(maxsize=1)
def _formats() -> tuple[str, ...]:
    """The formats that can be read here; the HEIC reader is an extra."""
    Image.init()
    with suppress(ImportError):
        importlib.import_module("pillow_heif").register_heif_opener(thumbnails=False)
    return tuple(name for name in _READ if name in Image.OPEN)


def _printed(image: Image.Image, kind: str) -> Print:
    width, height = image.size
    image.draft(None, _fit(image.size, LARGE))
    with _BIG_ONES if _heavy(image, width * height) else nullcontext():
        image.load()
        turn = _orientation(image)
        profile = image.info.get("icc_profile")
        large = _shrunk(plain(image), LARGE, Image.Resampling.BICUBIC, 2.0)
    large = _upright(web_colours(large, profile), turn)
    if turn >= _LYING:
        width, height = height, width
    return Print(width, height, tuple(_copies(large, kind, "4:4:4" if image.format in _DRAWN else "4:2:0")))


def _copies(large: Image.Image, kind: str, chroma: str) -> Iterator[Copy]:
    """The large copy, where there is something to make large, and the small one."""
    if max(large.size) > SMALL:
        yield _copy(large, LARGE, kind, chroma)
    yield _copy(_shrunk(large, SMALL, Image.Resampling.LANCZOS, 1.5), SMALL, kind, chroma)


def _heavy(image: Image.Image, pixels: int) -> bool:
    """Whether decoding takes much memory: the pixels themselves, or a progressive JPEG's coefficients of all of them."""
    return image.width * image.height > _BIG or (bool(image.info.get("progressive")) and pixels > _BIG)


def _orientation(image: Image.Image) -> int:
    """How the camera was held, 1 to 8; what cannot be read counts as upright."""
    try:
        turn = image.getexif().get(_ORIENTATION, 1)
    except Exception:  # noqa: BLE001 - a damaged tag block must not cost the picture
        return 1
    return turn if turn in _TURNS else 1


def _upright(image: Image.Image, turn: int) -> Image.Image:
    return image.transpose(_TURNS[turn]) if turn in _TURNS else image


def _fit(size: tuple[int, int], edge: int) -> tuple[int, int]:
    """The size with its long edge at most `edge`, never larger than it was."""
    long = max(size)
    if long <= edge:
        return size
    width, height = ((2 * side * edge + long) // (2 * long) for side in size)
    return max(1, width), max(1, height)


def _shrunk(image: Image.Image, edge: int, resample: Image.Resampling, gap: float) -> Image.Image:
    size = _fit(image.size, edge)
    return image if size == image.size else image.resize(size, resample, reducing_gap=gap)


def _copy(image: Image.Image, label: int, kind: str, chroma: str) -> Copy:
    """The copy with nothing in it but the picture: what Pillow would carry over is refused by name."""
    out = io.BytesIO()
    silent = {"exif": b"", "icc_profile": b"", "comment": None, "xmp": b""}
    image.save(out, kind, **_manner(kind, chroma), **silent)
    return Copy(f"{label}.{ENDINGS[kind]}", image.width, image.height, out.getvalue())


def _manner(kind: str, chroma: str) -> dict[str, object]:
    """How a format is written; AVIF by one thread, as its bytes depend on how many there are."""
    if kind == "webp":
        return {"quality": QUALITY, "method": 2}
    if kind == "avif":
        return {"quality": AVIF_QUALITY, "speed": 10, "max_threads": 1, "subsampling": chroma}
    return {"quality": QUALITY, "subsampling": chroma}


def _too_large(shown: str, image: Image.Image | None) -> Fault:
    size = f"{image.width} x {image.height} pixels" if image else "its pixels"
    words = f"{size} are more than the {MOST_PIXELS // 1_000_000} million that are opened"
    return Fault(shown, words, "save a smaller copy of the picture and name that file instead")


def _not_a_picture(original: BinaryIO, shown: str) -> Fault:
    original.seek(0)
    head = original.read(12)
    if not head:
        return Fault(shown, "this file is empty", "copy it again from the camera, or take its line out")
    brand = head[8:12] if head[4:8] == b"ftyp" else b""
    if brand in _HEIC and "HEIF" not in _formats():
        words = "this is a HEIC picture, and the reader for these is not installed"
        return Fault(shown, words, 'pip install "buildlog[heic]", or export the picture as JPEG')
    if brand in _FILM:
        return Fault(shown, "this is a film, not a picture", "name a still picture instead")
    words = f"this is not a picture that can be read ({_READABLE})"
    return Fault(shown, words, "export it as JPEG, or take its line out")


def _broken(shown: str, error: Exception) -> Fault:
    remedy = "copy it again from the camera or the phone; if it is broken there too, take its line out"
    if isinstance(error, MemoryError):
        words = "there is not enough memory to open this picture"
        return Fault(shown, words, "save a smaller copy of the picture and name that file instead")
    if "truncated" in str(error).lower():
        return Fault(shown, "this picture breaks off before its end", remedy)
    return Fault(shown, f"this picture is damaged ({str(error) or type(error).__name__})", remedy)
