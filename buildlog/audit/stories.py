"""Checks of what an entry tells: findings, photos, papers, jobs."""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.audit.case import Case, note, warn
from buildlog.basics.problems import Place, Problem
from buildlog.records.entry import TO_BE_WRITTEN, Entry


def finding_closed_without_words(case: Case) -> Iterator[Problem]:
    """A finding that is closed says what ended it.

    Why: an inspector reads the end of a finding before its beginning.
    Wrong: closes: [F-09]
    Right: closes: [{key: F-09, by: "New bracket, drilled and bolted"}]
    """
    for state in case.worked.findings:
        if not state.open and not state.closed_by and state.closed_at:
            yield warn(
                state.closed_at,
                "finding-closed-without-words",
                f"{state.line.key} is closed and nothing says how",
                f'write  closes: [{{key: {state.line.key}, by: "what ended it"}}]',
            )


def photo_without_words(case: Case) -> Iterator[Problem]:
    """A photo says what it shows, for those who cannot see it; a draft that is still to be written is not asked yet.

    Why: some readers do not see pictures, and in ten years nobody will know which bolt that was.
    Wrong: ![](../photos/IMG_0412.jpg)
    Right: ![The bracket, cracked at its rear bolt](../photos/IMG_0412.jpg "F-21, found")
    """
    for entry in case.worked.logbook.entries:
        if _is_draft(entry):
            continue
        for reference in entry.prose.references:
            if reference.picture and reference.target and not reference.words.strip():
                yield warn(
                    reference.place,
                    "photo-without-words",
                    f"{reference.target}: nothing says what it shows",
                    "write it between the brackets:  ![what it shows](\u2026)",
                )
        placed = {reference.target for reference in entry.prose.references if reference.picture}
        for line in entry.facts.photos:
            if line.file not in placed and not (line.alt or line.caption):
                yield warn(
                    line.place,
                    "photo-without-words",
                    f"{line.file}: nothing says what it shows",
                    "add  alt: what it shows",
                )


def entry_to_be_written(case: Case) -> Iterator[Problem]:
    """A draft that was made of pictures is written, and has a title of its own, before others read it.

    Why: what was done that day is known best on the day itself; and nobody wants to read "To be written".
    Wrong: title: "To be written: 6 pictures of 2026-07-04"
    Right: title: "Both brake cylinders out"
    """
    for entry in case.worked.logbook.entries:
        if not entry.facts.title.startswith(TO_BE_WRITTEN):
            continue
        if _is_draft(entry):
            said, remedy = "this draft is still to be written", "say what was done; then give it a title of its own"
            yield note(entry.facts.place, "entry-to-be-written", said, remedy)
        else:
            said, remedy = "others read the title that a draft was given", "give it one that says what was done"
            yield warn(entry.facts.place, "entry-to-be-written", said, remedy)


def _is_draft(entry: Entry) -> bool:
    """Whether it was made of pictures, and nobody has written it or shown it to others."""
    return entry.facts.audience == "private" and entry.facts.title.startswith(TO_BE_WRITTEN)


def file_not_used(case: Case) -> Iterator[Problem]:
    """Every photo and paper in the folder is used somewhere.

    Why: a receipt that no entry names is as lost as it was in its box.
    Wrong: documents/receipt_hoses.jpg, and no entry that names it
    Right: receipt: documents/receipt_hoses.jpg on the line it belongs to
    """
    book = case.worked.logbook
    used = _used_files(case)
    for file in sorted(book.files):
        if file.startswith(("photos/", "documents/")) and file not in used:
            yield note(
                Place(file),
                "file-not-used",
                "no entry, register or page uses this file",
                "name it in the entry it belongs to, or move it out of the project",
            )


def _used_files(case: Case) -> set[str]:
    book = case.worked.logbook
    used = {reference.target.partition("#")[0] for text in book.texts() for reference in text.prose.references}
    for entry in book.entries:
        facts = entry.facts
        used |= {photo.file for photo in facts.photos} | {paper.file for paper in facts.documents}
        used |= {line.receipt or "" for line in facts.bought}
        used |= {quote.document or "" for quote in facts.quotes}
        used |= {name or "" for line in facts.components for name in (line.tag, line.paper)}
        used |= {line.paper or "" for line in facts.signed}
        used.add(facts.picture or "")
    used |= {row.receipt or "" for row in book.ledger}
    used |= {file for fact in book.history.facts for file in fact.evidence}
    used |= {name or "" for part in book.components.values() for name in (part.photo, part.tag)}
    return used | {page.facts.picture or "" for page in book.pages}


def job_done_without_hours(case: Case) -> Iterator[Problem]:
    """A job that is done has hours in some entry.

    Why: finished jobs are what the next estimates are corrected by.
    Wrong: {key: brakes, done: 2026-06-27} and no entry with job: brakes and hours:
    Right: job: brakes in the entries that worked on it
    """
    for record in case.worked.labour.jobs:
        if record.job.done and not record.worked:
            yield warn(
                record.job.place,
                "job-done-without-hours",
                f"{record.job.name}: done, and no entry has hours for it",
                f"write  job: {record.job.key}  in the entries that worked on it",
            )


def entry_without_system(case: Case) -> Iterator[Problem]:
    """An entry with money, hours or weights names its system.

    Why: totals by system can only tell it under none.
    Wrong: title, date and hours: 3:15
    Right: system: electrical beside them
    """
    for entry in case.worked.logbook.entries:
        facts = entry.facts
        if not facts.system and (facts.hours or facts.cost or facts.costs or facts.parts or facts.weight):
            yield note(
                facts.place,
                "entry-without-system",
                "the entry has figures and names no system",
                "add  system: electrical  (or another; see  buildlog schema --systems )",
            )
