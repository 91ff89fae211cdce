"""Weight and balance report: the empty weight and how good it is, each loading against the limits, and room to sign."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TypeVar

from buildlog.handover.document_binder import Binder
from buildlog.handover.document_nodes import (
    Node,
    Said,
    chart,
    column,
    heading,
    line,
    of_file,
    para,
    part,
    points,
    row,
    signature,
    source,
    strip,
    strong,
    table,
    terms,
    to,
    under,
)
from buildlog.handover.part_weight_method import method
from buildlog.pages.balance import BalanceView
from buildlog.pages.balance_loading import diagram
from buildlog.pages.charts import Sheet
from buildlog.pages.weight_charts import strip_drawing
from buildlog.pages.weight_ledger import FormLine, WeighingForm

Data = TypeVar("Data")
PAPER = Sheet(700, "", "print", "'Sofia Sans'")
"""What charts are drawn on for print: a page's width, and the print fonts' name."""
SIGNED = (
    "Name",
    "Signature",
    "Certificate: kind and number",
    "Date",
)


def part_weight(binder: Binder) -> Node | None:
    """The report; without anything weighed or changed there is none."""
    view, weight = binder.balance, binder.weight
    if not (view.strip or weight.ledger or weight.weighings):
        return None
    body = [
        para(weight.state, kind="lede"),
        *strip((hero.figure, hero.unit, hero.words) for hero in view.strip),
        *([para(view.why_none, kind="facts")] if view.why_none else []),
        *([para(weight.without_arm, kind="facts")] if weight.without_arm else []),
        *_limits(view),
        *_cases(view),
        *_diagram(binder),
        *_extremes(view),
        *_stations(binder),
        *(node for form in weight.weighings for node in _weighing(form, binder)),
        *_reconciled(view),
        *_shares(view),
        *_ledger(binder),
        *_missing(binder),
        *method(binder),
        *_sign(),
    ]
    return part("Weight and balance report", "weight.html", of_file("loading.yaml", [*body]))


def on_paper(draw: Callable[[Data, Sheet], str], data: Data) -> str:
    """A chart drawn once, for print."""
    return draw(data, PAPER)


def _limits(view: BalanceView) -> list[Node]:
    made: list[Node] = []
    if view.outside:
        made += [heading(2, "Outside the limits"), *points([strong(words) for words in view.outside])]
    if view.close:
        made += [heading(2, "Inside by less than the tolerance"), *points(view.close)]
    return made


def _cases(view: BalanceView) -> list[Node]:
    columns = (
        column(""),
        column("Loading", "2.2fr"),
        column(f"Weight, {view.weight_unit}", right=True),
        column(f"CG, {view.arm_unit}", right=True),
        column("% of mean chord", right=True),
        column("Margin", "1.5fr"),
        column("While the tanks empty", "1.5fr"),
    )
    rows = [
        row(
            strong(case.letter),
            line(case.name, under(case.loads)),
            case.weight,
            case.arm,
            case.mac,
            case.margin if case.inside else strong(case.margin),
            case.burn if case.burn_inside else strong(case.burn),
        )
        for case in view.cases
    ]
    made = table(columns, rows)
    return (
        [heading(2, "Loadings", "balance.html"), *made, *([para(view.ballast, kind="facts")] if view.ballast else [])]
        if made
        else []
    )


def _diagram(binder: Binder) -> list[Node]:
    drawing = diagram(binder.desk, on_paper)
    told = "; ".join(
        f"{case.letter}, {case.name}: {case.weight} at {case.arm}, {case.margin}" for case in binder.balance.cases
    )
    words = (
        "Solid: a loading as it begins, with its tolerance. Dashed: the way its tanks empty. Hollow: the empty aircraft. The "
        "letters are those of the loadings above."
    )
    return chart(drawing, f"Loadings against the limits of the centre of gravity. {told}".strip(), words)


def _extremes(view: BalanceView) -> list[Node]:
    columns = (
        column("End", "1fr"),
        column("Loads", "2.2fr"),
        column(f"Weight, {view.weight_unit}", right=True),
        column(f"CG, {view.arm_unit}", right=True),
        column("Margin", "1.5fr"),
    )
    rows = [
        row(
            one.name[:1].upper() + one.name[1:],
            one.loads,
            one.weight,
            one.arm,
            one.margin if one.inside else strong(one.margin),
        )
        for one in view.extremes
    ]
    words = "Every station between its least and greatest load, every tank between full and none, up to the greatest weight."
    said = para(f"{words} {view.open_ended}".strip(), kind="note")
    return [heading(2, "The ends of what can be loaded"), said, *table(columns, rows)] if rows else []


def _stations(binder: Binder) -> list[Node]:
    drawing = strip_drawing(binder.desk, on_paper)
    alternative = "What was put on and taken off, each at its arm; the ledger of weight has every line."
    words = "In stands on the line, out hangs below it; the area is the weight."
    return [heading(2, "What was put on and taken off"), *chart(drawing, alternative, words)] if drawing else []


def _weighing(form: WeighingForm, binder: Binder) -> list[Node]:
    weight, arm = binder.weight.weight_unit, binder.weight.arm_unit
    columns = (
        column("Scale", "2fr"),
        column(f"Reading, {weight}", right=True),
        column("Tare", right=True),
        column("Net", right=True),
        column(f"Arm, {arm}", right=True),
        column(f"Moment, {weight}\u00a0{arm}", right=True),
    )
    rows = [_form_row(one, "") for one in form.points]
    rows += [_form_row(one, "on board, taken off") for one in form.off]
    rows += [_form_row(one, "missing, added") for one in form.added]
    rows.append(_form_row(form.total, "", kind="sum"))
    pairs: list[tuple[str, Said]] = [
        ("Entry", to(form.source.title, form.source.path)),
        ("Levelled", form.attitude),
        ("Oil", form.oil),
        ("Scales", form.scale),
        ("Scales last checked", form.calibrated),
    ]
    return [heading(2, f"Weighing of {form.source.day}"), *terms(pairs), *table(columns, rows)]


def _form_row(one: FormLine, words: str, kind: str = "") -> Node:
    said = ", ".join(filter(None, (words, one.basis)))
    return row(line(one.item, under(said)), one.reading, one.tare, one.net, one.arm, one.moment, kind=kind)


def _reconciled(view: BalanceView) -> list[Node]:
    columns = (
        column("What", "1.4fr"),
        column("Predicted", right=True),
        column("Measured", right=True),
        column("Difference", right=True),
        column("Combined tolerance", right=True),
        column("Unexplained", right=True),
    )
    made: list[Node] = []
    for form in view.reconciled:
        rows = [
            row(one.what, one.predicted, one.measured, one.difference, f"\u00b1 {one.tolerance}", one.unexplained)
            for one in form.rows
        ]
        made += [heading(3, f"The weighing of {form.source.day} against the ledger", marked=False)]
        made += [para(f"{form.words} {form.weigh_next}".strip(), kind="facts"), *table(columns, rows)]
    return [heading(2, "What the weighings brought to light"), *made] if made else []


def _shares(view: BalanceView) -> list[Node]:
    columns = (
        column("Line", "2fr"),
        column("Basis"),
        column(f"Weight, {view.weight_unit}", right=True),
        column(f"Arm, {view.arm_unit}", right=True),
        column("Of the weight\u2019s", right=True),
        column("Of the CG\u2019s", right=True),
        column("Entry", "1.6fr"),
    )
    rows = [
        row(one.what, one.basis, one.weight, one.arm, one.of_weight, one.of_arm, to(one.source.title, one.source.path))
        for one in view.shares
    ]
    words = "The last weighing and every line since, those first that carry most of the tolerance: what to weigh or measure again."
    return (
        [heading(2, "Where the tolerance comes from"), para(words, kind="note"), *table(columns, rows)] if rows else []
    )


def _ledger(binder: Binder) -> list[Node]:
    view = binder.weight
    columns = (
        column("Day"),
        column("What, and its entry", "2.6fr"),
        column("Basis"),
        column(f"Change, {view.weight_unit}", right=True),
        column(f"Arm, {view.arm_unit}", right=True),
        column("Net change", right=True),
        column("Empty weight", right=True),
        column("Empty CG", right=True),
    )
    rows = list(_ledger_rows(binder))
    return [heading(2, "Ledger of weight"), *table(columns, rows)] if rows else []


def _ledger_rows(binder: Binder) -> Iterator[Node]:
    for one in binder.ledger:
        entry = under(to(one.source.title, one.source.path))
        if one.change is None:
            yield row(
                one.source.day, line(strong("Weighed"), entry), "", "", "", one.net, strong(one.empty), strong(one.arm)
            )
        else:
            change = one.change
            yield row(
                one.source.day,
                line(change.item, under(to(one.source.title, one.source.path))),
                change.basis,
                change.weight,
                change.arm,
                one.net,
                one.empty,
                one.arm,
            )


def _missing(binder: Binder) -> list[Node]:
    rows = [row(one.item, source(one.source)) for one in binder.weight.not_weighed]
    words = "Parts and components put on or taken off of which no weight is written."
    return (
        [
            heading(2, "Not weighed"),
            para(words, kind="note"),
            *table((column("What", "1fr"), column("Entry", "1fr")), rows),
        ]
        if rows
        else []
    )


def _sign() -> list[Node]:
    words = (
        "The figures above are computed from the weighing and the log named. They hold for the aircraft only when whoever is "
        "entitled to has weighed or checked it, entered weight and centre of gravity below, and signed."
    )
    fields = ("Empty weight", "Empty centre of gravity", *SIGNED)
    return [heading(2, "To be signed by whoever is entitled to"), signature("Weight and balance", fields, words)]
