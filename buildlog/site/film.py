"""A film as a site may show it: the same sound and picture, without place, time, person or camera.

An MP4 or QuickTime film is copied with all that is not needed for playing written over (`film_boxes.py`). A WebM is
copied as it is: cameras and phones do not write these, and what makes them writes no place. A frame for the time
before it plays is had where the program ffmpeg is on the PATH; without it there is none.
"""

import io
import shutil
import subprocess
from contextlib import suppress
from pathlib import Path
from typing import BinaryIO

from buildlog.basics.films import HEAD, begins_film, in_boxes
from buildlog.basics.frozen import frozen
from buildlog.site.darkroom import Copy, Print, develop_one
from buildlog.site.faults import Fault
from buildlog.site.film_boxes import BrokenFilmError, Cut, cut_of
from buildlog.site.shelf import aside

_ZEROS = bytes(1 << 20)
_PATIENCE_SECONDS = 60
_AGAIN = "copy it again from the camera or the phone; if it is broken there too, take its line out"


@frozen
class Reel:
    """What one film gives: its size in pixels (0: not known), and the copies of a frame, if one could be had."""

    width: int
    height: int
    copies: tuple[Copy, ...] = ()


def examined(original: BinaryIO, shown: str) -> Cut | Fault:
    """What is to be written over in an open film; `shown` is its path in messages."""
    head = original.read(HEAD)
    if not head:
        return Fault(shown, "this file is empty", "copy it again from the camera, or take its line out")
    if not begins_film(head):
        return Fault(shown, "this is not a film that can be shown (MP4, QuickTime or WebM)", "export it as MP4")
    if not in_boxes(head):
        return Cut()
    try:
        return cut_of(original, original.seek(0, io.SEEK_END))
    except BrokenFilmError as error:
        return Fault(shown, str(error), _AGAIN)


def film_label(shown: str) -> str:
    """The end of the published film's name."""
    ending = shown.rpartition(".")[2].lower()
    return f"film.{ending}"


def keep_film(original: BinaryIO, cut: Cut, target: Path) -> None:
    """Writes the film to its place, whole or not at all."""
    beside = aside(target)
    try:
        with beside.open("wb") as copy:
            original.seek(0)
            shutil.copyfileobj(original, copy, len(_ZEROS))
            for start, over in cut.over:
                copy.seek(start)
                _write(copy, over)
        beside.replace(target)
    finally:
        with suppress(OSError):
            beside.unlink(missing_ok=True)


def _write(copy: BinaryIO, over: int | bytes) -> None:
    if isinstance(over, bytes):
        copy.write(over)
        return
    while over > 0:
        over -= copy.write(_ZEROS[:over])


def reel(film: Path, cut: Cut, shown: str, kind: str) -> Reel:
    """A kept film with a frame of it as web pictures, if one can be had."""
    made = develop_one(io.BytesIO(still), shown + ".png", kind) if (still := _still(film)) else None
    copies = made.copies if isinstance(made, Print) else ()
    if cut.width or not isinstance(made, Print):
        return Reel(cut.width, cut.height, copies)
    return Reel(made.width, made.height, copies)


def has_stills() -> bool:
    """Whether frames can be had on this computer."""
    return shutil.which("ffmpeg") is not None


def _still(film: Path) -> bytes:
    """The first frame as PNG, upright; nothing where it cannot be had."""
    ffmpeg = shutil.which("ffmpeg")
    if ffmpeg is None:
        return b""
    asked = ["-nostdin", "-v", "error", "-protocol_whitelist", "file,pipe", "-i", str(film), "-an", "-frames:v", "1"]
    command = [ffmpeg, *asked, "-f", "image2pipe", "-c:v", "png", "-"]
    try:
        done = subprocess.run(command, capture_output=True, timeout=_PATIENCE_SECONDS, check=False)  # noqa: S603 - no shell
    except (OSError, subprocess.TimeoutExpired):
        return b""
    return done.stdout if done.returncode == 0 else b""
