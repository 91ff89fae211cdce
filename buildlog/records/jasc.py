"""The FAA's JASC code table: which number a system and its parts are filed under.

Source: Federal Aviation Administration, Joint Aircraft System/Component code table and definitions, 2008-10-27, itself
after ATA Specification 100. Shortened to what a small aircraft has: rotor, auxiliary power and water chapters are left
out, names are cut short, and a word of the chapter is added where a name alone would not say what it is. Two digits are
a chapter, four a part of it; xx00 is the chapter in general and xx97 its wiring.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from buildlog.basics.problems import shown

_SOURCE = "FAA JASC code table of 2008-10-27, shortened"

_TABLE = """
11 Placards and Markings
12 Servicing|1210 Fuel Servicing|1220 Oil Servicing|1230 Hydraulic Servicing|1240 Coolant Servicing
14 Hardware|1410 Hoses and Tubes|1430 Fasteners
21 Air Conditioning|2140 Heating
22 Auto Flight|2210 Autopilot|2215 Main Servo
23 Communications|2312 VHF|2350 Audio
24 Electrical Power|2430 DC Generating|2432 Battery/Charger|2434 DC Generator-Alternator|2436 DC Regulator
2460 DC Distribution
25 Equipment/Furnishings|2510 Flight Compartment|2562 Emergency Locator Beacon|2563 Parachute
26 Fire Protection|2622 Portable Fire Bottle
27 Flight Controls|2701 Control Column|2710 Aileron Control|2720 Rudder Control|2730 Elevator Control
2731 Elevator Tab Control|2740 Stabilizer Control|2750 TE Flap Control
28 Fuel|2810 Fuel Storage|2820 Fuel Distribution|2821 Fuel Filter/Strainer|2822 Fuel Boost Pump
2823 Fuel Selector/Shut-off Valve|2841 Fuel Quantity Indicator
29 Hydraulic Power|2910 Main Hydraulics
30 Ice and Rain Protection|3060 Prop Ice Protection
31 Instruments|3110 Instrument Panel
32 Landing Gear|3210 Main Gear|3213 Main Gear Strut/Axle|3220 Nose/Tail Gear|3222 Nose/Tail Gear Strut/Axle
3230 Gear Retract/Extend|3240 Brake System|3242 Brake|3243 Master Cylinder|3244 Tire|3246 Wheel/Ski/Float
3250 Gear Steering|3252 Shimmy Damper|3260 Gear Position and Warning
33 Lights|3310 Flight Compartment Lights|3340 Exterior Lights
34 Navigation|3411 Pitot/Static|3413 Rate of Climb|3414 Airspeed|3416 Altimeter/Encoder|3421 Attitude Gyro
3422 Directional Gyro|3423 Magnetic Compass|3424 Turn and Bank|3452 ATC Transponder|3457 GPS
35 Oxygen
37 Vacuum
51 Standard Practices/Structures
52 Doors|5210 Passenger/Crew Door|5230 Baggage Door
53 Fuselage|5311 Fuselage Frame|5312 Fuselage Bulkhead|5313 Fuselage Longeron/Stringer|5330 Fuselage Plate/Skin
5340 Fuselage Attach Fittings|5341 Wing Attach|5346 Powerplant Attach|5350 Fuselage Fairings
54 Nacelles/Pylons|5412 Firewall
55 Stabilizers|5510 Horizontal Stabilizer|5520 Elevator|5530 Vertical Stabilizer|5540 Rudder
56 Windows
57 Wings|5711 Wing Spar|5712 Wing Rib|5730 Wing Skins|5740 Wing Attach Fittings|5751 Ailerons|5753 TE Flaps
61 Propellers|6110 Propeller Assembly|6111 Propeller Blade|6114 Propeller Hub|6122 Propeller Governor
71 Powerplant|7110 Cowling|7112 Air Baffle|7120 Engine Mount|7160 Air Intake
72 Turbine/Turboprop Engine
73 Engine Fuel and Control|7310 Engine Fuel Distribution|7313 Injector Nozzle|7314 Engine Fuel Pump
7322 Fuel Control/Reciprocating
74 Ignition|7414 Magneto/Distributor|7420 Ignition Harness|7421 Spark Plug
75 Air|7520 Engine Cooling
76 Engine Controls|7602 Mixture Control|7603 Power Lever
77 Engine Indicating|7713 Manifold Pressure|7714 RPM|7721 CHT|7722 EGT/TIT
78 Exhaust|7810 Exhaust Collector
79 Engine Oil (airframe)|7921 Oil Cooler
80 Starting|8011 Starter
81 Turbocharging
82 Water Injection
83 Accessory Gearboxes
85 Reciprocating Engine|8510 Engine Front Section|8520 Engine Power Section|8530 Engine Cylinder
8540 Engine Rear Section|8550 Engine Oil System|8560 Engine Supercharger|8570 Liquid Cooling
"""

CODES: Mapping[str, str] = dict(line.split(" ", 1) for line in _TABLE.strip().replace("\n", "|").split("|"))
"""Chapters (two digits) and their parts (four digits) with their names."""


def name_of(code: str) -> str:
    """What a code of the table stands for; '' for any other."""
    chapter = CODES.get(code[:2], "")
    general = {"00": f"{chapter} (general)", "97": f"{chapter} Wiring"}.get(code[2:])
    return CODES.get(code) or (general if chapter and general else "")


def is_code(text: str) -> bool:
    """Whether a number has the shape of a code: two digits or four."""
    return re.fullmatch(r"[0-9]{2}(?:[0-9]{2})?", text) is not None


def matching(word: str = "") -> list[tuple[str, str]]:
    """The codes, in order, whose name holds a word or whose number begins with it; a chapter goes before its parts."""
    part = word.strip().casefold()
    return [(code, name) for code, name in CODES.items() if part in name.casefold() or (part and code.startswith(part))]


def listing(word: str = "") -> str:
    """The table, or what of it has a word, as it is printed."""
    found = matching(word)
    if not found:
        return f"the table of system codes has nothing with {shown(word)}; without a word it is listed whole"
    return "\n".join([_SOURCE, *(f"{code:4}  {name}" for code, name in found)])
