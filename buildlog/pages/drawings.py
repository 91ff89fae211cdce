"""Three drawings of each chart: for wide, middle and narrow columns. The theme shows the one that fits."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from buildlog.pages.charts import NARROW, WIDE, Sheet

Data = TypeVar("Data")
MIDDLE = Sheet(640, "mid")
"""The sheet for half a page."""


def drawn(draw: Callable[[Data, Sheet], str], data: Data) -> str:
    """The drawings one after the other; "" if there is none."""
    return draw(data, WIDE) + draw(data, MIDDLE) + draw(data, NARROW)
