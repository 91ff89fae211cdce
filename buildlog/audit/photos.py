"""Checks of the files of pictures; they find something only where these were looked at."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from buildlog.audit.case import Case, note, warn
from buildlog.basics.problems import Place, Problem, Severity
from buildlog.records.entry import Entry
from buildlog.records.pictures import Snapshot, named_in, pictures_of

_PIXELS, _BYTES, _FILM_BYTES = 40_000_000, 30_000_000, 100_000_000
"""Above these a picture, and a film, is huge."""
_DAYS = 31
"""A picture further than this from the entries that show it is far from them."""


def photo_unreadable(case: Case) -> Iterator[Problem]:
    """The file of every picture is a picture that can be read.

    Why: publishing stops at one that is not.
    Wrong: ![The bracket](../photos/IMG_0412.jpg), a file that broke off while it was copied
    Right: the same file copied again from the camera
    """
    for file, place in _named(case):
        trouble = case.pictures.snapshots[file].trouble
        if trouble:
            yield warn(
                place,
                "photo-unreadable",
                f"{file}: {trouble}",
                "copy it again from the camera, export it as JPEG, or take its line out",
            )


def photo_huge(case: Case) -> Iterator[Problem]:
    """A picture has no more than 40 million pixels, and its file no more than 30 MB; a film has no more than 100 MB.

    Why: readers get a copy 1600 pixels wide, and the first publication waits for the rest; a film they get whole.
    Wrong: a panorama of 160 million pixels
    Right: the same saved at 7000 pixels on its long edge; a phone's picture of 48 million may stay if the detail counts
    """
    for file, place in _named(case):
        snapshot = case.pictures.snapshots[file]
        if not snapshot.trouble:
            words, remedy = _huge(snapshot)
            if words:
                yield note(place, "photo-huge", f"{file}: {words}", remedy)


def _huge(snapshot: Snapshot) -> tuple[str, str]:
    """How large a file is and what helps, in words; none where it is not huge."""
    pixels, megabytes = snapshot.pixels, snapshot.size // 1_000_000
    if pixels == 0:
        remedy = "readers get it whole: cut it shorter, or save a smaller copy and name that file instead"
        return (f"a film of {megabytes} MB", remedy) if snapshot.size > _FILM_BYTES else ("", "")
    if pixels is None:
        return (
            f"too many pixels to open, {megabytes} MB",
            "save a smaller copy of the picture and name that file instead",
        )
    if pixels <= _PIXELS and snapshot.size <= _BYTES:
        return "", ""
    return (
        f"{pixels // 1_000_000} million pixels, {megabytes} MB",
        "readers get a copy 1600 pixels wide; leave it if the detail counts, or save a smaller copy and name that",
    )


def photo_dated_far(case: Case) -> Iterator[Problem]:
    """A photo was taken within 31 days of an entry that shows it, by the day the camera wrote into it.

    Why: a picture in the wrong entry, or a camera with the wrong year, misleads whoever looks for the day of the work.
    Wrong: a photo of 2025-07-04 in the entry of 2026-07-04
    Right: the photo in the entry of its day; an old picture that is shown on purpose may stay
    """
    shown: dict[str, list[tuple[int, Entry, Place]]] = {}
    for entry in case.worked.logbook.entries:
        for file, place in named_in(entry).items():
            taken = case.pictures.snapshots[file].taken if file in case.pictures.snapshots else None
            if taken is not None:
                shown.setdefault(file, []).append((_days(taken, entry), entry, place))
    for file, places in shown.items():
        days, entry, place = min(places, key=lambda found: found[0])
        if days > _DAYS:
            yield note(
                place,
                "photo-dated-far",
                f"{file} was taken on {case.pictures.snapshots[file].taken}, {days} days from this entry's {entry.day}",
                "look at the date of the entry and at the camera's clock; leave it if it is meant",
            )


def _days(taken: date, entry: Entry) -> int:
    """Days between a photo and an entry, from the nearer end of one that took several days."""
    first, last = entry.first_day, entry.day
    return max((first - taken).days, (taken - last).days, 0)


def same_photo_twice(case: Case) -> Iterator[Problem]:
    """One picture has one file.

    Why: of two copies one is corrected, captioned or taken out, and the other stays.
    Wrong: photos/IMG_0412.jpg and photos/bracket.jpg, the same to the last byte
    Right: one of them, named wherever it is shown
    """
    named = dict(_named(case))
    for first, *others in case.pictures.same:
        for file in others:
            yield Problem(
                named[file],
                "same-photo-twice",
                f"{file} is the same picture as {first}",
                f"name  {first}  here too, and delete the other file",
                Severity.NOTE,
                (named[first],),
            )


def _named(case: Case) -> Iterator[tuple[str, Place]]:
    """The pictures that were looked at, with the first place of each."""
    found = pictures_of(case.worked.logbook)
    return ((file, place) for file, place in found.items() if file in case.pictures.snapshots)
