"""Names of files in a site, from its root: what may be a name, and that no two are one on another computer.

A site is copied to memory sticks and other computers, so a name must hold there too: no character or word
that some system reserves, and no two names that differ only in capitals or in how an accent is composed.
"""

import re
import unicodedata
from dataclasses import dataclass, field

from buildlog.site.faults import Fault

_RESERVED = frozenset('\\:*?"<>|')
_DEVICES = {"con", "prn", "aux", "nul", *(port + digit for port in ("com", "lpt") for digit in "123456789")}
_PLAIN = re.compile(r"(?:(?!(?:con|prn|aux|nul|com\d|lpt\d)(?:[./]|$))[a-z0-9_-]+(?:\.[a-z0-9]+)*(?:/(?!$)|$))+")
"""Names in which nothing is to be looked for, as nearly all are."""
RENAME = "rename the file or the key that this address comes from"
"""What helps against a name that cannot be used."""


def problem_of(name: str) -> str | None:
    """What keeps a name from being used, in words; None if nothing does."""
    return None if _PLAIN.fullmatch(name) else _odd(name)


def _odd(name: str) -> str | None:
    if not name or name.startswith("/"):
        return "an address must begin with a name inside the site"
    if any(character in _RESERVED or not character.isprintable() for character in name):
        return 'an address may hold no control character and none of  \\ : * ? " < > |'
    parts = name.split("/")
    if any(part in {"", ".", ".."} for part in parts):
        return "an address may hold no empty part, no  .  and no  .."
    if any(part.endswith((".", " ")) for part in parts):
        return "no part of an address may end in a full stop or a space"
    if device := next((part for part in parts if part.partition(".")[0].lower() in _DEVICES), None):
        return f"{device} is a reserved word on some computers"
    return None


def folded(name: str) -> str:
    """The name as a file system sees it that tells neither capitals nor ways to write an accent apart."""
    if name.isascii():
        return name.lower()
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", name).casefold())


@dataclass
class Register:
    """The names taken so far, with the folders they imply."""

    _taken: dict[str, tuple[str, bool]] = field(default_factory=dict)

    def enter(self, name: str) -> Fault | None:
        """Takes the name; a fault if it is no good or meets another that is taken. Twice the same is none."""
        if words := problem_of(name):
            return Fault(name, words, RENAME)
        parts = name.split("/")
        for end in range(1, len(parts) + 1):
            if fault := self._enter(name, "/".join(parts[:end]), is_file=end == len(parts)):
                return fault
        return None

    def _enter(self, name: str, part: str, *, is_file: bool) -> Fault | None:
        taken, was_file = self._taken.setdefault(folded(part), (part, is_file))
        if taken != part:
            return Fault(name, f"this address and {taken} are one and the same to many computers", RENAME)
        if was_file != is_file:
            return Fault(name, f"{part} would have to be both a file and a folder", RENAME)
        return None
