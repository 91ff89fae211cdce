"""The front page: the aircraft, where it stands, what it waits for, what is new, what it has taken."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from buildlog.basics.frozen import frozen
from buildlog.basics.names import counted
from buildlog.figures.figures import Figures
from buildlog.pages.filed import filed
from buildlog.pages.front_charts import hours_chart, money_chart, strip_words
from buildlog.pages.lines import Desk, rests_on
from buildlog.pages.listing import Row, RowMaker, entries_told
from buildlog.pages.sheet import Addresses, Link, Photo, Sheet, Tab, first_words, lead_photo, photos_of
from buildlog.pages.waiting import Waiting, waiting
from buildlog.pages.weight_charts import strip_chart
from buildlog.pages.words import Words
from buildlog.records.logbook import Logbook
from buildlog.records.prose import Prose
from buildlog.records.writings import Page

NEWEST = 5
WAITING = 7
"""How many things it waits for are told at once; the rest is folded in."""


@frozen
class Hero:
    """A running total in large figures; ``path`` leads to its lines."""

    figure: str
    unit: str
    words: str
    path: str


@frozen
class Milestone:
    """A milestone and its entry."""

    day: str
    link: Link


@frozen
class SystemLine:
    """One system in a line: what was done to it and what is still open."""

    tab: Tab
    hours: str
    money: str
    weight: str
    open: str


@frozen
class FrontView:
    """The front page."""

    headline: str
    text: Prose | None
    photo: Photo | None
    heroes: tuple[Hero, ...]
    waiting: tuple[Waiting, ...]
    waiting_more: tuple[Waiting, ...]
    newest: tuple[Row, ...]
    all_entries: str
    milestones: tuple[Milestone, ...]
    strip: str
    strip_words: str
    money: str
    hours: str
    systems: tuple[SystemLine, ...]
    systems_words: str


def front_sheets(worked: Figures, words: Words, at: Addresses) -> Iterator[Sheet]:
    """The front page."""
    book, desk = worked.logbook, Desk.of(worked, words, at)
    page = next((page for page in book.pages if page.slug == "front"), None)
    entries, waits = list(book.told()), waiting(desk)
    photo = cover_photo(book, page)
    view = FrontView(
        page.facts.title if page else book.project.headline or book.project.title,
        page.prose if page else None,
        photo,
        tuple(_heroes(desk)),
        waits[:WAITING],
        waits[WAITING:],
        RowMaker(worked, words, at).rows(entries[: -NEWEST - 1 : -1]),
        f"All {entries_told(len(entries), words)}, by month" if entries else "",
        tuple(
            Milestone(words.day(entry.day), Link(entry.facts.milestone, at.entry(entry.slug)))
            for entry in entries
            if entry.facts.milestone
        ),
        strip_chart(desk),
        strip_words(desk),
        money_chart(desk),
        hours_chart(desk),
        tuple(_systems(desk)),
        _systems_words(desk),
    )
    description = first_words(page.prose, 180) if page else book.project.headline or ""
    yield Sheet(
        "index.html",
        "front.html",
        book.project.title,
        view,
        "",
        description,
        photo.file if photo else "",
        name="front",
        updated=book.last_day(),
    )


def cover_photo(book: Logbook, page: Page | None = None) -> Photo | None:
    """The picture that pages/front.md asks for, with an entry's words for it; else the newest entry's."""
    wanted = page.facts.picture if page else None
    for entry in reversed(list(book.told())):
        if wanted is None and (lead := lead_photo(entry)) is not None:
            return lead
        found = next((photo for photo in photos_of(entry) if photo.file == wanted), None)
        if found is not None and found.file in book.files:
            return found
    return Photo(wanted, "", book.project.aircraft.type) if wanted and wanted in book.files else None


def _heroes(desk: Desk) -> Iterator[Hero]:
    words, cost, sight = desk.words, desk.worked.cost, desk.worked.logbook.sight
    if sight.costs != "none" and (cost.outlays or cost.orders):
        ordered = f"; {words.money(cost.ordered())} ordered" if cost.ordered() else ""
        refunds = ", refunds taken off" if cost.refunded() else ""
        yield Hero(words.round_money(cost.net()), words.currency, f"paid so far{refunds}{ordered}", "cost.html")
    if sight.hours and desk.worked.labour.work:
        told = sum(1 for _ in desk.worked.logbook.told())
        yield Hero(
            words.labour(desk.worked.labour.minutes(), unit=False),
            "h",
            f"of work in {entries_told(told, words)}",
            "hours.html",
        )
    yield from _weights(desk)


def _weights(desk: Desk) -> Iterator[Hero]:
    """The empty weight and its centre of gravity; before a weighing, the change alone."""
    words, weight, empty = desk.words, desk.worked.weight, desk.worked.weight.empty()
    if empty is None:
        if weight.changes:
            yield Hero(
                words.weight(weight.total(), signed=True, unit=False),
                words.weight_unit,
                "put on, less what was taken off; not weighed yet",
                "weight.html",
            )
        return
    since = counted(len(empty.changes), "change") if empty.changes else "no change"
    good = desk.worked.balance.empty
    weight_good = f" ±\u00a0{words.weight(good.u_kg, unit=False)}" if good else ""
    arm_good = f" ±\u00a0{words.arm(good.u_arm, unit=False)}" if good else ""
    yield Hero(
        words.weight(empty.kg, unit=False),
        f"{words.weight_unit}{weight_good}",
        f"empty; {rests_on(empty, words)}, {since} since",
        "weight.html",
    )
    if empty.arm_m is not None:
        datum = f"datum: {words.datum}" if words.datum else "from the datum"
        yield Hero(
            words.arm(empty.arm_m, unit=False),
            f"{words.arm_unit}{arm_good}",
            f"empty centre of gravity; {datum}",
            "balance.html",
        )


def _systems(desk: Desk) -> Iterator[SystemLine]:
    """One line for each system that work was done on."""
    words, sight = desk.words, desk.worked.logbook.sight
    for key, drawer in filed(desk.worked).items():
        if not key or not drawer.entries:
            continue
        minutes, net = sum(drawer.minutes.values()), sum(drawer.money.values())
        kg = sum(drawer.kg.values(), Fraction(0))
        found = [state for state in desk.worked.findings if state.open and state.system == key]
        yield SystemLine(
            desk.at.tab(key),
            words.labour(minutes) if minutes and sight.hours else "",
            words.money(net) if net and sight.costs != "none" else "",
            words.weight(kg, signed=True) if kg else "",
            ", ".join(state.line.found for state in found),
        )


def _systems_words(desk: Desk) -> str:
    """What the figures of each line are."""
    sight = desk.worked.logbook.sight
    figures = ["hours of work"] if sight.hours else []
    figures += ["what was paid less refunds"] if sight.costs != "none" else []
    return f"{desk.words.listed([*figures, 'the change of weight']).capitalize()}."
