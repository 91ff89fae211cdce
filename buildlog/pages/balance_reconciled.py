"""What each weighing brought to light: predicted and measured side by side, and in words."""

from __future__ import annotations

from fractions import Fraction

from buildlog.basics.frozen import frozen
from buildlog.figures.balance import Compared, Reconciled
from buildlog.figures.tolerance import Share
from buildlog.pages.lines import Desk
from buildlog.pages.sources import Source
from buildlog.pages.words import Words


@frozen
class ComparedRow:
    """A quantity predicted and measured."""

    what: str
    predicted: str
    measured: str
    difference: str
    tolerance: str
    unexplained: str


@frozen
class ReconciledForm:
    """A weighing against what was expected of it."""

    source: Source
    rows: tuple[ComparedRow, ...]
    words: str
    weigh_next: str


def reconciled_form(found: Reconciled, desk: Desk) -> ReconciledForm:
    """A weighing set beside its prediction, quantity by quantity and in words."""
    words = desk.words
    rows = [
        _compared(
            "Empty weight",
            found.weight,
            words.weight(found.weight.predicted),
            words.weight(found.weight.measured),
            words.weight(found.weight.difference, signed=True),
            words.weight(found.weight.tolerance),
            words.weight(found.weight.unexplained, signed=True),
        )
    ]
    if found.arm is not None:
        arm = found.arm
        rows.append(
            _compared(
                "Centre of gravity",
                arm,
                words.arm(arm.predicted),
                words.arm(arm.measured),
                _signed_arm(arm.difference, words),
                words.arm(arm.tolerance),
                _signed_arm(arm.unexplained, words),
            )
        )
    return ReconciledForm(
        desk.sources.of(found.weighed.entry, found.weighed.day),
        tuple(rows),
        _told(found, words),
        _weigh_next(found.heaviest, words),
    )


def _signed_arm(metres: Fraction, words: Words) -> str:
    text = words.arm(metres)
    return f"+{text}" if metres > 0 and _shows(text) else text


def _shows(text: str) -> bool:
    """Whether a figure, as rounded, is anything but nothing."""
    return any(sign.isdigit() and sign != "0" for sign in text)


def _compared(what: str, found: Compared, *said: str) -> ComparedRow:
    predicted, measured, difference, tolerance, unexplained = said
    return ComparedRow(what, predicted, measured, difference, tolerance, unexplained if found.unexplained else "none")


def _told(found: Reconciled, words: Words) -> str:
    """The reconciliation in two sentences, of the weight and of the centre of gravity."""
    weight, arm = found.weight, found.arm
    sizes = [words.weight(abs(kg)) for kg in (weight.difference, weight.tolerance, weight.unexplained)]
    told = _told_of("It weighed", weight, "heavier" if weight.difference > 0 else "lighter", *sizes)
    if arm is None:
        return told
    sizes = [words.arm(abs(metres)) for metres in (arm.difference, arm.tolerance, arm.unexplained)]
    way = "further aft" if arm.difference > 0 else "further forward"
    return f"{told} {_told_of('The centre of gravity lay', arm, way, *sizes)}"


def _told_of(what: str, found: Compared, way: str, difference: str, tolerance: str, unexplained: str) -> str:
    if not _shows(difference):
        return "It weighed what was expected." if what == "It weighed" else f"{what} where it was expected."
    told = f"{what} {difference} {way} than expected"
    if found.unexplained:
        return f"{told}: the tolerances explain {tolerance} of it, and {unexplained} is unexplained."
    return f"{told}, which the tolerances explain."


def _weigh_next(shares: tuple[Share, ...], words: Words) -> str:
    known = [
        f"{share.term.what} ({words.number(100 * share.of_weight, 0)}\u00a0%)"
        for share in shares
        if share.of_weight > Fraction(1, 100)
    ]
    return (
        f"Of the changes between, these carry most of the tolerance of the prediction: {words.listed(known)}."
        if known
        else ""
    )
