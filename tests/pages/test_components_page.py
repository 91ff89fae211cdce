"""The register and the page of each component (laying.py)."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from buildlog.pages.components import component_sheets
from buildlog.records.kept_back import NOT_SHOWN
from tests.making import entry
from tests.pages.laying import FILES, laid, spaced


def test_the_register_by_system_and_state_with_what_is_gone_apart(tmp_path: Path) -> None:
    view = laid(component_sheets, tmp_path)["components.html"].view
    here = [(group.tab.name, [(row.name, row.state, row.since) for row in group.rows]) for group in view.here]
    assert here == [
        ("Electrical", [("New battery", "installed", "Jul 8, 2026")]),
        ("Navigation", [("Encoder", "not here yet", "")]),
        ("Engine fuel", [("Carburettor", "serviceable", "Jul 20, 2026")]),
        ("Starting", [("Starter", "installed", "as found")]),
        ("Engine", [("Engine", "installed", "as found")]),
    ]
    assert [(group.tab.name, [row.name for row in group.rows]) for group in view.gone] == [
        ("Electrical", ["Old battery"])
    ]
    assert [(count.words, count.number) for count in view.counts] == [
        ("installed", 3),
        ("here and not fitted", 1),
        ("not here yet", 1),
        ("gone", 1),
    ]
    starter = view.here[3].rows[0]
    assert (starter.inside.words, starter.inside.path, starter.last) == ("Engine", "components/engine.html", None)


def test_serial_numbers_only_where_they_may_be_seen(tmp_path: Path) -> None:
    public = laid(component_sheets, tmp_path)
    assert not any("S-77" in repr(sheet) or "S-99" in repr(sheet) for sheet in public.values())
    assert public["components.html"].view.serials is False
    buyer = laid(component_sheets, tmp_path, "buyer")
    assert [(term.name, term.words) for term in buyer["components/battery-2.html"].view.identity] == [
        ("Maker", "Volt"),
        ("Part number", "V-8"),
        ("Serial number", "S-99"),
        ("Life limit as stated", "60 calendar months (my own rule)"),
    ]


def test_the_number_a_component_is_filed_under_and_what_it_stands_for(tmp_path: Path) -> None:
    register = str(FILES["components.yaml"]).replace("{name: Carburettor,", '{name: Carburettor, code: "7322",')
    files = FILES | {"components.yaml": register.replace("{name: Starter,", "{name: Starter, code: ST-1,")}
    sheets = laid(component_sheets, tmp_path, files=files)
    told = {key: sheets[f"components/{key}.html"].view.identity for key in ("carburettor", "starter", "engine")}
    assert {key: [(term.name, term.words) for term in terms] for key, terms in told.items()} == {
        "carburettor": [("System code", "7322 Fuel Control/Reciprocating")],
        "starter": [("System code", "ST-1")],
        "engine": [],
    }


def test_what_happened_to_it_in_order_with_entries(tmp_path: Path) -> None:
    events = laid(component_sheets, tmp_path, "buyer")["components/carburettor.html"].view.events
    assert [(line.source.day, line.what, line.state, line.because, line.source.path) for line in events] == [
        ("May 2, 2026", "ordered: Overhaul", "", "promised for Jul 18, 2026", "log/2026-05-02-order.html"),
        ("May 2, 2026", "sent to Some shop", "", "Overhaul", "log/2026-05-02-order.html"),
        ("Jul 20, 2026", "received", "serviceable", "", "log/2026-07-20-back.html"),
    ]
    public = laid(component_sheets, tmp_path)["components/carburettor.html"].view.events
    assert [line.what for line in public] == ["ordered: Overhaul", "sent out", "received"]


def test_an_event_of_an_entry_not_shown_has_no_link(tmp_path: Path) -> None:
    last = laid(component_sheets, tmp_path)["components/battery-1.html"].view.events[-1]
    assert (last.what, last.state, last.source.title, last.source.path) == ("tagged", "scrapped", NOT_SHOWN, "")


def test_a_page_gathers_findings_measurements_parts_weights_and_photos(tmp_path: Path) -> None:
    sheets = laid(component_sheets, tmp_path)
    old, new = sheets["components/battery-1.html"].view, sheets["components/battery-2.html"].view
    assert [(line.key, line.open, line.by) for line in old.findings] == [("F-1", False, "new terminal")]
    assert [(line.what, line.value, line.limits) for line in new.measured] == [("Voltage", "13.3 V", "over 13.2 V")]
    assert [(line.item, line.part_no, spaced(line.cost)) for line in new.parts] == [("Battery", "V-8", "212.00 USD")]
    assert [(spaced(line.weight), line.basis) for line in new.changes] == [("+5.1", "published")]
    assert [photo.file for photo in new.photos] == ["photos/battery.jpg"]
    engine = sheets["components/engine.html"].view
    assert [part.name for part in engine.holds] == ["Starter"]
    assert [row.answered is None for row in engine.questions] == [True, False]


def test_no_amount_where_single_amounts_may_not_be_seen(tmp_path: Path) -> None:
    for sheet in laid(component_sheets, tmp_path, "inspector").values():
        assert "USD" not in repr(sheet.view)


def test_receipts_and_tags_only_where_they_may_be_seen(tmp_path: Path) -> None:
    files = FILES | {
        "documents/tag.jpg": b"3",
        "log/2026-07-21-tag.md": entry(
            "title: Tag\ndate: 2026-07-21\n"
            "components: [{tagged: carburettor, state: unserviceable, tag: documents/tag.jpg}]\n"
            "documents: [{file: documents/tag.jpg, title: A red tag, kind: tag}]"
        ),
    }
    public = laid(component_sheets, tmp_path, files=files)["components/carburettor.html"].view
    assert public.papers == ()
    assert public.events[-1].papers == ()
    assert public.events[-1].number == ""
    buyer = laid(component_sheets, tmp_path, "buyer", files)
    assert [(paper.words, paper.file) for paper in buyer["components/carburettor.html"].view.papers] == [
        ("A red tag", "documents/tag.jpg")
    ]
    assert [paper.path for paper in buyer["components/battery-2.html"].view.papers] == ["documents/receipt.pdf"]


def test_on_an_earlier_day_the_state_is_that_of_the_day(tmp_path: Path) -> None:
    view = laid(component_sheets, tmp_path, on=date(2026, 6, 1))["components/carburettor.html"].view
    assert (view.state.state, view.state.since) == ("sent out", "May 2, 2026")


def test_no_component_is_a_page_that_says_so(tmp_path: Path) -> None:
    sheets = laid(component_sheets, tmp_path, files={"log/2026-01-01-a.md": entry("title: a\ndate: 2026-01-01")})
    assert list(sheets) == ["components.html"]
    assert sheets["components.html"].view.here == ()
