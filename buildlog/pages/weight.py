"""Weight: each change in order with the running sum, each weighing as on its form, and what has no weight yet.

The running change counts every line since the log began. From the first weighing on, the empty weight and its centre of
gravity are the last weighing and the changes since; they are told after each entry, not within it.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from buildlog.basics.frozen import frozen
from buildlog.basics.names import counted
from buildlog.figures.figures import Figures
from buildlog.pages.cost import Hero
from buildlog.pages.lines import Desk, rests_on
from buildlog.pages.sheet import Addresses, Link, Sheet, Tab
from buildlog.pages.sources import Source
from buildlog.pages.weight_charts import arm_chart, change_chart, strip_chart
from buildlog.pages.weight_ledger import LedgerLine, WeighingForm, ledger, weighing_forms
from buildlog.pages.words import Words
from buildlog.pages.years import NEWEST, Years


@frozen
class SystemWeight:
    """The net change of one system, with what went in and what came out."""

    tab: Tab
    taken_in: str
    taken_out: str
    net: str
    path: str


@frozen
class MissingWeight:
    """Something fitted or removed of which no weight is written."""

    item: str
    source: Source


@frozen
class WeightView:
    """The page of weight; the ledger's lines are the newest where ``pages`` names those of the years."""

    strip: tuple[Hero, ...]
    state: str
    without_arm: str
    station_strip: str
    change_chart: str
    arm_chart: str
    ledger: tuple[LedgerLine, ...]
    net: str
    weighings: tuple[WeighingForm, ...]
    systems: tuple[SystemWeight, ...]
    not_weighed: tuple[MissingWeight, ...]
    weight_unit: str
    arm_unit: str
    datum: str
    pages: tuple[Link, ...]


@frozen
class WeightYearView:
    """The lines of one year of a long ledger, and the net change at its end."""

    title: str
    net: str
    count: str
    pages: tuple[Link, ...]
    ledger: tuple[LedgerLine, ...]
    weighed: bool
    """Whether there is a weighing in any year, so that there is an empty weight to tell."""
    weight_unit: str
    arm_unit: str


def weight_sheets(worked: Figures, words: Words, at: Addresses) -> Iterator[Sheet]:
    """The page of weight, and of a long ledger one for each year."""
    desk, weight = Desk.of(worked, words, at), worked.weight
    lines = ledger(desk)
    years = Years.of("weight.html", "Totals", (line.year for line in lines))
    view = WeightView(
        tuple(_strip(desk)),
        _state(desk),
        _without_arm(desk),
        strip_chart(desk),
        change_chart(desk),
        arm_chart(desk),
        lines[-NEWEST:] if years.years else lines,
        words.weight(weight.total(), signed=True, unit=False),
        weighing_forms(desk),
        tuple(_systems(desk)),
        tuple(MissingWeight(line.item, desk.sources.of(line.entry, line.day)) for line in weight.not_weighed),
        words.weight_unit,
        words.arm_unit,
        words.datum,
        years.links(),
    )
    from_ = f"{counted(len(weight.weighings), 'weighing')}, {counted(len(weight.changes), 'change')}"
    yield Sheet(
        "weight.html",
        "weight.html",
        "Weight",
        view,
        "weight.html",
        description=f"The running weight change, line by line: {words.weight(weight.total(), signed=True)} so far.",
        worked_from=from_,
        updated=worked.logbook.last_day(),
    )
    yield from (_year(year, years, lines, desk) for year in years.years)


def _year(year: int, years: Years, lines: tuple[LedgerLine, ...], desk: Desk) -> Sheet:
    """The lines of one year."""
    weight, mine, title = desk.worked.weight, tuple(line for line in lines if line.year == year), f"Weight, {year}"
    net = f"{mine[-1].net} {desk.words.weight_unit}" if mine[-1].net else ""
    view = WeightYearView(
        title,
        net,
        counted(len(mine), "line"),
        years.links(),
        mine,
        bool(weight.weighings),
        desk.words.weight_unit,
        desk.words.arm_unit,
    )
    days = [*(change.day for change in weight.changes), *(weighed.day for weighed in weight.weighings)]
    return Sheet(
        years.path(year),
        "weight_year.html",
        title,
        view,
        "weight.html",
        description=f"Every change of weight and every weighing of {year}.",
        worked_from=view.count,
        updated=max(day for day in days if day.year == year),
    )


def _strip(desk: Desk) -> Iterator[Hero]:
    weight, words = desk.worked.weight, desk.words
    empty, forms = weight.empty(), "#weighings" if weight.weighings else ""
    if empty is not None:
        last = "last weighing" if weight.weighings else "as stated"
        yield Hero(
            words.weight(empty.kg, unit=False), words.weight_unit, f"empty weight, {last} and changes since", forms
        )
        if empty.arm_m is not None:
            datum = f" from the datum ({words.datum})" if words.datum else " from the datum"
            yield Hero(words.arm(empty.arm_m, unit=False), words.arm_unit, f"empty centre of gravity,{datum}", forms)
    net = words.weight(weight.total(), signed=True, unit=False)
    yield Hero(net, words.weight_unit, "put on less taken off since the log began", "#ledger")
    if weight.not_weighed:
        yield Hero(str(len(weight.not_weighed)), "", "parts and components with no weight written", "#not-weighed")


def _state(desk: Desk) -> str:
    """One sentence: what the empty weight rests on."""
    empty, words = desk.worked.weight.empty(), desk.words
    if empty is None:
        return "Not weighed yet. The changes below are all that is known of the weight."
    since = counted(len(empty.changes), "change")
    told = rests_on(empty, words)
    told = told[0].upper() + told[1:]
    return f"{told}; {since} written since." if empty.changes else f"{told}; no change written since."


def _without_arm(desk: Desk) -> str:
    empty = desk.worked.weight.empty()
    if empty is None or not empty.without_arm:
        return ""
    lines = counted(empty.without_arm, "change has", "changes have")
    return f"{lines} no arm written: in the weight since the last weighing, and not in the centre of gravity."


def _systems(desk: Desk) -> Iterator[SystemWeight]:
    words, weight = desk.words, desk.worked.weight
    net = weight.by_system()
    for key in desk.in_order(net):
        mine = [change.kg for change in weight.changes if change.system == key]
        put_in = sum((kg for kg in mine if kg >= 0), Fraction(0))
        taken = sum((kg for kg in mine if kg < 0), Fraction(0))
        yield SystemWeight(
            desk.at.tab(key),
            words.weight(put_in, signed=True, unit=False) if put_in else "",
            words.weight(taken, signed=True, unit=False) if taken else "",
            words.weight(net[key], signed=True, unit=False),
            f"{desk.at.system(key)}#weight" if key else "systems.html#no-system",
        )
