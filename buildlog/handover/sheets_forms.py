"""Forms at the end of the log sheets: a condition inspection, an inspection by 14 CFR 43.11(a), a weighing.

They hold blanks and no figures: what is entered is for whoever inspects or weighs, and signs. The words of the condition
inspection are those recorded in operating limitations of experimental aircraft (Order 8130.2 series); the limitations
issued to the aircraft prevail.
"""

from __future__ import annotations

from buildlog.handover.document_binder import Binder
from buildlog.handover.document_nodes import Node, para, part, signature

_BLANK = "\u00a0____________________\u00a0"
CONDITION = (
    f"I certify that this aircraft has been inspected on{_BLANK}in accordance with the scope and detail of appendix D to "
    "part 43, and was found to be in a condition for safe operation."
)
_SIGNER = ("Name", "Signature", "Certificate: kind", "Certificate: number")


def forms(binder: Binder) -> list[Node]:
    """The forms as one more part."""
    american = "us" in binder.desk.worked.logbook.project.requirements
    body = [
        para(
            "To be completed and signed by those entitled to, or left blank. Nothing here is filled in by the program.",
            kind="lede",
        ),
        *(_american() if american else [_any_inspection()]),
        _weighing(binder),
    ]
    made = part("Inspection and weighing, to be completed by hand", "forms", body)
    return [made] if made else []


def _american() -> list[Node]:
    """The statements of the United States: for experimental aircraft, and for those under part 43."""
    limits = "Only where the operating limitations issued to this aircraft ask for these words; they may have others."
    return [
        signature("Condition inspection", ("Date", "Total time in service", *_SIGNER), CONDITION),
        para(limits, kind="note"),
        signature(
            "Inspection under 14 CFR part 43",
            (
                "Type of inspection and its extent",
                "Statement, in the words of 14 CFR 43.11(a)",
                "Date",
                "Total time in service",
                *_SIGNER,
            ),
            "Only for an aircraft that part 43 applies to (14 CFR 43.1). The signer writes the statement that 43.11(a) gives for "
            "the result, and hands over a list of what was found.",
        ),
    ]


def _any_inspection() -> Node:
    fields = (
        "Type of inspection and its extent",
        "Statement, in the words of the rule",
        "Date",
        "Total time in service",
        *_SIGNER,
    )
    return signature(
        "Inspection", fields, "The statement is written in the words that the authority\u2019s rule gives."
    )


def _weighing(binder: Binder) -> Node:
    words = binder.desk.words
    datum = f" Datum: {words.datum}." if words.datum else ""
    fields = (
        f"Left main: reading, tare, arm ({words.weight_unit}, {words.arm_unit})",
        f"Right main: reading, tare, arm ({words.weight_unit}, {words.arm_unit})",
        f"Nose or tail: reading, tare, arm ({words.weight_unit}, {words.arm_unit})",
        "On board and taken off; missing and added",
        f"Empty weight, {words.weight_unit}",
        f"Empty centre of gravity, {words.arm_unit} from the datum",
        "Levelled by; oil; fuel",
        "Scales: make, serial number, last checked",
        "Date",
        *_SIGNER,
    )
    return signature("Weighing", fields, f"The aircraft was weighed in the condition described.{datum}")
