"""A small package for tests: a few files of every sort, packed as a handover is."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

from buildlog.handover.bag import Bag, Content, Laid, lay_bag
from buildlog.handover.fingerprint import LABEL, digests_of, fingerprint_of

PAYLOAD: dict[str, Content] = {
    "handover.pdf": b"%PDF-1.7 not really",
    "records/entries.csv": b"entry,title\r\nx,Words\r\n",
    "records/record.json": json.dumps({"seals": [{"entry": "x", "sealed": "2026-07-04", "whole": True}]}).encode(),
    "originals/photos/two words \u00e9.jpg": bytes(range(256)),
    "site/empty.txt": b"",
}
TAGS = {"README.txt": b"What this is.\n"}


def bag(payload: dict[str, Content] | None = None) -> Bag:
    files = PAYLOAD | (payload or {})
    info = [
        ("Source-Organization", ""),
        ("External-Description", "A test\naircraft"),
        (LABEL, fingerprint_of(digests_of(files))),
    ]
    return Bag(files, date(2026, 11, 14), info, TAGS)


def packed(root: Path, payload: dict[str, Content] | None = None, name: str = "pack") -> Laid:
    made = lay_bag(bag(payload), root / name)
    assert made.faults == ()
    return made


def tree(root: Path) -> dict[str, bytes]:
    return {path.relative_to(root).as_posix(): path.read_bytes() for path in root.rglob("*") if path.is_file()}
