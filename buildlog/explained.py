"""What ``buildlog audit --explain`` tells: a check in full, or the names that are near."""

from __future__ import annotations

import click

from buildlog.audit.run import explained
from buildlog.basics.names import suggestion


def explanation(name: str) -> str:
    """The check of that name in full, or the end of the run with the names that are near."""
    told = explained()
    if name not in told:
        near = suggestion(name, told, "checks: " + ", ".join(told))
        raise click.UsageError(f"no check is called {name!r}; {near}")
    return f"{name}\n\n{told[name]}"
