"""``buildlog entry``: the beginnings of an entry, with the builder's own jobs and components at hand."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Iterable
from datetime import date
from pathlib import Path

from buildlog.basics.names import slug
from buildlog.records.logbook import Logbook

_TEXT = """\
---
title: {title}
date: {day}
# Take the # off what the day has, and take out the rest.
{system}
# hours: {hours}
{job}
# parts:
#   - {{item: "What was bought", quantity: 1, cost: 38.40 {currency}, supplier: "From whom", receipt: documents/name.jpg}}
# weight:
#   - {{removed: "What came out", weight: 1.6 {weight}, basis: weighed, arm: 8.0 {arm}}}
#   - {{installed: "What went in", weight: 1.3 {weight}, basis: weighed, arm: 8.0 {arm}}}
{components}
# findings:
#   - {{key: {finding}, found: "What is wrong", standing: airworthiness}}
{closes}
---

"""


def begin(root: Path, logbook: Logbook, title: str, day: date) -> Path:
    """Write the new entry's file and give its path; a name that is taken gets a number."""
    units = logbook.project.units
    text = _TEXT.format(
        title=json.dumps(title, ensure_ascii=False),
        day=day.isoformat(),
        currency=units.currency,
        weight=units.weight,
        arm=units.arm,
        system=_listing("system", "electrical", [*_system_keys(logbook), "more: buildlog schema --systems"]),
        hours="{" + ", ".join(f"{key}: 1:00" for key in logbook.project.people) + "}"
        if logbook.project.people
        else "1:00",
        job=_listing("job", "", (job.key for job in logbook.plan.jobs if not job.done)),
        components=_components(logbook),
        finding=_next_finding(logbook),
        closes=_closes(logbook),
    )
    folder = root / "log"
    if any(entry.file.startswith(f"log/{day.year}/") for entry in logbook.entries):
        folder /= str(day.year)
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"{_free(f'{day}-{slug(title)[:60]}'.strip('-'), logbook, folder)}.md"
    with path.open("x", encoding="utf-8", newline="\n") as file:
        file.write(text)
    return path


def _free(name: str, logbook: Logbook, folder: Path) -> str:
    """The name, with a number if another entry has it."""
    taken = {entry.slug for entry in logbook.entries}
    numbered, number = name, 2
    while numbered in taken or (folder / f"{numbered}.md").exists():
        numbered, number = f"{name}-{number}", number + 1
    return numbered


def _listing(field: str, example: str, keys: Iterable[str]) -> str:
    """A commented field with the keys it may have."""
    known = list(keys)
    lines = textwrap.wrap("known: " + ", ".join(known), 100) if known else []
    return "\n".join(
        [f"# {field}: {example or (known[0] if known else 'its-key')}", *(f"#   {line}" for line in lines)]
    )


_COMMON = (
    "engine",
    "fuel",
    "electrical",
    "controls",
    "wings",
    "fuselage",
    "gear",
    "cabin",
    "radio",
    "instruments",
    "propeller",
    "records",
)


def _system_keys(logbook: Logbook) -> list[str]:
    """The systems this log has used, else the ones most aircraft have."""
    used = {key for entry in logbook.entries for key in entry.facts.system}
    return (
        sorted({*used, *logbook.project.systems})
        if len(used) >= len(_COMMON)
        else [*_COMMON, *sorted(used - set(_COMMON))]
    )


def _components(logbook: Logbook) -> str:
    if not logbook.components:
        return "# components:\n#   - {installed: battery-2}"
    keys = list(logbook.components)
    lines = textwrap.wrap("known: " + ", ".join(keys), 100)
    return "\n".join(
        [
            "# components:",
            f'#   - {{removed: {keys[0]}, state: unserviceable, because: "why"}}',
            *(f"#   {line}" for line in lines),
        ]
    )


def _next_finding(logbook: Logbook) -> str:
    numbers = [
        int(finding.key[2:])
        for entry in logbook.entries
        for finding in entry.facts.findings
        if finding.key.startswith("F-") and finding.key[2:].isdigit()
    ]
    return f"F-{max(numbers, default=0) + 1:02d}"


def _closes(logbook: Logbook) -> str:
    closed = {closing.key for entry in logbook.entries for closing in entry.facts.closes}
    open_ = [finding for entry in logbook.entries for finding in entry.facts.findings if finding.key not in closed]
    if not open_:
        return "# closes: []"
    return "\n".join(
        ["# closes:", *(f'#   - {{key: {finding.key}, by: "what ended it"}}   # {finding.found}' for finding in open_)]
    )
