"""A small project worked out by hand, and its pages laid out as one audience sees them.

Money: 45.00 for scales, 10.00 shared 1 to 3, 271.73 deposit and 634.02 balance of an order, 212.00 for a battery with
18.50 back, 100.00 CAD at 0.73 and 35.00 before the log: paid 1,280.75, back 18.50, net 1,262.25. Hours: 5:15 and 2:00,
4:01 shared 1 to 3 in whole minutes (1:00 and 3:01), 6:00, 1:30 and 0:44 before the log: 19:30. Weight: 24.3 lb out and
5.1 lb in at 73 in, then 2.0 lb at 10 in by an entry that only the builder may read.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from pathlib import Path

from buildlog.figures.figures import Figures, figures
from buildlog.pages.sheet import Addresses, Sheet
from buildlog.pages.words import Words
from buildlog.records.audience import seen_by
from tests.making import PROJECT, entry, read

Make = Callable[[Figures, Words, Addresses], Iterable[Sheet]]
MINUS = "\u2212"

FILES: dict[str, str | bytes] = {
    "project.yaml": PROJECT + 'exchange: [{from: CAD, to: USD, rate: "0.73", on: 2026-03-01}]\n',
    "documents/receipt.pdf": b"1",
    "photos/battery.jpg": b"2",
    "ledgers/before.csv": "date,item,cost,kind,hours,what\n2026-02-01,Trailer,35.00,fee,,\n"
    "2026-02-02,,,,0:44,First look\n",
    "loading.yaml": 'datum: "firewall, positive aft"\n',
    "components.yaml": (
        'battery-1: {name: Old battery, system: electrical, serial: "S-77"}\n'
        'battery-2: {name: New battery, system: electrical, maker: Volt, part_no: V-8, serial: "S-99",'
        ' life: {months: "60", source: my own rule}}\n'
        "engine: {name: Engine, system: engine}\nstarter: {name: Starter, system: starting, in: engine}\n"
        "carburettor: {name: Carburettor, system: carburettor, in: engine}\n"
        "encoder: {name: Encoder, system: navigation}\n"
    ),
    "history.yaml": (
        "facts:\n  - {about: engine, quantity: time_since_new, at_least: 412.6 h, on: 2001~,"
        " basis: inferred, says: A meter}\n"
        "  - {about: aircraft, quantity: last_flight, on: 2006-23, basis: statement, says: A neighbour}\n"
        "questions:\n  - {key: Q-1, about: engine, ask: Who overhauled it?, would_settle: A paper}\n"
        "  - {key: Q-2, about: engine, ask: What oil?}\n"
    ),
    "plan.yaml": (
        "jobs:\n"
        "  - {key: weigh, name: Weigh it, system: weighing, hours: {low: 3 h, likely: 4 h, high: 7 h},"
        " done: 2026-03-14}\n"
        "  - {key: swap, name: Battery, hours: {low: 4 h, likely: 6 h, high: 10 h}, done: 2026-07-08}\n"
        "  - {key: fly, name: Fly, hours: 3 h}\n"
    ),
    "log/2026-03-14-weighing.md": entry("""
title: Weighed
date: 2026-03-14
system: weighing
job: weigh
hours: {owner: 5:15, mechanic: 2:00}
costs: [{item: Scales, kind: service, cost: 45.00 USD}]
weighing:
  attitude: longeron level
  points:
    - {at: left main, reading: 365.0 lb, arm: 22.5 in}
    - {at: right main, reading: 358.5 lb, arm: 22.5 in}
    - {at: tail, reading: 50.5 lb, tare: 9.0 lb, arm: 192.0 in}
findings: [{key: F-1, found: Terminal loose, standing: airworthiness, component: battery-1, system: electrical}]
"""),
    "log/2026-05-02-order.md": entry("""
title: Ordered
date: 2026-05-02
system: [carburettor, fuel]
share: {carburettor: 1, fuel: 3}
hours: 4:01
cost: 10.00 USD
orders:
  - {key: CARB, item: Overhaul, kind: service, supplier: Some shop, cost: 905.75 USD, deposit: 271.73 USD,
     lead: 11 weeks, system: carburettor, component: carburettor}
  - {key: ENC, item: Encoder, cost: 214.00 USD, system: navigation, component: encoder, lead: 2 weeks}
quotes:
  - {key: Q-A, item: Paint, cost: 4000 USD, until: 2026-05-20}
  - {key: Q-B, item: Exchange, cost: 1480 USD, accepted: no}
components: [{sent: carburettor, to: Some shop, because: overhaul}]
"""),
    "log/2026-07-08-battery.md": entry(
        """
title: Battery
date: 2026-07-08
system: electrical
job: swap
hours: 6:00
parts:
  - {item: Battery, cost: 212.00 USD, part_no: V-8, supplier: Some shop, receipt: documents/receipt.pdf,
     component: battery-2}
  - {item: Box, kind: material, quantity: 2, each: 50.00 CAD}
  - {item: Bracket}
costs: [{item: Box back, kind: refund, cost: 18.50 USD}]
weight:
  - {removed: Old battery, weight: 24.3 lb, basis: weighed, arm: 73.0 in, component: battery-1}
  - {installed: New battery, weight: 5.1 lb, basis: published, arm: 73.0 in, component: battery-2}
components:
  - {removed: battery-1, because: dead}
  - {installed: battery-2}
findings: [{key: F-2, found: Scratch, standing: cosmetic}]
closes: [{key: F-1, by: new terminal}]
measured: [{what: Voltage, value: 13.3 V, limits: over 13.2 V, before: 11.0 V, component: battery-2}]
photos: [{file: photos/battery.jpg, alt: A battery}]
answers: [Q-2]
""",
        "As [decided](../decisions/place.md).\n",
    ),
    "log/2026-07-09-private.md": entry("""
title: Private thing
date: 2026-07-09
audience: private
system: cabin
hours: 1:00
cost: 50.00 USD
weight: [{installed: Secret box, weight: 2.0 lb, basis: estimated, arm: 10.0 in}]
components: [{tagged: battery-1, state: scrapped}]
"""),
    "log/2026-07-20-back.md": entry("""
title: Carburettor back
date: 2026-07-20
system: carburettor
milestone: Carburettor is back
hours: 1:30
received: [CARB]
components:
  - {received: carburettor, state: serviceable}
"""),
    "decisions/place.md": (
        "---\nquestion: Where to?\nsystem: electrical\noptions:\n"
        "  - {key: nose, name: Nose, hours: 8:00, costs: [{item: Plate, cost: 34.00 USD}, {item: Cable, cost: 100 CAD},"
        " {item: Rest back, kind: refund, cost: 4.00 USD}], weight: [{removed: Lead, weight: 1 lb, arm: 2 in},"
        " {installed: Plate, weight: 3.5 lb, basis: weighed, arm: 2 in}], for: [near], against: [hot]}\n"
        "  - {key: shelf, name: Shelf, costs: [{item: Strap, cost: 500 JPY}]}\n"
        "chosen: shelf\ndecided: 2026-07-06\n---\nThe shelf.\n"
    ),
}


def rules(said: str) -> dict[str, str | bytes]:
    """The project with other rules for the public."""
    project = str(FILES["project.yaml"])
    return FILES | {"project.yaml": project.replace("public: {costs: full}", f"public: {{{said}}}")}


def laid(
    make: Make, root: Path, audience: str = "public", files: dict[str, str | bytes] = FILES, on: date | None = None
) -> dict[str, Sheet]:
    """The pages of one maker, by their paths."""
    book = seen_by(read(root, files).logbook, audience)
    worked, _ = figures(book, on)
    return {sheet.path: sheet for sheet in make(worked, Words(book), Addresses(book))}


def spaced(text: str) -> str:
    """A figure with plain spaces and a plain minus, to be compared with what a person would write."""
    return text.replace("\u00a0", " ").replace(MINUS, "-")
