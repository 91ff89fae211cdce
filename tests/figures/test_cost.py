"""Money, against sums worked out by hand and by invariance."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from buildlog.basics.times import read_span
from buildlog.figures.cost import cost
from buildlog.figures.moment import as_of
from buildlog.figures.orders import later
from tests.making import PROJECT, entry, read, worked

ORDER = """
title: Ordered
date: 2026-05-02
system: carburettor
orders:
  - {key: CARB, item: Overhaul, kind: service, supplier: Some shop, cost: 905.75 USD, deposit: 271.73 USD, lead: 11 weeks}
"""


def test_paid_refunded_and_net_by_hand(tmp_path: Path) -> None:
    found = worked(
        tmp_path,
        {
            "log/2026-07-08-a.md": entry("""
title: Battery
date: 2026-07-08
system: electrical
cost: 5 USD
parts:
  - {item: Battery, cost: 212.00 USD}
  - {item: Lug, quantity: 6, each: 2.40 USD}
costs:
  - {item: Box back, kind: refund, cost: 18.50 USD}
  - {item: Shipping, kind: shipping, cost: 11.50 USD}
""")
        },
    ).cost
    # 5.00 + 212.00 + 14.40 + 11.50 = 242.90; less 18.50 = 224.40
    assert (found.paid(), found.refunded(), found.net()) == (24290, 1850, 22440)
    assert found.by_kind() == {"part": 23140, "refund": -1850, "shipping": 1150}
    assert found.by_month() == {"2026-07": 22440}


def test_an_entry_of_three_systems_shares_ten_dollars_to_the_cent(tmp_path: Path) -> None:
    found = worked(
        tmp_path,
        {
            "log/2026-07-08-a.md": entry("""
title: Shared
date: 2026-07-08
system: [fuel, engine, oil]
cost: 10.00 USD
""")
        },
    ).cost
    assert found.by_system() == {"engine": 333, "fuel": 334, "oil": 333}


def test_a_share_splits_as_it_says_and_a_line_may_have_its_own_system(tmp_path: Path) -> None:
    found = worked(
        tmp_path,
        {
            "log/2026-07-08-a.md": entry("""
title: Shared
date: 2026-07-08
system: [fuel, engine]
share: {fuel: 3, engine: 1}
parts:
  - {item: Hose, cost: 100.00 USD}
  - {item: Clip, cost: 7.00 USD, system: hardware}
""")
        },
    ).cost
    assert found.by_system() == {"engine": 2500, "fuel": 7500, "hardware": 700}


def test_foreign_money_takes_the_last_rate_before_its_day_and_is_else_kept_apart(tmp_path: Path) -> None:
    rates = PROJECT + (
        'exchange: [{from: CAD, to: USD, rate: "0.73", on: 2026-03-01},'
        ' {from: CAD, to: USD, rate: "0.75", on: 2026-06-01}]\n'
    )
    found = worked(
        tmp_path,
        {
            "project.yaml": rates,
            "log/2026-02-01-a.md": entry("title: Before\ndate: 2026-02-01\ncost: 100 CAD"),
            "log/2026-05-31-b.md": entry("title: First\ndate: 2026-05-31\ncost: 100 CAD"),
            "log/2026-06-01-c.md": entry("title: Second\ndate: 2026-06-01\ncost: 100.01 CAD"),
            "log/2026-06-02-d.md": entry("title: Yen\ndate: 2026-06-02\ncost: 500 JPY"),
        },
    ).cost
    # 73.00, and 100.01 * 0.75 = 75.0075, to the cent 75.01
    assert found.net() == 7300 + 7501
    assert {code: str(money) for code, money in found.unconverted().items()} == {"CAD": "100.00 CAD", "JPY": "500 JPY"}


def test_an_order_is_open_less_its_deposit_until_received_and_then_its_balance_is_paid(tmp_path: Path) -> None:
    logbook = read(
        tmp_path,
        {
            "log/2026-05-02-a.md": entry(ORDER),
            "log/2026-07-20-b.md": entry("title: Here\ndate: 2026-07-20\nreceived: [CARB]"),
        },
    ).logbook
    before, after = cost(as_of(logbook, date(2026, 7, 19))), cost(logbook)
    assert (before.net(), before.ordered()) == (27173, 63402)
    assert (after.net(), after.ordered()) == (90575, 0)
    assert [line.item for line in after.outlays] == ["Overhaul, deposit", "Overhaul, balance"]
    assert after.by_system() == {"carburettor": 90575}
    assert before.orders[0].promised == date(2026, 7, 18)  # 77 days after 2 May, by hand


def test_a_line_that_names_the_order_takes_the_place_of_the_balance(tmp_path: Path) -> None:
    found = worked(
        tmp_path,
        {
            "log/2026-05-02-a.md": entry(ORDER),
            "log/2026-07-20-b.md": entry(
                "title: Here\ndate: 2026-07-20\nreceived: [CARB]\n"
                "costs: [{item: Cheaper than said, kind: service, cost: 600 USD, order: CARB}]"
            ),
        },
    ).cost
    assert (found.net(), found.ordered()) == (27173 + 60000, 0)


def test_quotes_are_never_added(tmp_path: Path) -> None:
    found = worked(
        tmp_path,
        {
            "log/2026-05-02-a.md": entry(
                "title: Asked\ndate: 2026-05-02\nquotes: [{key: Q1, item: Covering, cost: 4000 USD}]"
            )
        },
    )
    assert (found.cost.paid(), found.cost.ordered()) == (0, 0)
    assert [quote.accepted for quote in found.quotes] == [None]


def test_months_run_to_the_day_or_the_end_of_a_shorter_month() -> None:
    assert later(date(2026, 1, 31), read_span("1 month")) == date(2026, 2, 28)
    assert later(date(2024, 2, 29), read_span("60 days")) == date(
        2024, 4, 29
    )  # records.md, section 9 of the references
    assert later(date(2026, 11, 30), read_span("2 years")) == date(2028, 11, 30)
    assert later(date(2026, 11, 30), read_span("10 h")) is None


@settings(max_examples=40, deadline=None)
@given(st.data())
def test_every_breakdown_adds_up_to_the_net_whatever_is_shared(tmp_path_factory: object, data: st.DataObject) -> None:
    systems = ["fuel", "engine", "oil", "wings", "radio"]
    files: dict[str, str | bytes] = {}
    for number in range(data.draw(st.integers(1, 5))):
        mine = data.draw(st.lists(st.sampled_from(systems), unique=True, max_size=4))
        weights = data.draw(st.lists(st.integers(1, 9), min_size=len(mine), max_size=len(mine)))
        share = f"share: {{{', '.join(f'{s}: {w}' for s, w in zip(mine, weights, strict=True))}}}\n" if mine else ""
        lines = data.draw(
            st.lists(st.tuples(st.integers(0, 99999), st.sampled_from(["part", "refund", "tax"])), max_size=4)
        )
        costs = "".join(f"  - {{item: x, kind: {kind}, cost: {c // 100}.{c % 100:02d} USD}}\n" for c, kind in lines)
        files[f"log/2026-01-{number + 1:02d}-x.md"] = entry(
            f"title: x\ndate: 2026-01-{number + 1:02d}\nsystem: [{', '.join(mine)}]\n{share}hours: {data.draw(st.integers(1, 20))}\n"
            + (f"costs:\n{costs}" if costs else "")
        )
    found = worked(tmp_path_factory.mktemp("any"), files)  # type: ignore[attr-defined]
    for part in (
        found.cost.by_system(),
        found.cost.by_kind(),
        found.cost.by_month(),
        found.cost.by_entry(),
        found.cost.by_supplier(),
    ):
        assert sum(part.values()) == found.cost.net()
    for part in (
        found.labour.by_system(),
        found.labour.by_person(),
        found.labour.by_role(),
        found.labour.by_month(),
        found.labour.by_job(),
    ):
        assert sum(part.values()) == found.labour.minutes()
