"""What is cut out of a film before others may see it: place, camera, person and time.

An MP4 or QuickTime film is a tree of boxes (ISO/IEC 14496-12; written here from memory of it, and held in tests against
films of an independent encoder). Each box begins with its size and four letters. Tables in it count in bytes from the
beginning of the file; so nothing is taken out: a box that is not needed for playing becomes a ``free`` one of the same
size, filled with zeros, and every byte of sound and picture stays where it was.

Kept are the boxes named here, and of the tracks those of pictures and sound. All others go, among them ``udta`` and
``meta``, where phones write the place, ``uuid``, and tracks of positions, titles or a camera's own data with their
samples. Times of day in headers and the names of handlers become zeros. What an encoder hides inside its own pictures
or sound is not looked for.
"""

import struct
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from itertools import accumulate, pairwise
from typing import BinaryIO

from buildlog.basics.frozen import frozen

_PADDING = {b"free", b"skip", b"wide"}
_TABLES = "stsd stts ctts cslg stsc stsz stz2 stco co64 stss stps stsh sdtp sbgp sgpd subs saiz saio padb"
_KEPT = {
    b"": set(b"ftyp styp moov mdat moof mfra sidx ssix".split()),
    b"moov": set(b"mvhd trak mvex iods".split()),
    b"trak": set(b"tkhd edts mdia tapt".split()),
    b"mdia": set(b"mdhd hdlr minf elng".split()),
    b"minf": set(b"vmhd smhd gmhd nmhd hdlr dinf stbl".split()),
    b"stbl": set(_TABLES.encode().split()),
    b"moof": set(b"mfhd traf".split()),
    b"traf": set(b"tfhd tfdt trun sdtp sbgp sgpd subs saiz saio".split()),
}
_DATED = {b"mvhd", b"tkhd", b"mdhd"}
_TRACKS = {b"vide", b"soun"}


class BrokenFilmError(Exception):
    """A film whose boxes do not hold together; its words say how."""


@frozen
class Box:
    """A box: its four letters, and where it, what is in it, and its end are."""

    kind: bytes
    start: int
    body: int
    end: int


@dataclass
class Cut:
    """The size of a film's picture (0: not known), and what is written over: zeros of a length, or other bytes."""

    width: int = 0
    height: int = 0
    over: list[tuple[int, int | bytes]] = field(default_factory=list)


def boxes(film: BinaryIO, start: int, end: int) -> Iterator[Box]:
    """The boxes that stand one after the other in a stretch of a file."""
    while start + 8 <= end:
        head = _read(film, start, min(16, end - start))
        size, body = struct.unpack(">I", head[:4])[0], start + 8
        if size == 1:
            size, body = struct.unpack(">Q", head[8:].ljust(8, b"\0"))[0], start + 16
        elif size == 0:
            size = end - start
        if not body - start <= size <= end - start:
            raise BrokenFilmError("this film breaks off before its end")
        yield Box(head[4:8], start, body, start + size)
        start += size


def cut_of(film: BinaryIO, length: int) -> Cut:
    """What is to be written over in a film of boxes."""
    cut, top = Cut(), list(boxes(film, 0, length))
    kinds = {box.kind for box in top}
    tracks: list[bytes] = []
    for box in top:
        if box.kind == b"moov":
            tracks += _moov(film, box, cut, [each for each in top if each.kind == b"mdat"])
        elif box.kind == b"moof":
            _sift(film, box, cut)
        elif box.kind not in _KEPT[b""]:
            _free(box, cut)
    if b"vide" not in tracks:
        raise BrokenFilmError("this is not a film that can be played: it has no table of pictures")
    if b"moof" in kinds and set(tracks) - _TRACKS:
        raise BrokenFilmError("this film is in fragments and holds more than pictures and sound")
    return cut


def _moov(film: BinaryIO, moov: Box, cut: Cut, samples: list[Box]) -> Iterator[bytes]:
    """Sifts the table of contents; the kinds of its tracks."""
    for box in boxes(film, moov.body, moov.end):
        if box.kind != b"trak":
            _judge(film, box, b"moov", cut)
            continue
        kind = _handler(film, box)
        yield kind
        if kind in _TRACKS:
            _sift(film, box, cut)
            if kind == b"vide" and not cut.width:
                cut.width, cut.height = _size(film, _inner(film, box, b"tkhd"))
        else:
            cut.over += _samples(film, _inner(film, box, b"mdia", b"minf", b"stbl"), samples)
            _free(box, cut)


def _sift(film: BinaryIO, outer: Box, cut: Cut) -> None:
    for box in boxes(film, outer.body, outer.end):
        _judge(film, box, outer.kind, cut)


def _judge(film: BinaryIO, box: Box, within: bytes, cut: Cut) -> None:
    """Keeps a box, sifts what is in it, or makes it a free one."""
    if box.kind not in _KEPT[within]:
        _free(box, cut)
    elif box.kind in _KEPT:
        _sift(film, box, cut)
    elif box.kind in _DATED:
        cut.over.append((box.body + 4, 16 if _read(film, box.body, 1) == b"\1" else 8))
    elif box.kind == b"hdlr":
        cut.over.append((box.body + 24, max(0, box.end - box.body - 24)))


def _free(box: Box, cut: Cut) -> None:
    if box.kind not in _PADDING:
        cut.over.append((box.start + 4, b"free"))
    cut.over.append((box.body, box.end - box.body))


def _inner(film: BinaryIO, outer: Box, *path: bytes) -> Box:
    """The box that a path of letters leads to."""
    for kind in path:
        found = next((box for box in boxes(film, outer.body, outer.end) if box.kind == kind), None)
        if found is None:
            raise BrokenFilmError(f"this film is damaged: its table has no {kind.decode('ascii')}")
        outer = found
    return outer


def _handler(film: BinaryIO, track: Box) -> bytes:
    """What a track holds: pictures (vide), sound (soun), or something else."""
    return _read(film, _inner(film, track, b"mdia", b"hdlr").body + 8, 4)


def _size(film: BinaryIO, header: Box) -> tuple[int, int]:
    """Width and height as shown: a phone that was held upright turns its pictures by the header's matrix."""
    later = 12 if _read(film, header.body, 1) == b"\1" else 0
    matrix = struct.unpack(">9i2I", _read(film, header.body + 40 + later, 44))
    width, height = round(matrix[9] / 65536), round(matrix[10] / 65536)
    return (height, width) if matrix[0] == 0 and matrix[1] != 0 else (width, height)


def _samples(film: BinaryIO, table: Box, data: list[Box]) -> Iterator[tuple[int, int]]:
    """Where the samples of a track are, and how long they are, chunk by chunk."""
    found = {box.kind: box for box in boxes(film, table.body, table.end)}
    starts = _column(film, found.get(b"stco"), ">I") or _column(film, found.get(b"co64"), ">Q")
    runs = [*_column(film, found.get(b"stsc"), ">I8x"), len(starts) + 1]
    each = _column(film, found.get(b"stsc"), ">4xI4x")
    up_to = _lengths(film, found)
    sample = 0
    for (first, after), number in zip(pairwise(runs), each, strict=True):
        for start in starts[first - 1 : after - 1]:
            length = up_to(sample + number) - up_to(sample)
            if not any(box.body <= start and start + length <= box.end for box in data):
                raise BrokenFilmError("this film is damaged: a track of it lies outside of its data")
            yield start, length
            sample += number


def _lengths(film: BinaryIO, found: dict[bytes, Box]) -> Callable[[int], int]:
    """How many bytes so many samples of a track take together."""
    table = found.get(b"stsz")
    if table is None:
        raise BrokenFilmError("this film is damaged: a track of it does not say how long its samples are")
    alike = struct.unpack(">I", _read(film, table.body + 4, 4))[0]
    if alike:
        return lambda samples: samples * alike
    sums = [0, *accumulate(_column(film, table, ">I", 8))]
    return lambda samples: sums[min(samples, len(sums) - 1)]


def _column(film: BinaryIO, table: Box | None, form: str, before: int = 4) -> list[int]:
    """One column of a table: after ``before`` bytes stands how many rows it has, then they do."""
    if table is None:
        return []
    rows = struct.unpack(">I", _read(film, table.body + before, 4))[0]
    start, length = table.body + before + 4, rows * struct.calcsize(form)
    if start + length > table.end:
        raise BrokenFilmError("this film is damaged: a table of it is longer than its box")
    return [row[0] for row in struct.iter_unpack(form, _read(film, start, length))]


def _read(film: BinaryIO, start: int, length: int) -> bytes:
    film.seek(start)
    found = film.read(length)
    if len(found) != length:
        raise BrokenFilmError("this film breaks off before its end")
    return found
