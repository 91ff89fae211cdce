"""How the weight and balance report is worked out, in sentences that somebody can check it by."""

from __future__ import annotations

from buildlog.handover.document_binder import Binder
from buildlog.handover.document_nodes import Node, heading, para

_METHOD = (
    (
        "Weight W is the sum of all weights, put on counted plus and taken off minus; the centre of gravity is the sum of weight "
        "times arm divided by W."
    ),
    (
        "Tolerances combine by the law of propagation (JCGM 100): u(W)\u00b2 is the sum of u(w)\u00b2; u(CG)\u00b2 is the sum of "
        "((a \u2212 CG) / W)\u00b2 u(w)\u00b2 and, for each arm measured, of (w / W)\u00b2 u(a)\u00b2. A line\u2019s own \u00b1 is taken "
        "as written, else its basis decides. Weights are taken as independent, also on one scale; lines of one entry at one arm "
        "share one error of that arm. Loads are taken as exact."
    ),
    (
        "At each later weighing the state before it and the changes up to it predict; the combined tolerance is the root of the "
        "sum of both squares; what the difference goes beyond that is unexplained."
    ),
    (
        "Limits are straight lines between the points given; a weight outside them is outside; exactly on a limit is inside. For "
        "each total weight the most forward loading fills the stations in the order of their arms, the most aft one in the "
        "opposite order, so the ends are found exactly. Tanks at several arms are taken to empty in either order."
    ),
)


def method(binder: Binder) -> list[Node]:
    """The method, with the datum and the tolerances that this project takes."""
    rules = binder.desk.worked.logbook.project.tolerances
    datum = binder.desk.words.datum
    taken = (
        f"Taken where a line does not say: \u00b1 {rules.weighed} for what was weighed, {rules.published} for a maker\u2019s "
        f"figure, {rules.estimated} for an estimate{f', {rules.arm} for an arm' if rules.arm else ''}."
    )
    said = [*([f"Arms are measured from the datum: {datum}."] if datum else []), *_METHOD, taken]
    return [heading(2, "Method"), *(para(words, kind="facts") for words in said)]
