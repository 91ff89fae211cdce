"""The demo's package for an inspector: nothing in it tells what anything cost."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from buildlog.cli import main
from tests.whole.test_handover_command import everything

CONTENT = Path(__file__).parents[2] / "content"


@pytest.mark.parametrize(("audience", "priced"), [("inspector", False), ("buyer", True)])
def test_amounts_are_the_buyer_s_alone(audience: str, priced: bool, tmp_path: Path) -> None:
    order = ["handover", "--project", str(CONTENT), "--for", audience, "--to", str(tmp_path / "package")]
    done = CliRunner().invoke(main, order)
    assert done.exit_code == 0, done.output
    originals = tmp_path / "package/data/originals"
    assert any("receipt" in path.name for path in originals.rglob("*")) is priced
    for path in sorted(originals.rglob("*")):
        if path.is_file():
            path.unlink()  # papers of others, which may name what they like
    said = re.findall(r"\d[\d,]*\.\d\d (?:USD|CAD)", everything(tmp_path / "package"))
    assert bool(said) is priced, said[:5]
