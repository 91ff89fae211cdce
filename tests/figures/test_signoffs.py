"""Signatures point by point, as 14 CFR 43.9(a) and 43.11(a) have them, and work that wants one."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.figures.figures import Figures, figures
from buildlog.figures.signoffs import Signature
from buildlog.records.audience import seen_by
from buildlog.records.statements import NOT_FOR_THIS, SAFE
from tests.making import PROJECT, entry, read, worked

FOUND = (
    "I certify that this aircraft has been inspected on 4 July 2026 in accordance with the scope and detail of "
    "appendix D to part 43, and was found to be in a condition for safe operation."
)
INSPECTION = "by: mechanic, as: condition-inspection, date: 2026-07-04"
PAPER: dict[str, str | bytes] = {"documents/page.pdf": "ink"}


def day(signed: str, more: str = "", on: str = "2026-07-04") -> str:
    return entry(f"title: Work\ndate: {on}\nsystem: [engine, fuel]\n{more}\nsigned: {{{signed}}}")


def only(root: Path, text: str, more: dict[str, str | bytes] | None = None) -> Signature:
    (signature,) = worked(root, {"log/2026-07-04-x.md": text} | (more or {})).signatures
    return signature


def shown(signature: Signature) -> dict[str, str | None]:
    return {point.asks: point.shown for point in signature.points}


def test_work_signed_with_everything(tmp_path: Path) -> None:
    text = day(
        "by: mechanic, as: return-to-service, date: 2026-07-05, words: Magneto timed, paper: documents/page.pdf",
        "hours: {owner: 3:15, mechanic: 0:45}\ncomponents: [{removed: pump}, {installed: pump}]",
    )
    signature = only(tmp_path, text, PAPER | {"components.yaml": "pump: {name: Pump}\n"})
    assert [(point.rule, point.shown) for point in signature.points] == [
        ("14 CFR 43.9(a)(1)", "Magneto timed"),
        ("14 CFR 43.9(a)(2)", "2026-07-04"),
        ("14 CFR 43.9(a)(3)", "Ann Sample"),
        ("14 CFR 43.9(a)(4)", "documents/page.pdf"),
        ("14 CFR 43.9(a)(4)", "998877"),
        ("14 CFR 43.9(a)(4)", "mechanic"),
    ]
    assert signature.missing == ()
    assert (signature.systems, signature.components) == (("engine", "fuel"), ("pump",))
    assert signature.day == date(2026, 7, 5)


def test_what_is_missing_is_named(tmp_path: Path) -> None:
    signature = only(tmp_path, day("by: owner, as: work, date: 2026-07-04"))
    assert signature.missing == (
        "what was done, in the words signed",
        "the signature in ink",
        "the number of the certificate",
        "the kind of certificate",
    )
    ink = next(point for point in signature.points if point.asks == "the signature in ink")
    assert ink.instead == "stated here; the signed page is not in this record"
    assert shown(signature)["who did the work, if not the signer"] == "nobody but the signer is named"


def test_a_certificate_of_the_line_goes_before_the_one_of_the_person(tmp_path: Path) -> None:
    signature = only(
        tmp_path, day('by: mechanic, as: work, date: 2026-07-04, certificate: {kind: repairman, number: "5"}')
    )
    assert signature.certificate is not None
    assert (signature.certificate.kind, signature.certificate.number) == ("repairman", "5")
    assert shown(signature)["the number of the certificate"] == "5"


def test_work_signed_before_the_entry_ends_was_complete_when_it_was_signed(tmp_path: Path) -> None:
    text = entry("title: x\ndates: 2026-07-01/2026-07-09\nsigned: {by: mechanic, as: work, date: 2026-07-04}")
    assert shown(only(tmp_path, text))["the day the work was complete"] == "2026-07-04"


def test_a_condition_inspection_with_everything(tmp_path: Path) -> None:
    text = day(f'{INSPECTION}, total_time: 412.6 h, paper: documents/page.pdf, words: "{FOUND}"')
    signature = only(tmp_path, text, PAPER)
    assert signature.missing == ()
    assert [point.rule.removeprefix("14 CFR ") for point in signature.points] == [
        "43.11(a)(1)",
        "43.11(a)(1)",
        "43.11(a)(2)",
        "43.11(a)(2)",
        "43.11(a)(3)",
        "43.11(a)(3)",
        "43.11(a)(3)",
        "the operating limitations of the aircraft",
    ]
    told = shown(signature)
    assert told["the type of inspection"] == "condition inspection"
    assert told["how far it went"] == "scope and detail of appendix D to part 43"
    assert told["the total time in service of the aircraft"] == "412.6 h"


def test_a_condition_inspection_without_time_and_extent(tmp_path: Path) -> None:
    signature = only(tmp_path, day(f'{INSPECTION}, paper: documents/page.pdf, words: "Found in a {SAFE}."'), PAPER)
    assert signature.missing == ("how far it went", "the total time in service of the aircraft")


@pytest.mark.parametrize(
    "words",
    [
        "was determined to be in airworthy condition",
        f"in a {SAFE}, and Airworthy",
        "found good",
        "a condition for flight",
    ],
)
def test_other_words_are_not_the_statement(tmp_path: Path, words: str) -> None:
    (point,) = (point for point in only(tmp_path, day(f'{INSPECTION}, words: "{words}"')).points if point.wording)
    assert point.shown is None
    assert NOT_FOR_THIS not in point.instead


def test_the_statement_may_run_over_lines_and_in_capitals(tmp_path: Path) -> None:
    text = entry(
        "title: x\ndate: 2026-07-04\nsigned:\n  by: mechanic\n  as: condition-inspection\n  date: 2026-07-04\n"
        "  words: |\n    FOUND TO BE IN A CONDITION\n    FOR SAFE OPERATION\n"
    )
    (point,) = (point for point in only(tmp_path, text).points if point.wording)
    assert point.shown is not None


def test_where_other_rules_hold_nothing_is_asked_by_these(tmp_path: Path) -> None:
    files = {
        "project.yaml": PROJECT + "requirements: none\n",
        "log/2026-07-04-x.md": day("by: owner, as: work, date: 2026-07-04"),
    }
    (signature,) = worked(tmp_path, files).signatures
    assert signature.points == signature.missing == ()


def test_what_may_not_be_seen_is_not_called_missing(tmp_path: Path) -> None:
    text = day(
        "by: mechanic, as: work, date: 2026-07-04, words: Timed, paper: documents/page.pdf", "hours: {owner: 1:00}"
    )
    project = PROJECT.replace("costs: full", "costs: full, hours: no")
    book = read(tmp_path, PAPER | {"project.yaml": project, "log/2026-07-04-x.md": text}).logbook
    (signature,) = figures(seen_by(book, "public"))[0].signatures
    assert signature.missing == ()
    assert [point.asks for point in signature.points if point.kept_back] == [
        "who did the work, if not the signer",
        "the signature in ink",
        "the number of the certificate",
    ]
    assert signature.person is not None
    assert "998877" not in repr(signature)
    assert "page.pdf" not in repr(signature)
    assert "Example" not in repr(signature)


def asking(*systems: str) -> str:
    return PROJECT + "systems: {" + ", ".join(f"{key}: {{signature: yes}}" for key in systems) + "}\n"


def log(*days: tuple[str, str]) -> dict[str, str | bytes]:
    """Entries by their system and further facts, a day apart."""
    return {
        f"log/2026-07-{number:02d}-x.md": entry(f"title: x\ndate: 2026-07-{number:02d}\nsystem: {system}\n{more}")
        for number, (system, more) in enumerate(days, 1)
    }


SIGNS = "signed: {by: mechanic, as: work, date: 2026-07-09}"
PARTS = "parts: [{item: Hose}]"


def wanting(found: Figures) -> list[str]:
    return [work.entry[8:10] for work in found.unsigned]


@pytest.mark.parametrize(
    ("days", "wanted"),
    [
        ([("engine", PARTS)], ["01"]),
        ([("engine", PARTS + "\n" + SIGNS)], []),
        ([("engine", PARTS), ("engine", SIGNS)], []),
        ([("engine", PARTS), ("[wings, engine]", SIGNS)], []),
        ([("engine", PARTS), ("wings", SIGNS)], ["01"]),
        ([("engine", SIGNS), ("engine", PARTS)], ["02"]),
        ([("[wings, engine]", PARTS)], []),
        ([("wings", PARTS)], []),
        ([("engine", "hours: 3:00")], []),
        ([("engine", "components: [{removed: pump}]")], ["01"]),
        ([("wings", "findings: [{key: F, found: z, standing: cosmetic}]"), ("engine", "closes: [F]")], ["02"]),
    ],
)
def test_who_wants_a_signature(tmp_path: Path, days: list[tuple[str, str]], wanted: list[str]) -> None:
    files = {"project.yaml": asking("engine"), "components.yaml": "pump: {name: Pump}\n"} | log(*days)
    assert wanting(worked(tmp_path, files)) == wanted


def test_a_built_in_system_keeps_its_name_and_number(tmp_path: Path) -> None:
    book = read(tmp_path, {"project.yaml": asking("engine", "attic")}).logbook
    assert (book.system("engine").name, book.system("engine").code) == ("Engine", "85")
    assert book.system("attic").name == "attic"


def test_a_signature_that_an_audience_may_not_see_still_counts(tmp_path: Path) -> None:
    files = {"project.yaml": asking("engine")} | log(("engine", PARTS), ("engine", SIGNS + "\naudience: private"))
    book = read(tmp_path, files).logbook
    for audience in ("public", "inspector", "buyer", "builder"):
        assert wanting(figures(seen_by(book, audience))[0]) == [], audience
    assert len(figures(seen_by(book, "buyer"))[0].signatures) == 0


def test_as_of_a_day_later_signatures_do_not_count(tmp_path: Path) -> None:
    files = {"project.yaml": asking("engine")} | log(("engine", PARTS), ("engine", SIGNS))
    book = read(tmp_path, files).logbook
    assert wanting(figures(book, date(2026, 7, 1))[0]) == ["01"]
    assert wanting(figures(book)[0]) == []


@given(
    st.lists(
        st.tuples(
            st.lists(st.sampled_from(["engine", "fuel", "wings"]), min_size=1, unique=True),
            st.booleans(),
            st.booleans(),
        ),
        max_size=7,
    )
)
def test_by_the_rule_said_the_other_way_round(days: list[tuple[list[str], bool, bool]]) -> None:
    """An entry wants one unless some entry from it on is signed and has its main system."""
    import tempfile

    lines = [
        (f"[{', '.join(systems)}]", "\n".join([PARTS] * work + [SIGNS] * signed)) for systems, work, signed in days
    ]
    expected = [
        f"{number:02d}"
        for number, (systems, work, _) in enumerate(days, 1)
        if work
        and systems[0] != "wings"
        and not any(signed and systems[0] in later for later, _, signed in days[number - 1 :])
    ]
    with tempfile.TemporaryDirectory() as folder:
        found = worked(Path(folder), {"project.yaml": asking("engine", "fuel")} | log(*lines))
    assert wanting(found) == expected
