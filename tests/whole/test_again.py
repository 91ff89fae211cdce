"""A site built again by what the run before left in memory is the site built from nothing."""

from __future__ import annotations

import random
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from buildlog.cli_preview import makers
from buildlog.glimpse import glimpse
from buildlog.publish import Memory, publish
from tests.making import entry, write

pytestmark = [pytest.mark.whole]
NAMES = [f"2026-0{month}-{day:02}-{word}" for month in (1, 2) for day in (3, 17) for word in ("wing", "fuel")]
TEXTS = [
    "Plain words.",
    "A link to [another](2026-01-03-wing.md) day.",
    "![Tag](../photos/a.png)",
    "Words\n\n::: handover\nFor the package.\n:::",
    "A note.[^1]\n\n[^1]: The note.",
    "| a | b |\n| --- | --- |\n| 1 | 2 |",
]
FACTS = [
    "costs: [{item: Hose, cost: 12.00 USD, supplier: A Shop}]",
    "hours: {owner: 2:30}",
    "weight: [{installed: Pump, weight: 2 lb, arm: 30 in}]",
    "findings: [{key: F-DAY, found: A crack, standing: cosmetic}]",
    "audience: handover",
    "components: [{installed: pump}]",
    "photos: [{file: photos/a.png, caption: A tag}]",
    "milestone: First light",
]
CHANGES = st.lists(
    st.one_of(
        st.tuples(
            st.just("write"), st.sampled_from(NAMES), st.integers(0, len(TEXTS) - 1), st.sets(st.sampled_from(FACTS))
        ),
        st.tuples(st.just("words"), st.sampled_from(NAMES), st.integers(0, 9)),
        st.tuples(st.just("words"), st.sampled_from(NAMES), st.integers(0, 9)),
        st.tuples(st.just("remove"), st.sampled_from(NAMES[1:])),
        st.tuples(st.just("rename"), st.sampled_from(NAMES[1:]), st.sampled_from(NAMES)),
        st.tuples(st.just("photo"), st.integers(0, 3)),
        st.tuples(st.just("kept back"), st.booleans()),
        st.tuples(st.just("register"), st.sampled_from(["pump: {name: Pump}\n", "pump: {name: Fuel pump}\n"])),
        st.tuples(st.just("project"), st.sampled_from(["en-GB", "de-DE"]), st.sampled_from(["USD", "EUR"])),
        st.tuples(st.just("style"), st.integers(0, 2)),
    ),
    min_size=1,
    max_size=6,
)


def change(root: Path, what: tuple[object, ...]) -> None:
    match what:
        case ["write", str(name), int(text), set(facts)]:
            head = f"title: {name[11:].title()}\ndate: {name[:10]}\nsystem: [{'wings' if text % 2 else 'fuel'}]"
            lines = [str(fact).replace("F-DAY", f"F-{name[5:]}") for fact in facts]
            body = entry("\n".join([head, *sorted(lines)]), TEXTS[text])
            (root / f"log/{name}.md").write_text(body, "utf-8")
        case ["words", str(name), int(number)] if (root / f"log/{name}.md").exists():
            path = root / f"log/{name}.md"
            path.write_text(f"{path.read_text('utf-8')}\nOther words, {number}.\n", "utf-8")
        case ["remove", str(name)]:
            (root / f"log/{name}.md").unlink(missing_ok=True)
        case ["rename", str(name), str(other)] if (root / f"log/{name}.md").exists():
            (root / f"log/{name}.md").replace(root / f"log/{other}.md")
        case ["photo", int(shade)]:
            Image.new("RGB", (60 + shade, 40), (shade * 60, 90, 90)).save(root / "photos/a.png")
        case ["kept back", bool(kept)]:
            change(root, ("write", NAMES[0], 0, {"audience: handover"} if kept else set()))
        case ["register", str(text)]:
            (root / "components.yaml").write_text(text, "utf-8")
        case ["project", str(locale), str(currency)]:
            text = f"title: P\naircraft: {{type: A}}\nlocale: {locale}\nunits: {{currency: {currency}}}\n"
            (root / "project.yaml").write_text(text, "utf-8")
        case ["style", int(number)]:
            extra = "{% extends 'base.html' %}{% block main %}<p>{{ sheet.title }} NUMBER</p>{% endblock %}"
            (root / "themes/hangar/decisions.html").write_text(extra.replace("NUMBER", str(number)), "utf-8")


def site_of(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


@settings(max_examples=12, deadline=None, suppress_health_check=list(HealthCheck))
@given(rounds=st.lists(CHANGES, min_size=2, max_size=4), seed=st.integers(0, 99))
def test_an_edit_built_into_the_old_site_equals_a_clean_build(
    rounds: list[list[tuple[object, ...]]], seed: int
) -> None:
    with TemporaryDirectory() as folder:
        here = Path(folder)
        root = write(here / "p", {"components.yaml": "pump: {name: Pump}\n", "photos/x": "x"})
        (root / "log").mkdir(exist_ok=True)
        (root / "themes/hangar").mkdir(parents=True)
        (root / "photos/x").unlink()
        change(root, ("photo", 0))
        change(root, ("kept back", False))
        dice, memory = random.Random(seed), Memory()
        for number, changes in enumerate(rounds):
            for one in changes:
                change(root, one)
            pages = sorted((here / "old").rglob("*.html"))
            if pages and dice.random() < 0.5:
                glimpse(root, here / "cache", "public", dice.choice(pages).relative_to(here / "old").as_posix(), memory)
            again = publish(root, here / "old", here / "cache", "public", None, memory)
            clean = publish(root, here / f"new{number}", here / f"cache{number}")
            assert again.problems == clean.problems
            assert (again.delivered is None) == (clean.delivered is None)
            if clean.delivered is not None:
                assert site_of(here / "old") == site_of(here / f"new{number}")


def test_a_page_seen_ahead_is_the_page_that_is_built(tmp_path: Path) -> None:
    body = "title: X\ndate: 2026-01-03\nhours: {owner: 1:00}\n"
    root = write(tmp_path / "p", {f"log/{name}.md": entry(body.replace("X", name)) for name in NAMES[:1]})
    memory = Memory()
    publish(root, tmp_path / "site", tmp_path / "cache", "public", None, memory)
    (root / f"log/{NAMES[0]}.md").write_text(entry(body, "Other words."), "utf-8")
    for page in (f"log/{NAMES[0]}.html", "index.html", "hours.html"):
        ahead = glimpse(root, tmp_path / "cache", "public", page, memory)
        publish(root, tmp_path / "clean", tmp_path / "cache2")
        assert ahead == (tmp_path / "clean" / page).read_bytes()
    (root / f"log/{NAMES[0]}.md").write_text("nothing", "utf-8")
    assert glimpse(root, tmp_path / "cache", "public", "index.html", memory) is None


def test_a_page_shown_ahead_gives_way_to_the_last_good_one_where_the_whole_does_not_hold(tmp_path: Path) -> None:
    """An error that only the checks find: a word that the public may not read."""
    people = "title: P\naircraft: {type: A}\npeople: {mechanic: {name: R. Thorne, role: mechanic}}\n"
    name = NAMES[0]
    root = write(tmp_path / "p", {"project.yaml": people, f"log/{name}.md": entry(f"title: X\ndate: {name[:10]}")})
    site = tmp_path / "site"
    build, glimpse_of = makers(root, site, tmp_path / "cache", "public")
    page = f"log/{name}.html"
    assert build(lambda *_: None, lambda: None).made
    good = (site / page).read_bytes()
    (root / f"log/{name}.md").write_text(entry(f"title: X\ndate: {name[:10]}", "R. Thorne came by."), "utf-8")
    assert glimpse_of(page)
    assert b"Thorne" in (site / page).read_bytes()
    outcome = build(lambda *_: None, lambda: None)
    assert not outcome.made and outcome.written == (page,)
    assert (site / page).read_bytes() == good
    (root / f"log/{name}.md").write_text(entry(f"title: X\ndate: {name[:10]}", "The mechanic came by."), "utf-8")
    assert glimpse_of(page)
    assert build(lambda *_: None, lambda: None).made
    assert b"The mechanic came by" in (site / page).read_bytes()
    assert not glimpse_of("../p/project.yaml") and not glimpse_of("log/none.html")


def test_what_a_page_asked_for_is_asked_again(tmp_path: Path) -> None:
    """Nothing in the pages' own files changes here: a photo does, an entry that one links to, a template."""
    root = write(tmp_path / "p", {"components.yaml": "pump: {name: Pump}\n"})
    (root / "photos").mkdir()
    (root / "log").mkdir(exist_ok=True)
    (root / "themes/hangar").mkdir(parents=True)
    steps: list[tuple[object, ...]] = [
        ("photo", 0),
        ("kept back", False),
        ("write", NAMES[1], 1, set()),
        ("write", NAMES[2], 2, {FACTS[-2]}),
    ]
    for one in steps:
        change(root, one)
    memory, sites = Memory(), list[dict[str, bytes]]()
    for number, one in enumerate([None, ("photo", 3), ("kept back", True), ("style", 1), ("style", 2)]):
        change(root, one or steps[0])
        publish(root, tmp_path / "old", tmp_path / "cache", "public", None, memory)
        publish(root, tmp_path / f"new{number}", tmp_path / f"cache{number}")
        sites.append(site_of(tmp_path / "old"))
        assert sites[-1] == site_of(tmp_path / f"new{number}")
    pages = [f"log/{NAMES[2]}.html", f"log/{NAMES[1]}.html", "decisions.html", "decisions.html"]
    for page, before, after in zip(pages, sites, sites[1:], strict=False):
        assert before[page] != after[page], page


def test_what_is_remembered_of_one_site_is_not_told_of_another(tmp_path: Path) -> None:
    root = write(tmp_path / "p", {"log/2026-01-03-a.md": entry("title: A\ndate: 2026-01-03\nsummary: A.", "Words.")})
    memory = Memory()
    publish(root, tmp_path / "one", tmp_path / "cache", "public", None, memory)
    publish(root, tmp_path / "two", tmp_path / "cache", "buyer", None, memory)
    publish(root, tmp_path / "three", tmp_path / "cache", "buyer", None, memory)
    publish(root, tmp_path / "new", tmp_path / "cache2", "buyer")
    assert site_of(tmp_path / "two") == site_of(tmp_path / "three") == site_of(tmp_path / "new")
