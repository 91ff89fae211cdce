"""Whether a package is what it was when it was made: against its checksums, its fingerprint and its seals.

Needs no project. The list of the package's own files (the tag manifest) can be proven by nothing else, so it must be,
byte for byte, what this program would write; every other file has a checksum there or in the manifest.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from buildlog.basics.fingerprints import fingerprint
from buildlog.basics.frozen import frozen
from buildlog.basics.names import counted
from buildlog.handover.bag import DECLARATION, INFO, MANIFEST, PAYLOAD, TAG_MANIFEST, manifest
from buildlog.handover.fingerprint import LABEL, fingerprint_listed
from buildlog.handover.opened import UNREADABLE, NoPackageError, Opened, opened

__all__ = ["MEANING", "Fault", "NoPackageError", "Verified", "verify"]

MEANING = """\
A checksum shows that a file is, bit for bit, what it was when the package was made. It does not show who made the
package or when, nor that what a file says is true: whoever can change a file can also write new checksums. To know that
this is the package you were given, compare its fingerprint with one that reached you another way, as on a signed page."""
_LINE = re.compile(r"([0-9a-f]{64})  (\S(?:.*\S)?)")


@frozen
class Fault:
    """One thing that is not as it was: the file, and what about it. ``kind`` is changed, missing, added, list, seal, unsafe."""

    kind: str
    name: str
    words: str


@frozen
class Verified:
    """What a check found."""

    files: int
    faults: tuple[Fault, ...]
    fingerprint: str = ""
    """Of the records and originals, worked out anew; '' where the package gives none."""

    def told(self) -> Iterator[str]:
        """The outcome, a line each."""
        for fault in self.faults:
            yield f"{fault.name}: {fault.words}"
        if not self.faults:
            yield f"{counted(self.files, 'file')}: nothing changed, nothing missing, nothing added."
        else:
            yield f"{counted(self.files, 'file')} looked at, {counted(len(self.faults), 'fault')}."
        if self.fingerprint:
            yield f"Fingerprint of the records: {self.fingerprint}"
        yield from ("", MEANING)


def verify(path: Path) -> Verified:
    """Checks a package, a folder or a zip. Raises NoPackageError where there is none."""
    package = opened(path)
    if package.unsafe:
        return Verified(
            0,
            tuple(
                Fault("unsafe", name, f"{why}: do not unpack or use this package")
                for name, why in package.unsafe.items()
            ),
        )
    sums = {name: _sum(package, name) for name in package.files}
    tags, tag_faults = _listed(package, TAG_MANIFEST)
    payload, list_faults = _listed(package, MANIFEST)
    faults = [
        *tag_faults,
        *_not_canonical(package, tags),
        *(fault for name in (DECLARATION, INFO, MANIFEST) if name not in tags for fault in _unlisted(name, sums)),
        *_compared(tags, sums, TAG_MANIFEST),
        *list_faults,
        *_compared(payload, sums, MANIFEST),
        *_added(sums, {**tags, **payload}),
    ]
    found = fingerprint_listed({name: sums[name] or "" for name in payload if name in sums})
    said = _said(package)
    if said and said != found:
        faults.append(Fault("changed", INFO, f"gives another fingerprint ({said}) than the records have ({found})"))
    faults += _broken_seals(package)
    return Verified(len(sums), tuple(dict.fromkeys(faults)), found if said else "")


def _sum(package: Opened, name: str) -> str | None:
    """The SHA-256 of a file as it is now; None where it cannot be read."""
    try:
        with package.files[name]() as stream:
            return fingerprint(stream)
    except UNREADABLE:
        return None


def _read(package: Opened, name: str) -> bytes:
    """What is in a file; nothing where it is not there or cannot be read, which is told elsewhere."""
    try:
        with package.files[name]() as stream:
            return stream.read()
    except (KeyError, *UNREADABLE):
        return b""


def _listed(package: Opened, name: str) -> tuple[dict[str, str], list[Fault]]:
    """The checksums of a list by file, and the lines of it that are none."""
    if name not in package.files:
        return {}, [Fault("missing", name, "is missing; without it nobody can say what has changed")]
    digests: dict[str, str] = {}
    faults = []
    for number, line in enumerate(_read(package, name).decode("utf-8", "replace").removesuffix("\n").split("\n"), 1):
        found = _LINE.fullmatch(line)
        inside = found is not None and found[2].startswith(PAYLOAD) == (name == MANIFEST)
        if found is not None and inside and found[2] not in digests:
            digests[found[2]] = found[1]
        else:
            faults.append(Fault("list", f"{name}, line {number}", "has been changed: it is no checksum of a file"))
    return digests, faults if _read(package, name) else []


def _not_canonical(package: Opened, tags: Mapping[str, str]) -> Iterator[Fault]:
    if TAG_MANIFEST in package.files and _read(package, TAG_MANIFEST) != manifest(tags):
        yield Fault("list", TAG_MANIFEST, "has been changed: this is not as it was written")


def _unlisted(name: str, sums: Mapping[str, str | None]) -> Iterator[Fault]:
    if name not in sums:
        yield Fault("missing", name, "is missing")


def _compared(listed: Mapping[str, str], sums: Mapping[str, str | None], where: str) -> Iterator[Fault]:
    for name, digest in listed.items():
        if name not in sums:
            yield Fault("missing", name, "is missing")
        elif sums[name] is None:
            yield Fault("changed", name, "cannot be read any more")
        elif sums[name] != digest:
            also = "; every line of it counts" if name == MANIFEST else ""
            yield Fault("changed", name, f"has been changed: it is not what {where} says{also}")


def _added(sums: Mapping[str, str | None], listed: Mapping[str, str]) -> Iterator[Fault]:
    for name in sorted({*sums} - {*listed, TAG_MANIFEST}):
        yield Fault("added", name, "has been added: no list of this package names it")


def _said(package: Opened) -> str:
    """The fingerprint that the package gives itself."""
    found = re.search(rf"^{LABEL}: (.*)$", _read(package, INFO).decode("utf-8", "replace"), re.MULTILINE)
    return found[1].strip() if found else ""


def _broken_seals(package: Opened) -> Iterator[Fault]:
    """Seals that were broken when the package was made, as its record tells."""
    for name in sorted(package.files):
        if re.fullmatch(rf"{PAYLOAD}records/[^/]+\.json", name):
            for seal in _seals(_read(package, name)):
                changed = ", ".join(map(str, seal.get("changed") or ())) or "files whose names are not shown here"
                words = (
                    f"the seal of {seal.get('sealed')} was broken before the package was made: changed since: {changed}"
                )
                yield Fault("seal", f"entry {seal.get('entry')}", words)


def _seals(content: bytes) -> list[dict[str, Any]]:
    try:
        record = json.loads(content)
    except (ValueError, RecursionError):
        return []
    seals = record.get("seals") if isinstance(record, dict) else None
    return (
        [one for one in seals or () if isinstance(one, dict) and one.get("whole") is False]
        if isinstance(seals, list)
        else []
    )
