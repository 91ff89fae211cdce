"""The totals as they are printed in a terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from buildlog.basics.names import counted
from buildlog.figures.figures import Figures
from buildlog.figures.findings import open_findings
from buildlog.figures.service import AIRFRAME
from buildlog.pages.balance_loading import case_rows, extreme_rows, outside_words
from buildlog.pages.due import due_lines
from buildlog.pages.lines import Desk, rests_on
from buildlog.pages.records import counts
from buildlog.pages.seals import seal_line
from buildlog.pages.sheet import Addresses
from buildlog.pages.signatures import signatures_told
from buildlog.pages.times import time_lines
from buildlog.pages.words import Words

Row = tuple[str, ...]


def totals_text(worked: Figures, words: Words) -> str:
    """The state in the terminal: cost, hours, weight, findings, orders, what falls due, what was signed and sealed."""
    project = worked.logbook.project
    told = sum(1 for _ in worked.logbook.told())
    on = words.day(worked.on) if worked.on else "no entry yet"
    lines = [
        f"{project.title}",
        f"{project.aircraft.type} {project.aircraft.mark or ''}".rstrip()
        + f", {on}, {counted(told, 'entry', 'entries')}",
    ]
    for part in (_cost, _labour, _by_system, _weight, _records, due_lines, _open, _signed):
        lines += ["", *part(worked, words)]
    return "\n".join(lines)


def _table(rows: Sequence[Row], heads: Row | None = None, *, words_last: bool = False) -> list[str]:
    """Rows in columns: the first to the left, the others to the right, the last to the left where it holds words."""
    everything = [*([heads] if heads else []), *rows]
    widths = [max(len(row[i]) for row in everything) for i in range(len(everything[0]))] if everything else []
    left = {0, len(widths) - 1} if words_last else {0}
    return [
        "  "
        + "  ".join(
            cell.ljust(w) if i in left else cell.rjust(w) for i, (cell, w) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in everything
    ]


def _records(worked: Figures, words: Words) -> Iterator[str]:
    """How long what has run, and what is shown of what rules ask."""
    if not (worked.shown or worked.times.clock.readings):
        return
    yield "Records"
    names = {AIRFRAME: "airframe"} | {
        key: worked.logbook.components[key].name
        for key in dict.fromkeys(one.subject for one in worked.shown)
        if key in worked.logbook.components
    }
    rows: list[Row] = [
        (f"{name}, {line.since}", line.hours)
        for key, name in names.items()
        for line in time_lines(key, worked, words)
        if line.since != "since fitted in this log"
    ]
    rows += [(f"{name} of what rules ask", str(number)) for name, number in counts(worked.shown) if number]
    yield from _table(rows)


def _cost(worked: Figures, words: Words) -> Iterator[str]:
    cost = worked.cost
    yield "Cost"
    rows: list[Row] = [
        ("paid", words.money(cost.paid())),
        ("refunded", words.money(-cost.refunded())),
        ("paid after refunds", words.money(cost.net())),
        ("ordered, not yet paid", words.money(cost.ordered())),
    ]
    rows += [(f"in {code}, no rate stated", words.written_money(amount)) for code, amount in cost.unconverted().items()]
    yield from _table(rows)


def _labour(worked: Figures, words: Words) -> Iterator[str]:
    yield "Hours"
    rows: list[Row] = [(role, words.labour(minutes)) for role, minutes in worked.labour.by_role().items()]
    yield from _table([*rows, ("all", words.labour(worked.labour.minutes()))])


def _by_system(worked: Figures, words: Words) -> Iterator[str]:
    book = worked.logbook
    cost, hours, weight = worked.cost.by_system(), worked.labour.by_system(), worked.weight.by_system()
    keys = sorted(
        {*cost, *hours, *weight}, key=lambda key: (not key, book.system(key).code or "~", book.system(key).name)
    )
    yield "By system"
    rows = [
        (
            f"{book.system(key).code or '  '} {book.system(key).name}",
            words.labour(hours.get(key, 0)),
            words.money(cost.get(key, 0)),
            words.weight(weight[key], signed=True) if key in weight else "",
        )
        for key in keys
    ]
    total = (
        "   all",
        words.labour(worked.labour.minutes()),
        words.money(worked.cost.net()),
        words.weight(worked.weight.total(), signed=True),
    )
    yield from _table([*rows, total], ("", "hours", "paid", "weight"))


def _weight(worked: Figures, words: Words) -> Iterator[str]:
    empty, balance = worked.weight.empty(), worked.balance.empty
    yield "Weight and balance"
    if empty is None or balance is None:
        yield "  not weighed yet; change so far " + words.weight(worked.weight.total(), signed=True)
    else:
        since = counted(len(empty.changes), "change")
        yield from _table(
            [
                ("empty weight", f"{words.weight(empty.kg, unit=False)} \u00b1 {words.weight(balance.u_kg)}"),
                (
                    "centre of gravity",
                    f"{words.arm(empty.arm_m, unit=False)} \u00b1 {words.arm(balance.u_arm)}"
                    if empty.arm_m is not None
                    else "not known",
                ),
                *([("moment", words.moment(empty.moment))] if empty.arm_m is not None else []),
                ("since then", since),
            ]
        )
        yield f"  {rests_on(empty, words)}"
    for found in worked.balance.reconciled:
        yield (
            f"  weighing of {words.day(found.weighed.day)}: {words.weight(found.weight.difference, signed=True)} against "
            f"the prediction, tolerance {words.weight(found.weight.tolerance)}, "
            f"unexplained {words.weight(found.weight.unexplained)}"
        )
    yield from _loading(worked, words)
    if worked.weight.not_weighed:
        yield f"  {counted(len(worked.weight.not_weighed), 'part')} not weighed: buildlog audit lists them"


def _loading(worked: Figures, words: Words) -> Iterator[str]:
    """Cases and extremes, a line each, and what is outside in words."""
    if worked.loading is None:
        return
    desk = Desk.of(worked, words, Addresses(worked.logbook))
    rows = [
        (case.name, f"{case.weight} {words.weight_unit}", f"{case.arm} {words.arm_unit}", case.margin)
        for case in case_rows(desk)
    ]
    rows += [
        (line.name, f"{line.weight} {words.weight_unit}", f"{line.arm} {words.arm_unit}", line.margin)
        for line in extreme_rows(desk)
    ]
    yield "Loading"
    yield from _table(rows, words_last=True)
    yield from (f"  {told}" for told in outside_words(desk))


def _open(worked: Figures, words: Words) -> Iterator[str]:
    waiting = [order for order in worked.cost.orders if order.received is None]
    found = open_findings(worked.findings)
    yield f"Open: {counted(len(found), 'finding')}, {counted(len(waiting), 'order')}"
    for state in found:
        yield f"  {state.line.key}  {words.standing(state.line.standing)}: {state.line.found}"
    for order in waiting:
        promised = f", promised for {words.day(order.promised)}" if order.promised else ""
        yield f"  {order.line.key}  ordered: {order.line.item}{promised}"


def _signed(worked: Figures, words: Words) -> Iterator[str]:
    yield f"Signed: {signatures_told(worked)}"
    for name, seal in worked.logbook.sealed().items():
        if not seal.whole:
            yield f"  {name}  {seal_line(seal, worked.logbook, words).words}"
    for work in worked.unsigned:
        yield f"  {work.entry}  wants a signature ({worked.logbook.system(work.system).name})"
