"""What each audience may see: the rules of project.yaml, and a logbook from which the rest is taken out.

Everything after this stage works on the logbook that is left, so what an audience may not see cannot reach a page, a
figure, a feed or a file name by oversight.

- Entries, photos, papers, facts and ::: blocks above the audience's level go.
- An entry that goes leaves its weights and the events of its components behind, without words: an empty weight that
  left some out would be wrong, and that could hurt somebody. So does what was checked, ended, answered or signed in it:
  where things stand is the same for everybody. Its money and hours go with it.
- People become their roles where names may not be seen.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from buildlog.records.entry import Entry, EntryFacts
from buildlog.records.kept_back import coarse, counts, dates, numberless, seen_prose, seen_seal, seen_signature, stub
from buildlog.records.logbook import BUILDER, Logbook, Sight
from buildlog.records.project import Person, Project

_PUBLIC = {"public"}
_PACKAGE = {"public", "handover"}
_DEFAULTS: dict[str, dict[str, Any]] = {
    "public": {
        "costs": "totals",
        "hours": True,
        "suppliers": False,
        "serials": False,
        "names": False,
        "receipts": False,
        "documents": False,
        "exact_dates": True,
    },
    "inspector": {
        "costs": "none",
        "hours": True,
        "suppliers": True,
        "serials": True,
        "names": True,
        "receipts": False,
        "documents": True,
        "exact_dates": True,
    },
    "buyer": {
        "costs": "full",
        "hours": True,
        "suppliers": True,
        "serials": True,
        "names": True,
        "receipts": True,
        "documents": True,
        "exact_dates": True,
    },
}
MONEY_PAPERS = frozenset({"receipt", "quote"})
AUDIENCES = (*_DEFAULTS, BUILDER.name)
"""Who a site can be made for."""


def sight(project: Project, audience: str) -> Sight:
    """What an audience may see: the project's rules over the defaults of FORMAT (public: no supplier, serial or name)."""
    if audience == BUILDER.name:
        return BUILDER
    rules = getattr(project.audiences, audience)
    said = {name: getattr(rules, name) for name in _DEFAULTS[audience] if getattr(rules, name) is not None}
    levels = frozenset(_PUBLIC if audience == "public" else _PACKAGE)
    return Sight(name=audience, levels=levels, may_say=rules.may_say, **(_DEFAULTS[audience] | said))


@dataclass
class Shown:
    """Entries as an audience saw them the last time, for the next time in the same process."""

    _ground: object = None
    _entries: dict[str, tuple[Entry, Entry | None]] = field(default_factory=dict)

    def entries(
        self, entries: Sequence[Entry], eyes: Sight, people: dict[str, str], hidden: frozenset[str]
    ) -> list[Entry | None]:
        """Each entry as it may be seen; the very same entry on the same ground is not gone through again."""
        ground = (eyes, people, hidden)
        before = self._entries if ground == self._ground else {}
        found: dict[str, tuple[Entry, Entry | None]] = {}
        for entry in entries:
            known = before.get(entry.file)
            again = known if known is not None and known[0] is entry else (entry, _entry(entry, eyes, people, hidden))
            found[entry.file] = again
        self._ground, self._entries = ground, found
        return [found[entry.file][1] for entry in entries]


def seen_by(logbook: Logbook, audience: str, shown: Shown | None = None) -> Logbook:
    """The logbook as an audience may see it; ``shown`` is what it saw the last time."""
    eyes = sight(logbook.project, audience)
    if audience == BUILDER.name:
        return logbook
    people = _roles(logbook.project) if not eyes.names else {}
    hidden = withheld(logbook, eyes)
    entries = (shown or Shown()).entries(logbook.entries, eyes, people, hidden)
    checked = {check.last_entry for check in logbook.checks.checks}
    told = tuple(
        seen or stub(entry, eyes, people)
        for entry, seen in zip(logbook.entries, entries, strict=True)
        if seen is not None or entry.slug in checked
    )
    readable = {entry.slug for entry in told if not entry.hidden}
    raised = {finding.key for entry in told for finding in entry.facts.findings}
    told = tuple(_without_lost_ends(entry, raised) for entry in told)
    ledger = tuple(row.model_copy(update=_ledger_update(row, eyes, people)) for row in logbook.ledger)
    return replace(
        logbook,
        project=_project(logbook.project, eyes, people),
        entries=told,
        components={key: _component(part, eyes) for key, part in logbook.components.items()},
        history=logbook.history.model_copy(
            update={
                "facts": tuple(_evidence(fact, eyes) for fact in logbook.history.facts if fact.audience in eyes.levels),
                "questions": tuple(q for q in logbook.history.questions if q.audience in eyes.levels),
            }
        ),
        directives=logbook.directives.model_copy(
            update={"directives": tuple(d for d in logbook.directives.directives if d.audience in eyes.levels)}
        ),
        decisions=tuple(
            replace(d, prose=seen_prose(d.prose, eyes, hidden))
            for d in logbook.decisions
            if d.facts.audience in eyes.levels
        ),
        pages=tuple(
            replace(p, prose=seen_prose(p.prose, eyes, hidden))
            for p in logbook.pages
            if p.facts.audience in eyes.levels
        ),
        ledger=tuple(row for row in ledger if row.cost is not None or row.hours is not None),
        seals=tuple(seen_seal(seal, eyes, logbook.files, hidden) for seal in logbook.seals if seal.entry in readable),
        files=logbook.files - hidden,
        newest=max((coarse(entry.day, eyes) for entry in logbook.entries), default=None),
        numbered=frozenset(key for key in (*logbook.components, "aircraft") if logbook.has_serial(key)),
        sight=eyes,
    )


def withheld(logbook: Logbook, eyes: Sight) -> frozenset[str]:
    """The photos and papers an audience may not see; a photo kept back in one entry is kept back in all.

    A paper is a receipt if anything calls it one; a paper that nothing describes is for the package.
    """
    facts = [entry.facts for entry in logbook.entries]
    hidden = {photo.file for fact in facts for photo in fact.photos if photo.audience not in eyes.levels}
    told = [document for fact in facts for document in fact.documents]
    receipts = {line.receipt for fact in facts for line in fact.bought if line.receipt}
    receipts |= {row.receipt for row in logbook.ledger if row.receipt}
    receipts |= {quote.document for fact in facts for quote in fact.quotes if quote.document}
    receipts |= {document.file for document in told if document.kind in MONEY_PAPERS}
    public = {document.file for document in told if document.audience == "public"}
    above = {document.file for document in told if document.audience not in eyes.levels}
    signed = {line.paper for fact in facts for line in fact.signed}
    for file in logbook.files:
        if not (file.startswith("documents/") or file in signed):
            continue
        allowed = eyes.receipts if file in receipts else eyes.documents
        if file in above or not (allowed or file in public):
            hidden.add(file)
    return frozenset(hidden)


def _roles(project: Project) -> dict[str, str]:
    """People's keys by their roles: owner, mechanic, helper, helper-2 …; a key may be a name too."""
    renamed, used = {"owner": "owner"}, {"owner"}
    for key, person in project.people.items():
        if key == "owner":
            continue
        word, number = person.role, 2
        while word in used:
            word, number = f"{person.role}-{number}", number + 1
        renamed[key] = word
        used.add(word)
    return renamed


def _project(project: Project, eyes: Sight, people: dict[str, str]) -> Project:
    update: dict[str, Any] = {}
    if not eyes.names:
        update["people"] = {
            people[key]: Person(
                name=people[key],
                role=person.role,
                certificate=numberless(person.certificate),
            )
            for key, person in project.people.items()
        }
    if not eyes.serials:
        update["aircraft"] = project.aircraft.model_copy(update={"serial": None})
    return project.model_copy(update=update)


def _component(part: Any, eyes: Sight) -> Any:
    update = {} if eyes.serials else {"serial": None}
    return part.model_copy(update=update if eyes.documents else update | {"tag": None})


def _evidence(fact: Any, eyes: Sight) -> Any:
    return (
        fact
        if eyes.documents
        else fact.model_copy(
            update={"evidence": tuple(file for file in fact.evidence if not file.startswith("documents/"))}
        )
    )


def _ledger_update(row: Any, eyes: Sight, people: dict[str, str]) -> dict[str, Any]:
    return {
        "cost": row.cost if eyes.costs != "none" else None,
        "hours": row.hours if eyes.hours else None,
        "supplier": row.supplier if eyes.suppliers else None,
        "receipt": row.receipt if eyes.receipts else None,
        "person": people.get(row.person, row.person),
        "date": coarse(row.date, eyes),
    }


def _entry(entry: Entry, eyes: Sight, people: dict[str, str], hidden: frozenset[str]) -> Entry | None:
    facts = entry.facts
    if facts.audience not in eyes.levels:
        return stub(entry, eyes, people) if counts(entry) else None
    update: dict[str, Any] = {
        **dates(facts, eyes),
        **_money(facts, eyes),
        "hours": {people.get(key, key): minutes for key, minutes in facts.hours.items()} if eyes.hours else {},
        "photos": tuple(photo for photo in facts.photos if photo.file not in hidden),
        "picture": None if facts.picture in hidden else facts.picture,
        "documents": tuple(paper for paper in facts.documents if paper.file not in hidden),
        "components": tuple(_change(line, eyes) for line in facts.components),
        "signed": tuple(seen_signature(line, eyes, people, hidden) for line in facts.signed),
        "inspected": tuple(
            line.model_copy(update={"by": line.by if eyes.names else people.get(line.by or "")})
            for line in facts.inspected
        ),
        "weighing": facts.weighing
        and (facts.weighing if eyes.serials else facts.weighing.model_copy(update={"scale": None})),
    }
    prose = seen_prose(entry.prose, eyes, hidden)
    return replace(entry, facts=facts.model_copy(update=update), prose=prose, worked=entry.is_work)


def _money(facts: EntryFacts, eyes: Sight) -> dict[str, Any]:
    """Lines without what may not be seen of them; without costs, what was bought stays and its price goes."""
    sellers: dict[str, Any] = {} if eyes.suppliers else {"supplier": None}
    receipts: dict[str, Any] = {} if eyes.receipts else {"receipt": None}
    serials: dict[str, Any] = {} if eyes.serials else {"serial": None}
    prices: dict[str, Any] = {} if eyes.costs != "none" else {"cost": None, "each": None}
    return {
        "parts": tuple(line.model_copy(update=sellers | receipts | serials | prices) for line in facts.parts),
        "costs": () if prices else tuple(line.model_copy(update=sellers | receipts) for line in facts.costs),
        "cost": None if prices else facts.cost,
        "orders": tuple(
            line.model_copy(update=sellers | receipts | ({"cost": None, "deposit": None} if prices else {}))
            for line in facts.orders
        ),
        "quotes": ()
        if prices
        else tuple(
            line.model_copy(update=sellers | ({} if eyes.receipts else {"document": None})) for line in facts.quotes
        ),
    }


def _change(line: Any, eyes: Sight) -> Any:
    update: dict[str, Any] = {} if eyes.suppliers and eyes.names else {"to": None, "by": None}
    paper = "" if line.paper else None  # that there is one still counts
    return line.model_copy(update=update if eyes.documents else update | {"tag": None, "paper": paper})


def _without_lost_ends(entry: Entry, raised: set[str]) -> Entry:
    """Ends of findings that this audience never saw raised go too."""
    closes = tuple(closing for closing in entry.facts.closes if closing.key in raised)
    if len(closes) == len(entry.facts.closes):
        return entry
    return replace(entry, facts=entry.facts.model_copy(update={"closes": closes}))
