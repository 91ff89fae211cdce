"""Where only the words of texts changed, only their pages are made; where anything else did, everything is."""

from __future__ import annotations

import random
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from click.testing import CliRunner
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from buildlog import publish as publishing
from buildlog.cli import main
from buildlog.publish import Memory, publish
from tests.making import entry, write
from tests.whole.test_again import CHANGES, change, site_of
from tests.whole.test_still import aged

pytestmark = [pytest.mark.whole]
PROJECT = """title: P
aircraft: {type: A, serial: SN-4411}
locale: en-GB
units: {currency: USD}
people: {rt: {name: Ruth Thorne, role: mechanic}}
"""
FIRST = "log/2026-01-01-x.md"
FILES = {
    "project.yaml": PROJECT,
    "components.yaml": "pump: {name: Pump, serial: PX-99812}\n",
    FIRST: entry("title: x\ndate: 2026-01-01\nhours: {owner: 2:00}", "The first words.\n\nOther [words](#a)."),
    "log/2026-01-02-y.md": entry("title: y\ndate: 2026-01-02\nsummary: In short.", "See [x](2026-01-01-x.md)."),
    "log/2026-01-03-kept.md": entry("title: kept\ndate: 2026-01-03\naudience: private", "Mine."),
    "log/2026-01-04-block.md": entry("title: b\ndate: 2026-01-04", "One.\n\n::: private\nMine.\n:::\n\nTwo."),
    "decisions/engine.md": entry(
        "question: Which?\noptions: [{key: a, name: A}, {key: b, name: B}]", "Because.\n\nMore."
    ),
    "pages/about.md": entry("title: About", "About it.\n\nMore of it."),
    "pages/front.md": entry("title: Welcome", "Welcome.\n\nCome in."),
}


@pytest.fixture
def root(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return aged(write(tmp_path / "p", dict(FILES)))


def published(root: Path, *more: str) -> str:
    done = CliRunner().invoke(main, ["publish", "--project", str(root), *more])
    assert done.exit_code == 0, done.output
    return done.output


def worked_out(monkeypatch: pytest.MonkeyPatch) -> list[object]:
    """Every time everything is worked out from now on."""
    calls: list[object] = []
    real = publishing.publish
    monkeypatch.setattr(publishing, "publish", lambda *all_: (calls.append(all_), real(*all_))[1])
    return calls


def edit(root: Path, file: str, old: str, new: str) -> None:
    text = (root / file).read_text("utf-8")
    assert old in text
    (root / file).write_text(text.replace(old, new), "utf-8")


def clean(root: Path, *more: str) -> dict[str, bytes]:
    """The site as it is made from nothing."""
    published(root, "--to", str(root.parent / "clean"), *more)
    return site_of(root.parent / "clean")


WORDS: dict[str, tuple[str, str, str, str]] = {
    "an entry": (FIRST, "Other [words]", "Another [words]", "log/2026-01-01-x.html"),
    "where lines are broken": ("log/2026-01-02-y.md", "See [x]", "See\n[x]", "log/2026-01-02-y.html"),
    "what nobody sees": ("pages/about.md", "More of it.", "More of it.\n\n<!-- for myself -->", ""),
    "a decision": ("decisions/engine.md", "More.", "More still.", "decisions/engine.html"),
    "a page": ("pages/about.md", "More of it.", "All of it.", "pages/about.html"),
    "the front page": ("pages/front.md", "Come in.", "Come, *come* in.", "index.html"),
}


@pytest.mark.parametrize("what", WORDS)
def test_other_words_are_put_into_their_page_alone(root: Path, monkeypatch: pytest.MonkeyPatch, what: str) -> None:
    file, old, new, page = WORDS[what]
    first, before = published(root), site_of(root / "site")
    edit(root, file, old, new)
    calls = worked_out(monkeypatch)
    second = published(root)
    assert not calls
    after = site_of(root / "site")
    assert [name for name in after if after[name] != before[name]] == ([page] if page else [])
    assert second.split("\n")[1:] == first.split("\n")[1:]
    assert ("1 file written" if page else "0 files written") in second
    assert after == clean(root)
    calls.clear()
    assert " 0 files written" in published(root) and not calls


def test_words_may_be_changed_again_and_again(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    published(root)
    calls = worked_out(monkeypatch)
    for number in range(3):
        edit(root, FIRST, " [words]", f" {number} [words]")
        edit(root, "pages/about.md", "More", f"More {number}")
        assert "2 files written" in published(root)
    assert not calls
    assert site_of(root / "site") == clean(root)


OTHERS: dict[str, Callable[[Path], object]] = {
    "a fact": lambda root: edit(root, FIRST, "owner: 2:00", "owner: 3:00"),
    "the first paragraph, which lists quote": lambda root: edit(root, FIRST, "The first words", "The very first words"),
    "where a link leads": lambda root: edit(root, "log/2026-01-02-y.md", "01-01-x.md", "01-04-block.md"),
    "what a link says": lambda root: edit(root, FIRST, "[words]", "[words, too]"),
    "a new text": lambda root: write(root, {"log/2026-01-05-z.md": entry("title: z\ndate: 2026-01-05")}),
    "a text gone": lambda root: (root / "log/2026-01-04-block.md").unlink(),
    "a text with a block": lambda root: edit(root, "log/2026-01-04-block.md", "Two.", "Two, now."),
    "a block where none was": lambda root: edit(root, FIRST, "Other", "::: private\nMine.\n:::\n\nOther"),
    "a text kept back": lambda root: edit(root, "log/2026-01-03-kept.md", "Mine.", "Mine alone."),
    "a register": lambda root: edit(root, "components.yaml", "Pump", "Fuel pump"),
    "HTML, which is warned of": lambda root: edit(root, FIRST, "Other", "<b>Other</b>"),
    "a theme": lambda root: write(root, {"themes/hangar/assets/own.css": "a {}"}),
}


@pytest.mark.parametrize("what", OTHERS)
def test_anything_else_is_worked_out_anew(root: Path, monkeypatch: pytest.MonkeyPatch, what: str) -> None:
    published(root)
    OTHERS[what](root)
    calls = worked_out(monkeypatch)
    published(root)
    assert calls
    assert site_of(root / "site") == clean(root)


@pytest.mark.parametrize(
    ("words", "name"),
    [("Ruth Thorne", "secret-in-words"), ("R\\. Thorne", "secret-in-words"), ("PX-99812", "secret-in-words")],
)
def test_words_that_may_not_be_said_stop_it(root: Path, words: str, name: str) -> None:
    published(root)
    before = site_of(root / "site")
    edit(root, FIRST, "Other", f"Other {words}")
    done = CliRunner().invoke(main, ["publish", "--project", str(root)])
    assert done.exit_code == 1 and name in done.output
    assert site_of(root / "site") == before


def test_a_price_is_warned_of_where_no_costs_are_shown(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    there = ("--to", str(root.parent / "inspector"), "--audience", "inspector")
    assert "warning" not in published(root, *there)
    edit(root, FIRST, "Other", "For 12.00 USD")
    calls = worked_out(monkeypatch)
    assert "1 warning" in published(root, *there)
    edit(root, FIRST, "For 12.00 USD", "Other")
    assert "warning" not in published(root, *there)
    assert len(calls) == 2


def test_a_sealed_text_is_worked_out_anew(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    done = CliRunner().invoke(main, ["seal", "--project", str(root), "--unsigned", FIRST])
    assert done.exit_code == 0, done.output
    aged(root)
    published(root)
    edit(root, FIRST, "Other", "Another")
    calls = worked_out(monkeypatch)
    published(root)
    assert calls
    assert site_of(root / "site") == clean(root)


def test_a_text_that_went_wrong_meanwhile_is_compared_with_what_is_published(root: Path) -> None:
    """The text that could not be published had other facts; what is remembered of it counts for nothing."""
    published(root)
    edit(root, FIRST, "owner: 2:00", "owner: 5:00")
    edit(root, FIRST, "Other", "Ruth Thorne and other")
    assert CliRunner().invoke(main, ["publish", "--project", str(root)]).exit_code == 1
    edit(root, FIRST, "Ruth Thorne and other", "Some other")
    published(root)
    assert site_of(root / "site") == clean(root)


HARM: dict[str, Callable[[Path], object]] = {
    "gone": lambda path: path.unlink(),
    "empty": lambda path: path.write_bytes(b""),
    "cut short": lambda path: path.write_bytes(path.read_bytes()[:-100]),
    "of another site": lambda path: path.write_bytes(path.read_bytes().replace(b"standing", b"standinG")[::-1]),
}


@pytest.mark.parametrize("harm", HARM)
def test_without_what_was_written_down_everything_is_worked_out(
    root: Path, monkeypatch: pytest.MonkeyPatch, harm: str
) -> None:
    published(root)
    for path in (root.parent / "cache").rglob("standing-*.pickle"):
        HARM[harm](path)
    edit(root, FIRST, "Other", "Another")
    calls = worked_out(monkeypatch)
    published(root)
    assert calls and site_of(root / "site") == clean(root)


def test_a_page_that_is_gone_is_made_with_all_others(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    published(root)
    (root / "site/log/2026-01-01-x.html").unlink()
    edit(root, FIRST, "Other", "Another")
    calls = worked_out(monkeypatch)
    published(root)
    assert calls and site_of(root / "site") == clean(root)


@settings(max_examples=10, deadline=None, suppress_health_check=list(HealthCheck))
@given(rounds=st.lists(CHANGES, min_size=2, max_size=5))
def test_any_edits_between_runs_give_the_site_of_a_clean_build(rounds: list[list[tuple[object, ...]]]) -> None:
    with TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        here = Path(folder)
        patch.setenv("XDG_CACHE_HOME", str(here / "cache"))
        root = write(here / "p", {"components.yaml": "pump: {name: Pump}\n", "photos/x": "x"})
        (root / "log").mkdir(exist_ok=True)
        (root / "themes/hangar").mkdir(parents=True)
        change(root, ("photo", 0))
        change(root, ("kept back", False))
        for number, changes in enumerate(rounds):
            for one in changes:
                change(root, one)
            again = CliRunner().invoke(main, ["publish", "--project", str(root)])
            new = publish(root, here / f"new{number}", here / f"cache{number}")
            assert (again.exit_code == 0) == (not new.failed), again.output
            if not new.failed:
                assert site_of(root / "site") == site_of(here / f"new{number}")
            aged(root / "log")


def test_two_processes_make_the_site_that_one_makes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    dice = random.Random(7)
    files = {
        f"log/{2010 + n // 20}-{n % 12 + 1:02}-{n % 28 + 1:02}-n{n}.md": entry(
            f"title: Day {n}\ndate: {2010 + n // 20}-{n % 12 + 1:02}-{n % 28 + 1:02}\nsystem: [{dice.choice(['fuel', 'wings'])}]"
            f"\nhours: {{owner: {n % 7}:15}}",
            f"Words {n}.\n\n::: private\nSecret {n}\n:::" if n % 9 == 0 else f"Words {n}.",
        )
        for n in range(160)
    }
    root = write(tmp_path / "p", files | {"log/2030-01-01-bad.md": entry("title: bad\ndate: 2030-01-01\nnever: heard")})
    assert [p.name for p in publish(root, tmp_path / "none", tmp_path / "c").problems] == ["unknown-field"]
    (root / "log/2030-01-01-bad.md").unlink()
    two = publish(root, tmp_path / "two", tmp_path / "c")
    for module in ("publish", "compose", "reading.read"):
        monkeypatch.setattr(f"buildlog.{module}.can_be", lambda: False)
    one = publish(root, tmp_path / "one", tmp_path / "c2")
    held = publish(root, tmp_path / "held", tmp_path / "c3", memory=Memory())
    assert two.problems == one.problems == held.problems and two.pages == one.pages == held.pages
    assert site_of(tmp_path / "two") == site_of(tmp_path / "one") == site_of(tmp_path / "held")
    assert not (tmp_path / "c/pages").exists()
