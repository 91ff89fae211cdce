"""What an audience may not see must not stand in the words it reads."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import cache

from buildlog.audit.case import Case, warn
from buildlog.basics.frozen import frozen
from buildlog.basics.problems import Place, Problem
from buildlog.records.audience import seen_by, sight
from buildlog.records.logbook import Logbook, Sight
from buildlog.records.prose import Prose
from buildlog.records.types import Record

_NOT_SHOWN = {
    "file",
    "receipt",
    "document",
    "evidence",
    "picture",
    "corrects",
    "paper",
    "tag",
    "place",
    "key",
    "system",
    "component",
    "order",
    "quote",
    "about",
}
_SHORTEST = 4


@frozen
class _Secret:
    """Words that may not be said, and what they are."""

    words: str
    sort: str


def secret_in_words(case: Case) -> Iterator[Problem]:
    """Text that an audience reads holds no name, supplier or serial number that it may not see.

    Why: what may not be seen is absent from the files; prose is the one place where the program cannot take it out.
    Wrong: "R. Thorne came by", where names are not shown
    Right: "The mechanic came by", or the line inside a ::: handover block, or the word under may_say: of the audience
    """
    book = case.worked.logbook
    eyes = sight(book.project, case.audience)
    secrets = _secrets(book, eyes)
    if not secrets:
        return
    pattern = re.compile(whole_words(secret.words for secret in secrets))
    sorts = {secret.words: secret.sort for secret in secrets}
    for place, found in _said(pattern, seen_by(book, case.audience)):
        yield Problem(
            place,
            "secret-in-words",
            f"{found!r} is a {sorts[found]} that the {eyes.name} audience may not see",
            "say it another way, put it in a  ::: handover  block, or allow it with  may_say:",
        )


def price_in_words(case: Case) -> Iterator[Problem]:
    """Text for an audience that may see no costs names no amount of money.

    Why: the figures are taken out of the page, and a price in the prose is the builder's to take out.
    Wrong: "It cost me 574.25 USD", read by an inspector who sees no costs
    Right: the sentence inside a ::: handover block of its own, or without the amount
    """
    book = case.worked.logbook
    eyes = sight(book.project, case.audience)
    if eyes.costs != "none":
        return
    price = re.compile(_price(book))
    for place, found in _said(price, seen_by(book, case.audience)):
        yield warn(
            place,
            "price-in-words",
            f"{found!r} is read by the {eyes.name} audience, which sees no costs",
            "take the amount out, or leave it if it does no harm",
        )


def unspeakable(book: Logbook, eyes: Sight) -> str:
    """What no text may say that an audience reads, as a pattern; '' where there is nothing."""
    secrets = _secrets(book, eyes)
    found = [whole_words(secret.words for secret in secrets)] if secrets else []
    return "|".join([*found, _price(book)] if eyes.costs == "none" else found)


def _price(book: Logbook) -> str:
    return rf"\d[\d.,]*\s?(?:{'|'.join(_codes(book))})\b"


def _codes(book: Logbook) -> list[str]:
    """The currencies this record pays in."""
    return sorted({book.project.units.currency, *(rate.from_.upper() for rate in book.project.exchange)})


def _secrets(book: Logbook, eyes: Sight) -> list[_Secret]:
    secrets: list[_Secret] = []
    facts = [entry.facts for entry in book.entries]
    if not eyes.names:
        for person in book.project.people.values():
            words = [person.name, *(word for word in person.name.split()[-1:] if word[0].isupper())]
            words += [person.certificate.number] if person.certificate and person.certificate.number else []
            secrets += [_Secret(word, "name" if word in words[:2] else "certificate number") for word in words]
        held = [line.certificate for fact in facts for line in fact.signed if line.certificate]
        secrets += [_Secret(one.number, "certificate number") for one in held if one.number]
    if not eyes.suppliers:
        sellers = [line.supplier for fact in facts for line in fact.bought]
        sellers += [quote.supplier for fact in facts for quote in fact.quotes]
        secrets += [_Secret(seller, "supplier") for seller in sellers if seller]
        secrets += [_Secret(row.supplier, "supplier") for row in book.ledger if row.supplier]
        secrets += [_Secret(line.to, "supplier") for fact in facts for line in fact.components if line.to]
    if not eyes.serials:
        secrets += [_Secret(part.serial, "serial number") for part in book.components.values() if part.serial]
        secrets += [_Secret(line.serial, "serial number") for fact in facts for line in fact.parts if line.serial]
    known = {s.words: s for s in secrets if len(s.words) >= _SHORTEST and s.words not in eyes.may_say}
    return sorted(known.values(), key=lambda secret: (-len(secret.words), secret.words))


def whole_words(sought: Iterable[str]) -> str:
    """A pattern for any of some words where they are not a part of longer ones; of two that fit, the one named first.

    What must not stand before a word is asked after its first letter: so ``re`` leaps to that letter, which is twenty
    times as fast as asking everywhere.
    """
    firsts = ((words, re.escape(words[0])) for words in sought)
    choices = (rf"{first}(?<!\w{first}){re.escape(words[1:])}" for words, first in firsts)
    return rf"(?:{'|'.join(choices)})(?!\w)"


def _said(pattern: re.Pattern[str], book: Logbook) -> Iterator[tuple[Place, str]]:
    """What a pattern finds in all that is left for the audience, with its place.

    Each writing is looked through as a whole first: hardly one holds anything, and only then its lines are asked.
    """
    for record, place, prose in _writings(book):
        texts = [*_record_words(record), *(_prose_words(prose) if prose else ())]
        if pattern.search("\n".join(texts)):
            for where, text in (*_record_lines(record, place), *(_prose_lines(prose) if prose else ())):
                yield from ((where, found[0]) for found in pattern.finditer(text))


def _writings(book: Logbook) -> Iterator[tuple[Record, Place, Prose | None]]:
    """Everything that an audience reads: its fields, its place and its text."""
    for entry in book.told():
        yield entry.facts, entry.facts.place, entry.prose
    for decision in book.decisions:
        yield decision.facts, decision.place, decision.prose
    for page in book.pages:
        yield page.facts, page.place, page.prose
    for record in (
        *book.history.facts,
        *book.history.questions,
        *book.directives.directives,
        *book.checks.checks,
        *book.plan.jobs,
        *book.components.values(),
        *book.ledger,
        *([book.loading] if book.loading else []),
    ):
        yield record, record.place, None


@cache
def _shown_fields(kind: type[Record]) -> tuple[str, ...]:
    return tuple(name for name in kind.model_fields if name not in _NOT_SHOWN)


def _record_words(record: Record) -> Iterator[str]:
    """Every piece of text in a record's fields."""
    return (text for _, text in _record_lines(record, record.place))


def _record_lines(record: Record, place: Place) -> Iterator[tuple[Place, str]]:
    """The same with the place of each: the record's own where it has one, else that of the record it stands in."""
    here = record.place if record.place.file else place
    for name in _shown_fields(type(record)):
        value = getattr(record, name)
        if value:
            yield from _value_lines(value, here)


def _value_lines(value: object, place: Place) -> Iterator[tuple[Place, str]]:
    if isinstance(value, str):
        yield place, value
    elif isinstance(value, Record):
        yield from _record_lines(value, place)
    elif isinstance(value, tuple | list):
        for inner in value:
            yield from _value_lines(inner, place)


def _prose_words(prose: Prose) -> list[str]:
    """Every piece of text of a writing's prose, and the titles of its links and photos."""
    return [text for _, text in prose.said]


def _prose_lines(prose: Prose) -> Iterator[tuple[Place, str]]:
    """The same line by line with the place of each; a title is placed where its paragraph begins."""
    return ((Place(prose.file, line), text) for line, text in prose.said)
