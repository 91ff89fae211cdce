"""The commands as a builder uses them."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import click
import pytest
from click.testing import CliRunner, Result

from buildlog.cli import WORDS, main
from tests.making import entry, write
from tests.whole.conftest import DEMO, ROOT

pytestmark = [pytest.mark.whole]


@pytest.fixture(autouse=True)
def _own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))


def run(*words: str) -> Result:
    return CliRunner().invoke(main, list(words))


def test_a_new_project_publishes_at_once_and_its_own_entry_explains_itself(tmp_path: Path) -> None:
    folder = tmp_path / "my aircraft"
    assert run("start", str(folder), "--type", 'Some "type"', "--mark", "N0000T").exit_code == 0
    audit = run("audit", "--strict", "--project", str(folder))
    assert audit.exit_code == 0, audit.output
    published = run("publish", "--project", str(folder))
    assert published.exit_code == 0, published.output
    front = (folder / "site" / "index.html").read_text("utf-8")
    assert "The log begins" in front and "N0000T" in front


def test_start_never_writes_into_a_folder_with_something_in_it(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    result = run("start", str(tmp_path))
    assert result.exit_code == 2 and "not empty" in result.output
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


def test_an_entry_is_begun_from_the_plan_and_the_register_and_never_over_another(tmp_path: Path) -> None:
    root = write(
        tmp_path / "p",
        {
            "components.yaml": "pump: {name: Pump}\n",
            "plan.yaml": "jobs: [{key: tank, name: Tank}]\n",
            "log/2026-01-01-x.md": entry(
                "title: x\ndate: 2026-01-01\nfindings: [{key: F-07, found: A crack, standing: cosmetic}]"
            ),
        },
    )
    first = run("entry", 'Tank: "out"', "--date", "2026-01-02", "--project", str(root))
    second = run("entry", 'Tank: "out"', "--date", "2026-01-02", "--project", str(root))
    assert first.exit_code == second.exit_code == 0, first.output
    made = sorted((root / "log").glob("2026-01-02-*.md"))
    assert [path.name for path in made] == ["2026-01-02-tank-out-2.md", "2026-01-02-tank-out.md"]
    text = made[1].read_text("utf-8")
    assert "tank" in text and "pump" in text and "F-08" in text and "A crack" in text
    assert run("audit", "--strict", "--project", str(root)).exit_code == 0


def test_every_comment_of_a_new_entry_can_be_taken_off(tmp_path: Path) -> None:
    root = write(
        tmp_path / "p",
        {
            "components.yaml": "pump: {name: Pump}\n",
            "documents/name.jpg": "x",
            "plan.yaml": "jobs: [{key: tank, name: Tank}]\n",
        },
    )
    run("entry", "All", "--date", "2026-01-02", "--project", str(root))
    path = next((root / "log").glob("*.md"))
    lines = [
        line[2:]
        if line.startswith("# ")
        and "Take the" not in line
        and "known:" not in line
        and "more:" not in line
        and not line.startswith("#    ")
        else line
        for line in path.read_text("utf-8").split("\n")
    ]
    path.write_text("\n".join(lines))
    result = run("audit", "--project", str(root))
    assert result.exit_code == 0, result.output + path.read_text("utf-8")


def test_audit_tells_all_problems_and_fails(tmp_path: Path) -> None:
    root = write(
        tmp_path / "p",
        {
            "log/2026-01-01-x.md": entry("title: x\ndate: 2026-01-01\nhours: 3:75"),
            "log/2026-01-02-y.md": entry("titel: y\ndate: 2026-01-02"),
            "log/2026-01-03-z.md": entry("title: z\ndate: 2026-01-03"),
        },
    )
    result = run("audit", "--project", str(root))
    assert result.exit_code == 1
    for words in (
        "2026-01-01-x.md:4:8: error not-hours",
        "2026-01-02-y.md:2:1: error unknown-field",
        "did you mean  title",
        "1 entry read",
    ):
        assert words in result.output, result.output


def test_totals_in_the_terminal_and_as_json_agree_with_each_other() -> None:
    plain, data = run("totals", "--project", str(DEMO)), run("totals", "--json", "--project", str(DEMO))
    assert plain.exit_code == data.exit_code == 0, plain.output
    record = json.loads(data.stdout)
    assert record["schema"] == "buildlog/figures/1"
    assert f"{float(record['cost']['net']):,.2f}" in plain.output
    assert f"{record['labour']['minutes'] // 60}:{record['labour']['minutes'] % 60:02d}" in plain.output
    cents = [round(float(amount) * 100) for amount in record["cost"]["by_system"].values()]
    assert sum(cents) == round(float(record["cost"]["net"]) * 100)
    assert sum(record["labour"]["by_person"].values()) == record["labour"]["minutes"]


def test_totals_on_a_day_leave_out_what_came_later() -> None:
    record = json.loads(run("totals", "--json", "--on", "2026-03-14", "--project", str(DEMO)).stdout)
    # first weighing by hand: 365.0 + 358.5 + 50.5 - 9.0 = 765.0 lb; (723.5 x 22.5 + 41.5 x 192) / 765 = 31.695 in
    assert record["weight_and_balance"]["empty"]["weight"] == "765.0"
    assert record["weight_and_balance"]["empty"]["arm"] == "31.70"
    assert record["entries"] == 2


def test_wrong_use_is_two_and_says_what_to_do(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    nowhere = run("audit")
    assert nowhere.exit_code == 2 and "buildlog start" in nowhere.output
    assert run("totals", "--on", "yesterday", "--project", str(DEMO)).exit_code == 2
    assert run("publish", "--audience", "buyer", "--project", str(DEMO)).exit_code == 2
    assert "did you mean" in run("schema", "entri").output


def test_a_schema_for_each_kind_of_file_is_json() -> None:
    for line in run("schema").output.splitlines():
        kind = line.split()[0]
        made = json.loads(run("schema", kind).output)
        assert made["$schema"].startswith("https://json-schema.org/") and '"@"' not in json.dumps(made)


def test_the_list_of_commands_is_that_of_the_commands_themselves() -> None:
    context = click.Context(main)
    for name, (module, words) in WORDS.items():
        command = main.get_command(context, name)
        assert command is not None and command.name == name
        assert (command.short_help, command.callback.__module__) == (words, module)  # type: ignore[union-attr]
    assert main.get_command(context, "nothing") is None


def test_help_loads_no_command_and_no_library_that_none_needs() -> None:
    code = (
        "import sys\nfrom click.testing import CliRunner\nfrom buildlog.cli import main\n"
        "assert CliRunner().invoke(main, ['--help']).exit_code == 0\n"
        "print(sorted(name for name in sys.modules if name.split('.')[0] in {'buildlog', 'pydantic', 'yaml', 'jinja2', "
        "'markdown_it', 'PIL', 'typst'}))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT)
    assert done.stdout.strip() == "['buildlog', 'buildlog.cli']"


def test_the_program_ends_as_its_commands_do(tmp_path: Path) -> None:
    """Called from a shell it does not take itself apart; what it said is all there, and so is how it ended."""
    broken = write(tmp_path / "p", {"log/2026-01-01-x.md": entry("title: x\ndate: 2026-13-01")})
    for words, code, said in (
        (["audit", "--project", str(DEMO)], 0, "warning"),
        (["audit", "--project", str(broken)], 1, "2026-13-01"),
        (["no-such-word"], 2, "no-such-word"),
        (["--help"], 0, "handover"),
    ):
        done = subprocess.run([sys.executable, "-m", "buildlog", *words], capture_output=True, text=True, check=False)
        assert done.returncode == code, done
        assert said in done.stdout + done.stderr
