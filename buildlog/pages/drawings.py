"""Three drawings of each chart: for wide, middle and narrow columns. The theme shows the one that fits."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol, TypeVar

from buildlog.pages.charts import NARROW, WIDE, Sheet

Data = TypeVar("Data")
MIDDLE = Sheet(640, "mid")
"""The sheet for half a page."""


class Drawing(Protocol):
    """How a chart is drawn: thrice for the columns of a site, or once for paper."""

    def __call__(self, draw: Callable[[Data, Sheet], str], data: Data) -> str:
        """The drawings as SVG; "" if there is none."""


def drawn(draw: Callable[[Data, Sheet], str], data: Data) -> str:
    """The drawings one after the other; "" if there is none."""
    return draw(data, WIDE) + draw(data, MIDDLE) + draw(data, NARROW)
