"""A small aircraft whose balance is worked out by hand, its loadings, and its page.

The aircraft: 350.0 and 350.0 lb at 20 in, 50.0 lb at 170 in, each scale +- 0.5 lb, arms +- 0.25 in.
W = 750.0 lb, M = 14,000 + 8,500 = 22,500 lb in, CG = 30.00 in; u(W) = 0.5 x root 3 = 0.87 lb;
u(CG)^2 = 0.25 x (2 x (10/750)^2 + (140/750)^2) + (700/750 x 0.25)^2 + (50/750 x 0.25)^2 = 0.0088 + 0.05444 + 0.00028
= 0.06352: u(CG) = 0.25 in. Loaded to W' with CG x', the same with (20 - x') / W' and so on.
Limits: forward 29 in up to 1,000 lb, then a straight line to 31 in at 1,300 lb; aft 38 in; from 700 lb.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from buildlog.pages.balance import BalanceView, balance_sheets
from tests.making import PROJECT, entry
from tests.pages.laying import laid, spaced

WEIGHED = entry("""
title: Weighed
date: 2026-03-14
weighing:
  points:
    - {at: left, reading: 350.0 lb, arm: 20 in, plus_minus: 0.5 lb}
    - {at: right, reading: 350.0 lb, arm: 20 in, plus_minus: 0.5 lb}
    - {at: tail, reading: 50.0 lb, arm: 170 in, plus_minus: 0.5 lb}
""")
LIMITS = """limits:
  - {weight: 700 lb, forward: 29 in, aft: 38 in}
  - {weight: 1000 lb, forward: 29 in, aft: 38 in}
  - {weight: 1300 lb, forward: 31 in, aft: 38 in}
"""
STATIONS = """stations:
  - {key: pilot, name: Pilot, arm: 40 in, min: 100 lb, max: 220 lb}
  - {key: guest, name: Passenger, arm: 40 in, max: 220 lb}
  - {key: box, name: FWD box, arm: 0 in, max: 20 lb}
  - {key: fuel, name: Nose tank, arm: 10 in, capacity: 15 US gal, density: 6.0 lb/US gal}
  - {key: shelf, name: Baggage shelf, arm: 60 in, usually: 20 lb}
"""
SOLO = "  - {key: solo, name: Solo, loads: {pilot: 170 lb, fuel: 15 US gal}}\n"
LIGHT = '  - {key: light, name: "light pilot, full", loads: {pilot: 100 lb, fuel: 15 US gal}}\n'
NOSE = "  - {key: nose, name: Box and light pilot, loads: {pilot: 100 lb, fuel: 15 US gal, box: 20 lb}}\n"
ALL = "  - {key: all, name: Everything, loads: {pilot: 220 lb, guest: 220 lb, fuel: 15 US gal, shelf: 40 lb}}\n"
BALLAST = "ballast: {arm: 160 in, most: 25 lb}\n"
WHOLE = f"mac: {{leading_edge: 21 in, length: 50 in}}\nmax_weight: 1300 lb\n{LIMITS}{STATIONS}cases:\n"


def files(
    loading: str, units: str = "weight: lb, arm: in", *more: str, weighed: str = WEIGHED
) -> dict[str, str | bytes]:
    """The project: its weighing, a loading.yaml without the datum, and further entries."""
    found: dict[str, str | bytes] = {
        "project.yaml": f"{PROJECT}units: {{{units}}}\n",
        "log/2026-03-14-w.md": weighed,
    }
    found |= {f"log/2026-04-0{number}-x.md": text for number, text in enumerate(more, 1)}
    return found | ({"loading.yaml": f"datum: firewall\n{loading}"} if loading else {})


def page(root: Path, loading: str, *more: str, **said: Any) -> BalanceView:
    """The page's view."""
    (sheet,) = laid(
        balance_sheets, root, files=files(loading, said.pop("units", "weight: lb, arm: in"), *more, **said)
    ).values()
    assert isinstance(sheet.view, BalanceView)
    return sheet.view


def plain(texts: tuple[str, ...]) -> list[str]:
    """Texts with plain spaces and minus signs."""
    return [spaced(text) for text in texts]


def boxed(forward: str, aft: str, stations: str = "", cases: str = "{}", more: str = "") -> str:
    """Limits that are the same from 700 to 1,300 lb, and one case."""
    limits = "".join(f"  - {{weight: {kg} lb, forward: {forward} in, aft: {aft} in}}\n" for kg in (700, 1300))
    return f"{more}limits:\n{limits}{stations}cases: [{{key: it, name: This, loads: {cases}}}]\n"
