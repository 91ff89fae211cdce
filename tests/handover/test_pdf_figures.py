"""The figures of figures.json read back from the printed record: every one of them, or the reason why it is not there.

Walks the JSON of the demo. Each leaf belongs to exactly one line of ``PRINTED`` (which says in which part, near which
words, and how it is written) or of ``NOT_PRINTED`` (which says why).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from buildlog.pages.record import record
from buildlog.pages.words import Words
from buildlog.records.logbook import Logbook
from tests.handover.printed import Printed, parts, squeezed

SOURCES = "Where each figure comes from"
WORK = "The work, system by system"
BALANCE = "Weight and balance report"
COMPONENTS = "Component status and times"
RULES = "What rules ask of the records"
DIRECTIVES = "Directives and bulletins"
SIGNED = "Sign-offs"
DUE = "Falling due"

NOT_PRINTED = {
    r"/schema|/audit/.*": "about the file, not the aircraft",
    r"/.*_reason|/.*/reason": "a reason for null; the document says it in its own words, or leaves the row out",
    r"/cost/currency|/weight_and_balance/units/.*": "stands beside each amount",
    r"/(cost|labour)/by_month/.*|/cost/by_kind/.*|/labour/by_job/.*": "the attached ledgers hold day, kind and job of "
    "each line; the document is ordered by system",
    r"/weight_and_balance/empty/changes_.*": "said in words: no change written since",
    r"/weight_and_balance/changes": "counted where the figure comes from, as a word among others",
    r"/weight_and_balance/extremes/.*/(percent_mac|inside|limit|loads/.*)": "loads by name and margin in words",
    r"/weight_and_balance/cases/\d+/(key|inside|limit|worst_margin)": "keys; and margin in words with its limit",
    r"/weight_and_balance/weighings/\d+/(weight|arm)_plus_minus": "of the last weighing only, as of the empty weight",
    r"/components/[^/]+/(since|in)|/(components/[^/]+|airframe)/time_.*/basis": "in words of their own",
    r"/airframe/time_since_fitted/.*": "the airframe is not fitted in anything",
    r"/records/\d+/(list|row|of|standing)": "keys; paper tells the standing in the words of its table, which are not compared here",
    r"/directives/\d+/(of|state)": "keys, printed as names and words",
    r"/decisions/[^/]+/options/.*": "only where an option changes weight, and rounded otherwise; not compared here",
    r"/orders/\d+/(key|promised|received)": "keys; days stand in the entries as words",
    r"/due/\d+/(kind|key|state|reason|last)(/.*)?": "keys, and the day last done with its entry",
    r"/due/\d+/hours_left/at_most": "as at_least, where it is exact",
    r"/signatures/\d+/(entry|day|by|as|paper|points/.*)": "keys; days in the builder's language",
    r"/seals/.*": "printed as words: sealed, unchanged",
}


def written(value: Any) -> str:
    return squeezed(str(value))


class Reader:
    """The words of the parts of one document, figures without grouping signs and with a plain minus."""

    def __init__(self, printed: Printed) -> None:
        self.book: Logbook = printed.worked.logbook
        self.words = Words(self.book)
        self.parts = {title: self._even(text) for title, text in parts(printed.record).items()}

    @staticmethod
    def _even(text: str) -> str:
        return re.sub(r"(?<=\d),(?=\d{3})", "", re.sub(r"\s+", "", text)).replace("\u2212", "-")

    def near(self, part: str, words: str, reach: int) -> str:
        """What follows the words in a part, wherever they stand there."""
        text, key = self.parts[part], self._even(words)
        return "|".join(text[one.end() : one.end() + reach] for one in re.finditer(re.escape(key), text))

    def row(self, part: str, words: str, later: list[str]) -> str:
        """A row of a table, up to the row that comes after it."""
        ends = [self._even(one) for one in later]
        found = self.near(part, words, 90)
        return min((found.split(end)[0] for end in ends), key=len, default=found)


def leaves(node: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    if isinstance(node, dict):
        for key, value in node.items():
            yield from leaves(value, f"{path}/{key}")
    elif isinstance(node, list):
        for number, value in enumerate(node):
            yield from leaves(value, f"{path}/{number}")
    else:
        yield path, node


Find = Callable[[Reader, dict[str, Any], str, Any], bool]


def source(words: str, how: Callable[[Any], str] = str) -> Find:
    return lambda at, _all, _path, value: how(value) in at.near(SOURCES, words, 22)


def hours(minutes: int) -> str:
    return f"{minutes // 60}:{minutes % 60:02}"


def system_row(how: Callable[[Any], str]) -> Find:
    def find(at: Reader, _all: dict[str, Any], path: str, value: Any) -> bool:
        system = at.book.system(path.rpartition("/")[2])
        later = [f"{one.code}{one.name}" for one in at.book.systems() if one.code and one.key != system.key]
        return how(value) in at.row(WORK, f"{system.code}{system.name}", later)

    return find


def weighing(at: Reader, everything: dict[str, Any], path: str, value: Any) -> bool:
    number = int(path.split("/")[3])
    day = date.fromisoformat(everything["weight_and_balance"]["weighings"][number]["date"])
    form = at.near(BALANCE, f"Weighing of {at.words.brief_day(day)}", 900)
    against = at.near(BALANCE, f"The weighing of {at.words.brief_day(day)} against the ledger", 700)
    return str(value) in form + against or (value == "0.00" and "none" in against)


def case(at: Reader, everything: dict[str, Any], path: str, value: Any) -> bool:
    key = everything["weight_and_balance"]["cases"][int(path.split("/")[3])]["key"]
    name = next(one.name for one in at.book.loading.cases if one.key == key)
    return str(value).lstrip("-") in at.near(BALANCE, name, 110)


def extreme(at: Reader, _all: dict[str, Any], path: str, value: Any) -> bool:
    name = path.split("/")[3].replace("_", " ")
    return str(value).lstrip("-") in at.near(BALANCE, name[:1].upper() + name[1:], 110)


def component(at: Reader, _all: dict[str, Any], path: str, value: Any) -> bool:
    name = at.book.components[path.split("/")[2]].name
    least = "atleast" if path.endswith("at_least") else ""
    how = f"{least}{Decimal(value):.1f}h" if "time_" in path else written(value)
    return how in squeezed(at.near(COMPONENTS, name, 420))


def because(at: Reader, _all: dict[str, Any], _path: str, value: Any) -> bool:
    said = re.sub(r"\d{4}-\d\d-\d\d", lambda found: at.words.day(date.fromisoformat(found[0])), value)
    return squeezed(said) in squeezed(at.parts[RULES])


PRINTED: dict[str, Find] = {
    r"/on": lambda at, _a, _p, value: written(at.words.day(date.fromisoformat(value))) in at.parts[DUE],
    r"/entries": lambda at, _a, _p, value: f"from{value}entries" in next(iter(at.parts.values())),
    r"/cost/net": source("Cost, less refunds"),
    r"/cost/paid": source("Paid, before refunds"),
    r"/cost/refunded": source("Refunds"),
    r"/cost/ordered": source("Ordered, not yet paid"),
    r"/cost/by_system/.+": system_row(str),
    r"/labour/minutes": source("Labour", hours),
    r"/labour/by_person/.+": lambda at, _a, path, value: (
        hours(value) in at.near(SOURCES, f"Labour of {at.book.project.people[path.rpartition('/')[2]].name}", 12)
    ),
    r"/labour/by_system/none": lambda at, _a, _p, value: hours(value) in at.near(WORK, "No one system", 12),
    r"/labour/by_system/(?!none).+": system_row(hours),
    r"/weight_and_balance/change": source("Net change of weight"),
    r"/weight_and_balance/empty/weight": source("Empty weight"),
    r"/weight_and_balance/empty/arm": source("Empty centre of gravity"),
    r"/weight_and_balance/empty/moment": source("Empty moment"),
    r"/weight_and_balance/empty/(weight_plus_minus|arm_plus_minus|percent_mac)": lambda at, _a, _p, value: (
        value in at.parts[BALANCE].split("Loadings")[0]
    ),
    r"/weight_and_balance/empty/as_of_weighing": lambda at, _a, _p, value: (
        written(at.words.day(date.fromisoformat(value))) in at.parts[BALANCE].split("Loadings")[0]
    ),
    r"/weight_and_balance/by_system/.+": system_row(str),
    r"/weight_and_balance/weighings/\d+/date": lambda at, _a, _p, value: (
        written(at.words.brief_day(date.fromisoformat(value))) in at.parts[BALANCE]
    ),
    r"/weight_and_balance/weighings/\d+/(weight|arm|moment|predicted_.*|.*difference|.*tolerance|.*unexplained)": weighing,
    r"/weight_and_balance/cases/\d+/(weight|arm|percent_mac|margin|margin_plus_minus)": case,
    r"/weight_and_balance/extremes/[^/]+/(weight|arm|margin|margin_plus_minus)": extreme,
    r"/weight_and_balance/not_weighed/\d+": lambda at, _a, _p, value: (
        written(value) in at.near(BALANCE, "Not weighed", 4000)
    ),
    r"/components/[^/]+/(state|time_since_(new|overhaul|fitted)/(at_least|exactly))": component,
    r"/airframe/time_since_new/at_least": lambda at, _a, _p, value: f"{Decimal(value):.1f}" in at.parts[RULES],
    r"/records/\d+/because": because,
    r"/directives/\d+/key": lambda at, _a, _p, value: (
        written(next(one.number for one in at.book.directives.directives if one.key == value))
        in squeezed(at.parts[DIRECTIVES])
    ),
    r"/findings/open/\d+": lambda at, _a, _p, value: value in at.parts["Findings"].partition("Closed")[0],
    r"/findings/closed/\d+": lambda at, _a, _p, value: value in at.parts["Findings"].partition("Closed")[2],
    r"/decisions/[^/]+/chosen": lambda at, _a, path, value: (
        next(
            squeezed(option.name)
            for one in at.book.decisions
            for option in one.facts.options
            if one.slug == path.split("/")[2] and option.key == value
        )
        in squeezed(at.near("Decisions", "Taken", 90))
    ),
    r"/due/\d+/due": lambda at, _a, _p, value: written(at.words.brief_day(date.fromisoformat(value))) in at.parts[DUE],
    r"/due/\d+/hours_left/at_least": lambda at, _a, _p, value: f"{value}h" in at.parts[DUE],
    r"/signatures/\d+/words": lambda at, _a, _p, value: written(value) in squeezed(at.parts[SIGNED]),
    r"/signatures/\d+/certificate/(kind|number)": lambda at, _a, _p, value: (
        written(value) in squeezed(at.parts[SIGNED])
    ),
}


def rule_of(path: str, rules: dict[str, Any]) -> str | None:
    return next((rule for rule in rules if re.fullmatch(rule, path)), None)


@pytest.mark.parametrize("audience", ["buyer", "inspector"])
def test_every_figure_is_printed_or_named_as_not_printed(audience: str, request: pytest.FixtureRequest) -> None:
    printed: Printed = request.getfixturevalue(audience)
    everything = record(printed.worked, {"errors": 0, "warnings": 0, "notes": 0})
    at, used, astray, missing = Reader(printed), set(), [], []
    for path, value in leaves(everything):
        rule, left = rule_of(path, PRINTED), rule_of(path, NOT_PRINTED)
        if value is None or (path.startswith("/cost") and audience == "inspector"):
            continue
        if (rule is None) == (left is None):
            astray.append(path)
        used |= {rule, left}
        if rule is not None and not PRINTED[rule](at, everything, path, value):
            missing.append(f"{path}: {value}")
    assert astray == []
    assert missing == []
    unused = {*PRINTED, *NOT_PRINTED} - used
    assert audience == "inspector" or not unused, "a line that says something of no figure"
