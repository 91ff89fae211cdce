"""Things by what they have in common."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable
from typing import TypeVar

Thing = TypeVar("Thing")
Key = TypeVar("Key", bound=Hashable)


def grouped(things: Iterable[Thing], key: Callable[[Thing], Key]) -> dict[Key, tuple[Thing, ...]]:
    """The things of each key, in their order."""
    groups: dict[Key, list[Thing]] = {}
    for thing in things:
        groups.setdefault(key(thing), []).append(thing)
    return {name: tuple(members) for name, members in groups.items()}
