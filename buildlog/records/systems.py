"""The systems an aircraft is divided into, and the numbers they are filed under.

Numbers follow the chapters of the FAA's JASC code table (2008-10-27, after ATA Specification 100); 05 (time limits and
checks, here the records) and 08 (levelling and weighing) are ATA chapters that JASC leaves out: common practice.
"""

from __future__ import annotations

from collections.abc import Mapping

from buildlog.basics.frozen import frozen


@frozen
class System:
    """A system: its key in entries, its name and its number ('' if it has none)."""

    key: str
    name: str
    code: str


_BUILT_IN = """
records 05 Records|weighing 08 Weighing|placards 11 Placards|servicing 12 Servicing|hardware 14 Hardware
heating 21 Heating|autopilot 22 Autopilot|radio 23 Radio|electrical 24 Electrical|cabin 25 Cabin|fire 26 Fire protection
controls 27 Flight controls|fuel 28 Fuel|hydraulics 29 Hydraulics|ice 30 Ice protection|instruments 31 Instruments
gear 32 Wheels and brakes|lights 33 Lights|navigation 34 Navigation|oxygen 35 Oxygen|vacuum 37 Vacuum
structure 51 Structure|doors 52 Doors|fuselage 53 Fuselage|nacelles 54 Nacelles|tail 55 Tail|windows 56 Windows
wings 57 Wings|propeller 61 Propeller|cowling 71 Cowling and mount|carburettor 73 Engine fuel|ignition 74 Ignition
cooling 75 Engine cooling|engine-controls 76 Engine controls|engine-instruments 77 Engine instruments|exhaust 78 Exhaust
oil 79 Oil|starting 80 Starting|turbocharging 81 Turbocharging|engine 85 Engine
"""

BUILT_IN: Mapping[str, System] = {
    key: System(key, name, code)
    for key, code, name in (item.split(" ", 2) for item in _BUILT_IN.replace("\n", "|").strip("|").split("|"))
}
"""The systems every project has; project.yaml adds to them and renames them."""

GENERAL = System("", "No one system", "")
"""Where an entry goes that names no system, so that totals by system still add up to the total."""
