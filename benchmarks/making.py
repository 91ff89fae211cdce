"""Made-up projects for measuring: so many entries and photos, seeded, of the sizes that real ones have."""

from __future__ import annotations

import random
from io import BytesIO
from pathlib import Path

from PIL import Image

WORDS = [
    "wing",
    "rib",
    "spar",
    "glue",
    "tank",
    "hose",
    "cable",
    "pulley",
    "weld",
    "tag",
    "oil",
    "brush",
    "cloth",
    "bolt",
    "torque",
    "lamp",
    "bench",
    "scale",
    "rain",
    "dust",
    "magneto",
    "bearing",
    "washer",
    "safety",
    "wire",
    "fabric",
    "varnish",
    "drain",
    "filler",
    "gasket",
    "clamp",
    "hinge",
    "rod",
    "end",
    "pin",
    "cotter",
    "doubler",
]
SYSTEMS = ("wings", "fuel", "engine", "electrical", "gear", "propeller")
PLAIN = "title: A made-up project\naircraft: {type: Made-up type}\nlocale: en-GB\nunits: {currency: USD, weight: lb, arm: in}\n"
PAGES_OF_TEXT = 5


def make(root: Path, entries: int, photos: int = 0, *, seed: int = 1, size: tuple[int, int] = (1600, 1200)) -> None:
    """A project in a new folder; each entry has about 2.5 KB of Markdown, 0.7 KB of front matter and its share of photos."""
    dice = random.Random(seed)
    for folder in ("log", "photos"):
        (root / folder).mkdir(parents=True)
    (root / "project.yaml").write_text(PLAIN, "utf-8")
    pictures(root / "photos", photos, size, dice)
    each = max(photos // entries, 1) if photos else 0
    for number in range(entries):
        day = f"{1990 + number // 336}-{number // 28 % 12 + 1:02}-{number % 28 + 1:02}"
        shown = [f"photos/{one:05}.jpg" for one in range(number * each, (number + 1) * each)]
        (root / f"log/{day}-x{number}.md").write_text(entry(number, day, shown, dice), "utf-8")


def entry(number: int, day: str, photos: list[str], dice: random.Random) -> str:
    """One entry as a builder writes it: some facts, some paragraphs, a list, a table."""
    lines = [
        f"title: Day {number} of {dice.choice(WORDS)}",
        f"date: {day}",
        f"system: [{dice.choice(SYSTEMS)}]",
        f"hours: {{owner: {dice.randrange(1, 9)}:30}}",
        f"costs: [{{item: {dice.choice(WORDS)}, cost: {dice.randrange(1, 199)}.50 USD, supplier: Shop {dice.randrange(9)}}}]",
        f"summary: {' '.join(dice.choices(WORDS, k=14)).capitalize()}.",
        "weight:",
        f"  - {{installed: {dice.choice(WORDS)} {number}, weight: {dice.randrange(1, 90)} oz, arm: {dice.randrange(9, 99)} in}}",
    ]
    if photos:
        lines += ["photos:", *(f"  - {{file: {file}, alt: {' '.join(dice.choices(WORDS, k=5))}}}" for file in photos)]
    paragraphs = [" ".join(dice.choices(WORDS, k=72)).capitalize() + "." for _ in range(PAGES_OF_TEXT)]
    paragraphs.insert(1, f"## The {dice.choice(WORDS)}")
    paragraphs.insert(3, "\n".join(f"- **{dice.choice(WORDS)}** and {dice.choice(WORDS)}" for _ in range(4)))
    paragraphs.append(
        "| what | how |\n| --- | --- |\n" + "\n".join(f"| {dice.choice(WORDS)} | `{n} lb` |" for n in range(3))
    )
    return "---\n" + "\n".join(lines) + "\n---\n" + "\n\n".join(paragraphs) + "\n"


def pictures(folder: Path, count: int, size: tuple[int, int], dice: random.Random, kinds: int = 20) -> None:
    """Photos of ``kinds`` different scenes, each file of its own content: a comment in it differs."""
    if not count:
        return
    tile = Image.effect_noise((max(size[0] // 4, 1), max(size[1] // 4, 1)), 60).convert("RGB")
    scenes = []
    for _ in range(min(kinds, count)):
        shade = Image.new("RGB", tile.size, tuple(dice.randrange(256) for _ in range(3)))
        out = BytesIO()
        Image.blend(tile, shade, 0.6).resize(size).save(out, "JPEG", quality=85)
        scenes.append(out.getvalue())
    for number in range(count):
        scene, told = scenes[number % len(scenes)], f"{number:08}".encode()
        comment = b"\xff\xfe" + (len(told) + 2).to_bytes(2, "big") + told
        (folder / f"{number:05}.jpg").write_bytes(scene[:2] + comment + scene[2:])
