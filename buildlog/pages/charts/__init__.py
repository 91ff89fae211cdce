"""Charts as SVG text: ink only, told apart by shape, wide and narrow drawn by one function.

    page = twice(draw_steps, Steps(...))        # for the site: two drawings, the theme shows one
    sheet = draw_steps(Steps(...), PRINT)       # for a print engine: literal colours

Numbers come as `Decimal`, `int` or `Fraction`, dates as `date`; the words of both come from the caller's
formatters, so any locale works. A chart of nothing is the empty string: the page says so in its own words.
"""

from .bars import Bar, Bars, draw_bars
from .canvas import NARROW, PRINT, WIDE, Sheet, twice
from .columns import Columns, Month, draw_columns
from .days import DateLabel, DateUnit
from .diagram import Diagram, Dot, draw_diagram
from .discs import Item
from .marks import Event
from .scales import Format, Number
from .steps import Measured, Point, Series, Steps, draw_steps
from .strip import Outline, Strip, draw_strip
from .timeline import Row, Timeline, Work, draw_timeline

__all__ = [
    "NARROW",
    "PRINT",
    "WIDE",
    "Bar",
    "Bars",
    "Columns",
    "DateLabel",
    "DateUnit",
    "Diagram",
    "Dot",
    "Event",
    "Format",
    "Item",
    "Measured",
    "Month",
    "Number",
    "Outline",
    "Point",
    "Row",
    "Series",
    "Sheet",
    "Steps",
    "Strip",
    "Timeline",
    "Work",
    "draw_bars",
    "draw_columns",
    "draw_diagram",
    "draw_steps",
    "draw_strip",
    "draw_timeline",
    "twice",
]  # fmt: skip
