"""The garbage collector at rest: it goes through everything that was made again and again, and finds hardly anything."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def uncollected() -> Iterator[None]:
    """While the block runs, a great many lasting things may be made without being gone through; about a tenth faster."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


@contextmanager
def collected_anew() -> Iterator[None]:
    """While the block runs, what is made in it is gone through again, and nothing of what there was before.

    For work that leaves much behind that only the collector finds, among much that lasts.
    """
    was = gc.isenabled()
    gc.freeze()
    gc.enable()
    try:
        yield
    finally:
        gc.unfreeze()
        if not was:
            gc.disable()
