"""Copies of the web pictures for a printed document: 800 pixels on the long edge, as JPEG.

They are made from the large web copies, which are upright, sRGB and without tags already, and lie beside them in the
picture cache under the same fingerprint. A picture that is a JPEG no larger than that is printed from its own largest
copy. Where the web copies are WebP or AVIF, the share cards of pages are these too: not every reader of cards knows those.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterable, Mapping
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from buildlog.basics.frozen import frozen
from buildlog.site.pictures import Picture, Size
from buildlog.site.shelf import PHOTOS, put
from buildlog.site.shelf_index import print_copy

PRINT = 800
"""The long edge of a print copy: 85 mm at 240 dots to the inch."""


@frozen
class Printed:
    """A print copy: its file, and its size in pixels."""

    path: Path
    width: int
    height: int


def prints(
    pictures: Mapping[str, Picture],
    cache: Path,
    progress: Callable[[int, int], None] | None = None,
    *,
    threads: int = 2,
) -> dict[str, Printed]:
    """The print copies of pictures whose web copies lie in ``cache``, by their originals' paths."""
    made: dict[str, Printed] = {}
    still = {shown: picture for shown, picture in pictures.items() if picture.sizes}
    with ThreadPoolExecutor(max_workers=threads) as pool:
        copies = pool.map(lambda picture: _printed(picture, cache), still.values())
        for done, (shown, copy) in enumerate(zip(still, copies, strict=True), 1):
            made[shown] = copy
            if progress:
                progress(done, len(still))
    return made


def cards(pictures: Mapping[str, Picture], wanted: Iterable[str], cache: Path) -> dict[str, Size]:
    """JPEGs for the share cards of some pictures: the large web copies where those are JPEG, else print copies."""
    found = {shown: pictures[shown] for shown in wanted if shown in pictures and pictures[shown].sizes}
    other = {shown: picture for shown, picture in found.items() if not _is_jpeg(picture.sizes[0])}
    try:
        made = prints(other, cache)
    except OSError:  # a page without a card is better than none
        return {}
    copies = {shown: Size(copy.width, copy.height, f"{PHOTOS}/{copy.path.name}") for shown, copy in made.items()}
    return {shown: copies.get(shown, picture.sizes[0]) for shown, picture in found.items()}


def _is_jpeg(size: Size) -> bool:
    return size.name.endswith(".jpg")


def _printed(picture: Picture, cache: Path) -> Printed:
    large = picture.sizes[0]
    width, height = _fit(large)
    if (width, height) == (large.width, large.height) and _is_jpeg(large):
        return Printed(cache / large.name, width, height)
    kind = "jpeg" if _is_jpeg(large) else large.name.rpartition(".")[2]
    path = cache / PHOTOS / print_copy(picture.digest, kind)
    if not path.is_file():
        put(path, _shrunk(cache / large.name, (width, height)))
    return Printed(path, width, height)


def _fit(size: Size) -> tuple[int, int]:
    long = max(size.width, size.height)
    if long <= PRINT:
        return size.width, size.height
    return max(1, round(size.width * PRINT / long)), max(1, round(size.height * PRINT / long))


def _shrunk(large: Path, size: tuple[int, int]) -> bytes:
    """The JPEG, with nothing in it but the picture; at a half a JPEG's decoder does the work."""
    from PIL import Image

    from buildlog.site.darkroom import QUALITY

    with Image.open(large, formats=("JPEG", "WEBP", "AVIF")) as image:
        image.draft("RGB", size)
        small = (
            image.convert("RGB") if image.size == size else image.convert("RGB").resize(size, Image.Resampling.LANCZOS)
        )
    out = io.BytesIO()
    small.save(out, "JPEG", quality=QUALITY, exif=b"", icc_profile=None, comment=None, xmp=None)
    return out.getvalue()
