"""What all tests share: the ``--accept`` option of the case files, and how hypothesis behaves."""

from __future__ import annotations

import os

import pytest
from hypothesis import HealthCheck, settings

# The same examples on every run, so that a run says something about the code and not about luck;
# HYPOTHESIS_PROFILE=search looks for new ones, and for longer.
settings.register_profile(
    "same",
    deadline=None,
    derandomize=True,
    database=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
settings.register_profile("search", settings.get_profile("same"), derandomize=False, max_examples=3000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "same"))


def pytest_addoption(parser: pytest.Parser) -> None:
    """``pytest --accept`` writes what the program says into tests/cases/*.md."""
    parser.addoption("--accept", action="store_true", help="rewrite the says blocks of tests/cases/*.md")
