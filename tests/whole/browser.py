"""A headless browser for tests: found, or the reason why not."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager

import pytest

FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")


def browser_path() -> str | None:
    """The browser's program."""
    return os.environ.get("BUILDLOG_BROWSER") or next(filter(None, map(shutil.which, NAMES)), None)


@contextmanager
def browser() -> Iterator[object]:
    """A running browser; skips the test where there is none, fails where there must be one."""
    path = browser_path()
    if path is None:
        if os.environ.get("BUILDLOG_NEEDS_BROWSER"):
            pytest.fail("no Chromium found, and BUILDLOG_NEEDS_BROWSER is set")
        pytest.skip("no Chromium found")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        chromium = play.chromium.launch(executable_path=path, args=FLAGS)
        yield chromium
        chromium.close()
