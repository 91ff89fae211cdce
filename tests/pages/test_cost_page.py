"""The page of money against sums worked out by hand (laying.py), and what each audience does not get."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from buildlog.pages.cost import cost_sheets
from tests.making import entry
from tests.pages.laying import FILES, laid, rules, spaced


def view(root: Path, **more):
    return laid(cost_sheets, root, **more)["cost.html"].view


def test_the_strip_by_hand(tmp_path: Path) -> None:
    strip = [(hero.figure, hero.unit, hero.path) for hero in view(tmp_path).strip]
    assert strip == [
        ("1,280.75", "USD", "#lines"),
        ("18.50", "USD", "#lines"),
        ("1,262.25", "USD", "#lines"),
        ("214.00", "USD", "#orders"),
    ]


def test_every_breakdown_by_hand(tmp_path: Path) -> None:
    page = view(tmp_path, audience="buyer")
    assert [(line.tab.code, line.net, line.ordered, line.path) for line in page.systems] == [
        ("08", "45.00", "", "systems/weighing.html#cost"),
        ("24", "266.50", "", "systems/electrical.html#cost"),
        ("28", "7.50", "", "systems/fuel.html#cost"),
        ("34", "0.00", "214.00", "systems/navigation.html#cost"),
        ("73", "908.25", "", "systems/carburettor.html#cost"),
        ("", "35.00", "", "systems.html#no-system"),
    ]
    assert [(line.name, spaced(line.net)) for line in page.kinds] == [
        ("fees", "35.00"),
        ("materials", "73.00"),
        ("parts", "222.00"),
        ("refunds", "-18.50"),
        ("services", "950.75"),
    ]
    assert [(line.name, line.net, line.so_far) for line in page.months] == [
        ("February 2026", "35.00", "35.00"),
        ("March 2026", "45.00", "80.00"),
        ("May 2026", "281.73", "361.73"),
        ("July 2026", "900.52", "1,262.25"),
    ]
    # Some shop: 212.00 + 271.73 + 634.02; nobody named: 45.00 + 10.00 + 35.00 + 73.00 - 18.50
    assert [(line.name, line.net) for line in page.suppliers] == [
        ("Some shop", "1,117.75"),
        ("no supplier named", "144.50"),
    ]
    assert (page.net, page.ordered) == ("1,262.25", "214.00")


def test_every_line_with_its_entry_its_rate_and_its_receipt(tmp_path: Path) -> None:
    months = view(tmp_path, audience="buyer").lines
    assert [(month.name, month.net, len(month.lines)) for month in months] == [
        ("February 2026", "35.00", 1),
        ("March 2026", "45.00", 1),
        ("May 2026", "281.73", 2),
        ("July 2026", "900.52", 4),
    ]
    lines = {line.item: line for month in months for line in month.lines}
    assert (lines["Trailer"].source.title, lines["Trailer"].source.path) == ("before the log", "")
    assert lines["Ordered"].source.path == "log/2026-05-02-order.html"
    assert [tab.name for tab in lines["Ordered"].tabs] == ["Engine fuel", "Fuel"]
    assert (lines["Box"].quantity, lines["Box"].amount, spaced(lines["Box"].written)) == (
        "2",
        "73.00",
        "100.00 CAD at 0.73",
    )
    assert spaced(lines["Box back"].amount) == "-18.50"
    assert lines["Battery"].receipt
    assert lines["Battery"].paper.path == "documents/receipt.pdf"
    assert not lines["Box"].receipt
    assert lines["Box"].paper is None
    assert lines["Overhaul, balance"].amount == "634.02"


def test_orders_tell_what_is_paid_open_and_late(tmp_path: Path) -> None:
    encoder, carb = view(tmp_path).orders
    assert (encoder.promised, encoder.received, encoder.late, spaced(encoder.open)) == (
        "May 16, 2026",
        None,
        True,
        "214.00 USD",
    )
    assert (carb.received.path, carb.open) == ("log/2026-07-20-back.html", "")
    assert [(spaced(one.amount), one.source.day) for one in carb.paid] == [
        ("271.73 USD", "May 2, 2026"),
        ("634.02 USD", "Jul 20, 2026"),
    ]
    before = view(tmp_path, on=date(2026, 5, 16))
    assert [(order.key, order.late, spaced(order.open)) for order in before.orders] == [
        ("CARB", False, "634.02 USD"),
        ("ENC", False, "214.00 USD"),
    ]
    assert before.strip[3].figure == "848.02"


def test_quotes_are_told_and_never_added(tmp_path: Path) -> None:
    paint, exchange = view(tmp_path).quotes
    assert (paint.state, spaced(paint.cost), paint.decided) == ("expired", "4,000.00 USD", None)
    assert (exchange.state, exchange.decided.title) == ("declined", "Ordered")
    assert [quote.state for quote in view(tmp_path, on=date(2026, 5, 20)).quotes] == ["open", "declined"]


def test_no_stated_rate_keeps_an_amount_apart(tmp_path: Path) -> None:
    more = FILES | {"log/2026-07-21-yen.md": entry("title: Yen\ndate: 2026-07-21\ncost: 500 JPY")}
    page = view(tmp_path, files=more)
    assert page.net == "1,262.25"
    assert [spaced(text) for text in page.apart] == ["500 JPY"]
    line = page.lines[-1].lines[-1]
    assert (line.amount, spaced(line.written)) == ("", "500 JPY no rate stated")
    assert [spaced(text) for text in page.rates] == ["1 CAD is 0.73 USD from March 1, 2026 on"]


def test_totals_only_hold_no_single_amount_anywhere(tmp_path: Path) -> None:
    page = view(tmp_path, files=rules("costs: totals"))
    assert page.lines == ()
    assert page.strip[2].figure == "1,262.25"
    assert page.strip[2].path == "#months"
    assert all(not order.cost and not order.paid and not order.open for order in page.orders)
    assert all(not quote.cost for quote in page.quotes)
    told = repr(page)
    for amount in ("212.00", "634.02", "271.73", "905.75", "4,000.00", "1,480.00"):
        assert amount not in told, amount
    assert "Battery" not in page.running
    assert "Trailer" not in page.running


def test_suppliers_and_receipts_only_where_they_may_be_seen(tmp_path: Path) -> None:
    page = view(tmp_path)
    assert "Some shop" not in repr(page)
    assert "receipt.pdf" not in repr(page)
    assert (page.suppliers, page.shows_receipts) == ((), False)


def test_no_page_where_no_money_may_be_seen(tmp_path: Path) -> None:
    assert laid(cost_sheets, tmp_path, "inspector") == {}


def test_what_an_entry_of_the_builder_alone_cost_is_in_no_sum_of_others(tmp_path: Path) -> None:
    assert view(tmp_path, audience="builder").net == "1,312.25"
    assert "Private thing" not in repr(view(tmp_path))


def test_a_record_without_costs_still_has_its_page(tmp_path: Path) -> None:
    page = view(tmp_path, files={"log/2026-01-01-a.md": entry("title: a\ndate: 2026-01-01")})
    assert (page.net, page.systems, page.running, page.bars, page.columns, page.orders) == ("0.00", (), "", "", "", ())
