"""The fingerprint of a package: one SHA-256 for all the files that its documents are made from.

It is the SHA-256 of a list as ``sha256sum`` writes it, sorted by name; so anybody can work it out from the manifest.
The documents carry it on their pages and so cannot be part of it themselves.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from pathlib import Path

from buildlog.basics.fingerprints import fingerprint
from buildlog.handover.bag import PAYLOAD, manifest

COVERED = ("records/", "originals/")
"""The folders of the package that it is taken of."""
LABEL = "Record-Fingerprint"
"""Its name in bag-info.txt."""


def digest(content: bytes | Path) -> str:
    """The SHA-256 of a file, or of bytes."""
    if isinstance(content, bytes):
        return hashlib.sha256(content).hexdigest()
    with content.open("rb") as stream:
        return fingerprint(stream)


def digests_of(payload: Mapping[str, bytes | Path]) -> dict[str, str]:
    """The SHA-256 of everything a package's fingerprint is taken of, by name below data/."""
    return {name: digest(content) for name, content in payload.items() if _counts(name)}


def fingerprint_of(digests: Mapping[str, str]) -> str:
    """The fingerprint of a package by the digests of its payload; only records and originals count."""
    return fingerprint_listed({PAYLOAD + name: found for name, found in digests.items()})


def fingerprint_listed(digests: Mapping[str, str]) -> str:
    """The fingerprint by the digests of a manifest, whose names begin with data/."""
    counted = {name: found for name, found in digests.items() if _counts(name.removeprefix(PAYLOAD))}
    return hashlib.sha256(manifest(counted)).hexdigest()


def _counts(name: str) -> bool:
    return name.startswith(COVERED)
