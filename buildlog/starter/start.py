"""``buildlog start``: a project that publishes at once."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

_TEMPLATES = Path(__file__).parent / "project"
_EMPTY = ("photos", "documents", "decisions", "ledgers")


class NotEmptyError(Exception):
    """The folder has something in it already; nothing was written."""


def lay_out(folder: Path, aircraft: str, mark: str | None, today: date) -> list[str]:
    """Write a new project into ``folder``, which is made or must be empty; gives the names written. Raises NotEmptyError."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise NotEmptyError(f"{folder} is not empty; nothing was written\nname a folder that is not there yet")
    title = f"Bringing back {mark or 'an aircraft'}"
    words = {
        "@TITLE@": json.dumps(title, ensure_ascii=False),
        "@TYPE@": json.dumps(aircraft, ensure_ascii=False),
        "@MARK@": f", mark: {json.dumps(mark, ensure_ascii=False)}" if mark else "",
        "@DAY@": today.isoformat(),
    }
    made = []
    for source in sorted(_TEMPLATES.rglob("*")):
        if source.is_file():
            name = source.relative_to(_TEMPLATES).as_posix().replace("first-entry", f"{today}-the-log-begins")
            text = source.read_text("utf-8")
            for placeholder, word in words.items():
                text = text.replace(placeholder, word)
            path = folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, "utf-8", newline="\n")
            made.append(name)
    for name in _EMPTY:
        (folder / name).mkdir(exist_ok=True)
        made.append(f"{name}/")
    return sorted(made)
