"""The demo on paper for both audiences, printed once a run."""

from __future__ import annotations

import pytest

from tests.handover.printed import Printed, made


@pytest.fixture(scope="session")
def buyer(tmp_path_factory: pytest.TempPathFactory) -> Printed:
    return made("buyer", tmp_path_factory.mktemp("buyer"))


@pytest.fixture(scope="session")
def inspector(tmp_path_factory: pytest.TempPathFactory) -> Printed:
    return made("inspector", tmp_path_factory.mktemp("inspector"), "letter")
