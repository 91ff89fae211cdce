"""Films: what phones write about place, camera and time is gone, and not one byte of sound or picture moves."""

from __future__ import annotations

import io
import os
import shutil
import struct
import subprocess
from pathlib import Path

import pytest
from PIL import Image

from buildlog.site import film as film_module
from buildlog.site.film_boxes import BrokenFilmError, boxes, cut_of
from buildlog.site.pictures import Fault, Picture, Wanted, develop
from buildlog.site.prints import cards, prints

PLACE = b"+52.1234+004.5678+010/"
SECRETS = (PLACE, b"Camera Maker", b"SN-778899", b"XMP-SECRET", b"GPSDATA", b"2026-07-04", b"Handler of a phone")
DATES = (0xE1234567, 0xE1234568)
FFMPEG = shutil.which("ffmpeg")
needs_ffmpeg = pytest.mark.skipif(FFMPEG is None, reason="ffmpeg is not on the PATH")


@pytest.fixture(autouse=True)
def no_stills(monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest) -> None:
    """As on a computer without ffmpeg, but for the tests that are about it."""
    if "stills" not in request.keywords:
        monkeypatch.setattr(film_module.shutil, "which", lambda _: None)


def box(kind: bytes, *content: bytes) -> bytes:
    body = b"".join(content)
    return struct.pack(">I", 8 + len(body)) + kind + body


def header(kind: bytes, rest: bytes, version: int = 0) -> bytes:
    """A box that begins with its version, and when it was made and changed."""
    return box(kind, bytes([version, 0, 0, 0]), struct.pack(">2Q" if version else ">2I", *DATES), rest)


def tkhd(width: int, height: int, matrix: tuple[int, ...], version: int = 0) -> bytes:
    ids = struct.pack(">IIQ" if version else ">III", 1, 0, 5000) + bytes(16)
    return header(b"tkhd", ids + struct.pack(">9i2I", *matrix, width << 16, height << 16), version)


UPRIGHT = (0x10000, 0, 0, 0, 0x10000, 0, 0, 0, 0x40000000)
TURNED = (0, 0x10000, 0, -0x10000, 0, 0, 0x01E00000, 0, 0x40000000)


def table(kind: bytes, *rows: tuple[int, ...], form: str = ">I") -> bytes:
    return box(kind, bytes(4), struct.pack(">I", len(rows)), *(struct.pack(form, *row) for row in rows))


def stbl(starts: list[int], lengths: list[int], each: int = 1, wide: bool = False) -> bytes:
    sizes = box(b"stsz", struct.pack(">III", 0, 0, len(lengths)), *(struct.pack(">I", one) for one in lengths))
    offsets = table(b"co64" if wide else b"stco", *((one,) for one in starts), form=">Q" if wide else ">I")
    return box(
        b"stbl",
        table(b"stsd"),
        table(b"stts"),
        table(b"stsc", (1, each, 1), form=">III"),
        sizes,
        offsets,
        box(b"uuid", bytes(16) + b"XMP-SECRET"),
    )


def trak(handler: bytes, samples: bytes, head: bytes = b"", version: int = 0) -> bytes:
    name = box(b"hdlr", bytes(8) + handler + bytes(12) + b"Handler of a phone\0")
    return box(
        b"trak",
        head or tkhd(0, 0, UPRIGHT, version),
        box(b"tref", box(b"cdsc", struct.pack(">I", 1))),
        box(b"udta", box(b"name", b"Camera Maker")),
        box(
            b"mdia",
            header(b"mdhd", bytes(12), version),
            name,
            box(b"minf", box(b"vmhd", bytes(12)), name, box(b"dinf"), samples),
            box(b"meta", PLACE),
        ),
    )


def film(
    matrix: tuple[int, ...] = UPRIGHT, version: int = 0, wide: bool = False, end: bytes = b"", first: bool = False
) -> bytes:
    """A film as a phone writes it: two tracks that play, a third of positions, and words about it in all places."""
    picture, sound, places = b"PICTURE" * 9, b"SOUND" * 8, [b"GPSDATA one ", b"GPSDATA two", b"GPSDATA 3"]
    data = picture + places[0] + places[1] + sound + places[2]
    before = box(b"ftyp", b"qt  " + bytes(4) + b"qt  ") + box(b"wide") + box(b"uuid", bytes(16), b"XMP-SECRET")

    def moov(at: int) -> bytes:
        starts = [at + len(picture), at + len(data) - len(places[2])]
        rows = table(b"stsc", (1, 2, 1), (2, 1, 1), form=">III")
        third = stbl(starts, [len(one) for one in places], wide=wide).replace(
            table(b"stsc", (1, 1, 1), form=">III"), rows
        )
        third = box(b"stbl", third[8:])
        return box(
            b"moov",
            header(b"mvhd", bytes(88), version),
            trak(b"vide", stbl([at], [len(picture)], wide=wide), tkhd(640, 360, matrix, version), version),
            trak(b"soun", stbl([at + len(picture)], [len(sound)], wide=wide), version=version),
            trak(b"meta", third, version=version),
            box(b"udta", box(b"\xa9xyz", struct.pack(">HH", len(PLACE), 0x15C7) + PLACE), bytes(4)),
            box(b"meta", box(b"keys", b"com.apple.quicktime.location.ISO6709"), box(b"ilst", PLACE, b"SN-778899")),
            box(b"gps ", PLACE),
            box(b"free", b"2026-07-04"),
        )

    if first:
        head = before + moov(len(before) + len(moov(0)) + 8)
        return head + box(b"mdat", data) + end
    return before + box(b"mdat", data) + moov(len(before) + 8) + end


def published(
    folder: Path, content: bytes, name: str = "run.mov", kind: str = "jpeg"
) -> tuple[Picture | None, list[Fault], Path]:
    source, cache = folder / name, folder / "cache"
    source.write_bytes(content)
    os.utime(source, (1_600_000_000, 1_600_000_000))
    found, faults = develop([Wanted(source, f"photos/{name}")], cache, cache, kind=kind)
    return found.get(f"photos/{name}"), faults, cache


def kept(folder: Path, content: bytes, name: str = "run.mov") -> bytes:
    found, faults, cache = published(folder, content, name)
    assert faults == []
    assert found is not None
    assert found.film is not None
    assert found.sizes == ()
    return (cache / found.film.name).read_bytes()


FORMS = {
    "": {},
    "version 1": {"version": 1},
    "64-bit offsets": {"wide": True},
    "table first": {"first": True},
    "place at the end": {"end": box(b"udta", PLACE) + box(b"skip", PLACE)},
}


@pytest.mark.parametrize("form", FORMS.values(), ids=FORMS)
def test_place_camera_person_and_time_are_gone_and_nothing_moves(tmp_path: Path, form: dict[str, object]) -> None:
    content = film(**form)  # type: ignore[arg-type]
    assert all(secret in content for secret in SECRETS)
    made = kept(tmp_path, content)
    assert len(made) == len(content)
    assert not [secret for secret in (*SECRETS, b"apple", b"\xa9xyz") if secret in made]
    assert struct.pack(">I", DATES[0]) not in made
    assert struct.pack(">I", DATES[1]) not in made
    assert made.index(b"PICTURE" * 9) == content.index(b"PICTURE" * 9)
    assert made.index(b"SOUND" * 8) == content.index(b"SOUND" * 8)


def test_every_byte_that_differs_is_one_that_was_to_go(tmp_path: Path) -> None:
    """Of what differs all is zeros now, or the letters of a free box; the tables of the tracks that play are whole."""
    content = film()
    made = kept(tmp_path, content)
    for at, (new, old) in enumerate(zip(made, content, strict=True)):
        if new != old:
            assert new == 0 or any(made[start : start + 4] == b"free" for start in range(at - 3, at + 1)), at
    for whole in (stbl([content.index(b"PICTURE")], [63]), stbl([content.index(b"PICTURE") + 63], [40])):
        table_kept = whole[8 : whole.index(b"uuid") - 4]
        assert table_kept in content
        assert made.count(table_kept) == 1


def test_the_boxes_hold_together_after_it(tmp_path: Path) -> None:
    content = film()
    made = io.BytesIO(kept(tmp_path, content))
    top = [(one.kind, one.start, one.end) for one in boxes(made, 0, len(content))]
    assert [kind for kind, _, _ in top] == [b"ftyp", b"wide", b"free", b"mdat", b"moov"]
    inner = next(one for one in boxes(made, 0, len(content)) if one.kind == b"moov")
    kinds = [one.kind for one in boxes(made, inner.body, inner.end)]
    assert kinds == [b"mvhd", b"trak", b"trak", b"free", b"free", b"free", b"free", b"free"]


def test_cutting_twice_changes_nothing_more(tmp_path: Path) -> None:
    once = kept(tmp_path, film())
    assert kept(tmp_path, once) == once


@pytest.mark.parametrize(("matrix", "size"), [(UPRIGHT, (640, 360)), (TURNED, (360, 640))], ids=["lying", "upright"])
@pytest.mark.parametrize("version", [0, 1])
def test_the_size_is_the_one_it_is_shown_at(
    tmp_path: Path, matrix: tuple[int, ...], size: tuple[int, int], version: int
) -> None:
    found, _, _ = published(tmp_path, film(matrix, version))
    assert found is not None
    assert (found.width, found.height) == size


def test_a_webm_is_copied_as_it_is(tmp_path: Path) -> None:
    content = b"\x1a\x45\xdf\xa3" + bytes(range(256)) * 4
    assert kept(tmp_path, content, "run.webm") == content


def test_its_name_comes_from_its_content(tmp_path: Path) -> None:
    found, _, _ = published(tmp_path, film(), "owner_at_home.MOV")
    assert found is not None
    assert found.film is not None
    assert found.film.name == f"photos/{found.digest[:16]}-film.mov"
    assert found.files == (found.film,)


def test_a_film_is_cut_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = published(tmp_path, film())
    monkeypatch.setattr("buildlog.site.making.examined", None)  # looking into it again would fail
    assert published(tmp_path, film()) == first


BAD = {
    "empty": (b"", "this file is empty"),
    "text": (b"This is only a note about the run.\n", "this is not a film that can be shown (MP4, QuickTime or WebM)"),
    "broken off": (film()[:-40], "this film breaks off before its end"),
    "broken off in the data": (film(first=True)[:-30], "this film breaks off before its end"),
    "no table": (
        box(b"ftyp", b"isom") + box(b"mdat", b"DATA"),
        "this is not a film that can be played: it has no table of pictures",
    ),
    "sound alone": (
        box(b"ftyp", b"isom") + box(b"moov", trak(b"soun", stbl([], []))),
        "this is not a film that can be played: it has no table of pictures",
    ),
    "a size that cannot be": (
        box(b"ftyp", b"isom") + b"\0\0\0\4moov",
        "this film breaks off before its end",
    ),
    "fragments with positions": (
        box(b"moov", trak(b"vide", stbl([], []), tkhd(6, 4, UPRIGHT)), trak(b"meta", stbl([], []))) + box(b"moof"),
        "this film is in fragments and holds more than pictures and sound",
    ),
    "a track outside of the data": (
        box(b"mdat", b"DATA")
        + box(b"moov", trak(b"vide", stbl([], []), tkhd(6, 4, UPRIGHT)), trak(b"meta", stbl([0], [99]))),
        "this film is damaged: a track of it lies outside of its data",
    ),
    "a table longer than its box": (
        box(b"moov", trak(b"meta", box(b"stbl", box(b"stco", bytes(4), b"\xff" * 4)))),
        "this film is damaged: a table of it is longer than its box",
    ),
}


@pytest.mark.parametrize(("content", "words"), BAD.values(), ids=BAD)
def test_a_film_that_cannot_be_used_is_told_in_words(tmp_path: Path, content: bytes, words: str) -> None:
    found, faults, cache = published(tmp_path, content)
    assert found is None
    assert [(each.shown, each.words) for each in faults] == [("photos/run.mov", words)]
    assert faults[0].remedy
    assert list((cache / "photos").iterdir()) == []


def test_chance_never_gives_anything_but_words() -> None:
    """Any byte of the table may be wrong: the film is cut within its length, or refused."""
    content = film()
    for at in range(content.index(b"moov") - 4, len(content)):
        for value in (0, 1, 0x7F, 0xFF):
            changed = content[:at] + bytes([value]) + content[at + 1 :]
            try:
                cut = cut_of(io.BytesIO(changed), len(changed))
            except BrokenFilmError:
                continue
            for start, over in cut.over:
                assert 0 <= start <= start + (over if isinstance(over, int) else len(over)) <= len(changed)


def test_a_film_without_a_frame_has_no_print_and_no_card(tmp_path: Path) -> None:
    found, _, cache = published(tmp_path, film())
    assert found is not None
    assert prints({"a": found}, cache) == {}
    assert cards({"a": found}, ["a"], cache) == {}


def encoded(folder: Path, name: str, *options: str) -> Path:
    """A film of a second by an independent encoder, green and with a tone."""
    assert FFMPEG
    path = folder / name
    source = ["-f", "lavfi", "-i", "color=c=0x1ea01e:s=320x180:r=10:d=1", "-f", "lavfi", "-i", "sine=d=1"]
    tags = ["-metadata", f"location={PLACE.decode()}", "-metadata", "creation_time=2026-07-04T10:00:00Z"]
    command = [FFMPEG, "-v", "error", "-y", *source, "-shortest", *tags, *options, str(path)]
    subprocess.run(command, check=True, timeout=60)
    return path


def decoded(path: Path) -> str:
    """Fingerprints of all pictures and sounds of a film, as another program decodes them."""
    assert FFMPEG
    command = [FFMPEG, "-v", "error", "-i", str(path), "-map", "0:v", "-map", "0:a", "-f", "framemd5", "-"]
    return subprocess.run(command, check=True, timeout=60, capture_output=True, text=True).stdout


@needs_ffmpeg
@pytest.mark.stills
@pytest.mark.parametrize(
    ("name", "options"),
    [
        ("a.mp4", []),
        ("b.mov", ["-c:a", "pcm_s16le"]),
        ("c.mp4", ["-movflags", "+faststart"]),
        ("d.mp4", ["-movflags", "frag_keyframe+empty_moov"]),
        ("e.m4v", ["-c:v", "mpeg4"]),
    ],
)
def test_a_real_film_plays_as_before(tmp_path: Path, name: str, options: list[str]) -> None:
    original = encoded(tmp_path, name, *options)
    content = original.read_bytes()
    found, faults, cache = published(tmp_path, content, name)
    assert faults == []
    assert found is not None
    assert found.film is not None
    made = cache / found.film.name
    places = (PLACE, b"loci")  # the second is how MP4 writes it: three numbers in a box of that name
    assert any(place in content for place in places)
    assert not any(place in made.read_bytes() for place in places)
    assert len(made.read_bytes()) == len(content)
    assert decoded(made) == decoded(original)
    assert (found.width, found.height) == (320, 180)
    (still,) = found.sizes
    with Image.open(cache / still.name) as image:
        assert image.size == (320, 180)
        red, green, blue = image.convert("RGB").getpixel((160, 90))  # type: ignore[misc]
    assert green > 100 > max(red, blue)
    assert prints({"a": found}, cache)["a"].width == 320


@needs_ffmpeg
@pytest.mark.stills
def test_a_webm_plays_as_before(tmp_path: Path) -> None:
    original = encoded(tmp_path, "a.webm", "-c:v", "libvpx", "-c:a", "libvorbis")
    found, faults, cache = published(tmp_path, original.read_bytes(), "a.webm")
    assert faults == []
    assert found is not None
    assert found.film is not None
    assert decoded(cache / found.film.name) == decoded(original)
    assert (found.width, found.height) == (320, 180)


@pytest.mark.stills
def test_a_frame_that_cannot_be_had_is_done_without(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(film_module.shutil, "which", lambda _: str(tmp_path / "no-such-program"))
    found, faults, _ = published(tmp_path, film())
    assert faults == []
    assert found is not None
    assert found.sizes == ()
