"""The demo published once for all tests that look at it."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from click.testing import CliRunner

from buildlog.cli import main
from tests.making import write
from tests.pages.long import long_project

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "content"


@pytest.fixture(scope="session")
def demo_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The public site of the demo, published by the command."""
    target = tmp_path_factory.mktemp("demo") / "site"
    os.environ["XDG_CACHE_HOME"] = str(tmp_path_factory.mktemp("cache"))
    result = CliRunner().invoke(main, ["publish", "--project", str(DEMO), "--to", str(target)])
    assert result.exit_code == 0, result.output
    return target


@pytest.fixture(scope="session")
def long_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The public site of a project whose ledgers have a page for each year."""
    root = tmp_path_factory.mktemp("long")
    os.environ["XDG_CACHE_HOME"] = str(tmp_path_factory.mktemp("cache"))
    project = write(root / "project", long_project())
    result = CliRunner().invoke(main, ["publish", "--project", str(project), "--to", str(root / "site")])
    assert result.exit_code == 0, result.output
    return root / "site"
