"""Fingerprints: SHA-256 (FIPS 180-4) of what is in a file, by which any later change of it shows.

They show change, not truth, and not who made it: whoever can change a file can also write a new fingerprint.
"""

from __future__ import annotations

import hashlib
from io import BufferedIOBase

_MARK = b"\xef\xbb\xbf"


def fingerprint(stream: BufferedIOBase) -> str:
    """The SHA-256 of all bytes of an open file, as 64 hexadecimal digits; a large one is read in pieces."""
    return hashlib.file_digest(stream, "sha256").hexdigest()


def text_fingerprint(content: bytes) -> str:
    """The SHA-256 of a text, the same however its lines end (LF or CRLF) and with or without a byte-order mark.

    Version control changes line ends from one system to another; that is no change of what was written. Of a text with
    LF and no mark it is what ``sha256sum`` gives.
    """
    return hashlib.sha256(content.removeprefix(_MARK).replace(b"\r\n", b"\n")).hexdigest()
