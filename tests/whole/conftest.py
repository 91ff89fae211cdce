"""The demo published once for all tests that look at it."""

from __future__ import annotations

import os
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest
from click.testing import CliRunner

from buildlog.cli import main
from tests.making import write
from tests.pages.long import long_project

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "content"


@pytest.fixture(scope="session")
def cache_home(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Where all sites of this file keep what they need not make twice."""
    return str(tmp_path_factory.mktemp("cache"))


@pytest.fixture(scope="session")
def demo_site(tmp_path_factory: pytest.TempPathFactory, cache_home: str) -> Path:
    """The public site of the demo, published by the command."""
    target = tmp_path_factory.mktemp("demo") / "site"
    os.environ["XDG_CACHE_HOME"] = cache_home
    result = CliRunner().invoke(main, ["publish", "--project", str(DEMO), "--to", str(target)])
    assert result.exit_code == 0, result.output
    return target


@pytest.fixture(scope="session")
def demo_for(tmp_path_factory: pytest.TempPathFactory, cache_home: str) -> Callable[[str], Path]:
    """The demo's site for an audience, published when it is first asked for."""

    @cache
    def published(audience: str) -> Path:
        target = tmp_path_factory.mktemp(audience) / "site"
        wanted = ["publish", "--project", str(DEMO), "--audience", audience, "--to", str(target)]
        result = CliRunner(env={"XDG_CACHE_HOME": cache_home}).invoke(main, wanted)
        assert result.exit_code == 0, result.output
        return target

    return published


@pytest.fixture(scope="session")
def long_site(tmp_path_factory: pytest.TempPathFactory, cache_home: str) -> Path:
    """The public site of a project whose ledgers have a page for each year."""
    root = tmp_path_factory.mktemp("long")
    project = write(root / "project", long_project())
    wanted = ["publish", "--project", str(project), "--to", str(root / "site")]
    result = CliRunner(env={"XDG_CACHE_HOME": cache_home}).invoke(main, wanted)
    assert result.exit_code == 0, result.output
    return root / "site"
