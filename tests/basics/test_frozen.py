"""Frozen dataclasses of our own making hold to what dataclasses' own promise."""

from __future__ import annotations

import pickle
from copy import copy, deepcopy
from dataclasses import FrozenInstanceError, asdict, dataclass, field, fields, is_dataclass, replace
from functools import cached_property
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.basics.frozen import frozen


@frozen
class Ours:
    """One of each sort of field."""

    name: str
    size: int = 3
    parts: tuple[int, ...] = ()
    held: dict[str, int] = field(default_factory=dict)
    aside: str = field(default="", compare=False, repr=False)

    @cached_property
    def twice(self) -> int:
        """Something worked out once."""
        return self.size * 2


@dataclass(frozen=True)
class Theirs:
    """The same by dataclasses."""

    name: str
    size: int = 3
    parts: tuple[int, ...] = ()
    held: dict[str, int] = field(default_factory=dict)
    aside: str = field(default="", compare=False, repr=False)


@frozen
class Hashed:
    """Of fields that can all be hashed."""

    name: str
    size: float = 0.0


@frozen
class Lone:
    """Of one field."""

    name: str


class Narrower(Lone):
    """The same fields, another class."""


ARGUMENTS = st.fixed_dictionaries(
    {"name": st.text(max_size=2)},
    optional={
        "size": st.integers(0, 2),
        "parts": st.tuples(st.integers(0, 1)),
        "held": st.dictionaries(st.text(max_size=1), st.integers(0, 1), max_size=1),
        "aside": st.text(max_size=1),
    },
)


@given(ARGUMENTS, ARGUMENTS)
def test_they_are_made_compared_and_written_alike(one: dict[str, Any], other: dict[str, Any]) -> None:
    assert asdict(Ours(**one)) == asdict(Theirs(**one))  # type: ignore[call-overload]
    assert (Ours(**one) == Ours(**other)) == (Theirs(**one) == Theirs(**other))
    assert repr(Ours(**one)) == repr(Theirs(**one)).replace("Theirs", "Ours")
    changed = replace(Ours(**one), **other)  # type: ignore[type-var]
    assert asdict(changed) == asdict(replace(Theirs(**one), **other))  # type: ignore[call-overload]


@given(st.text(max_size=2), st.floats())
def test_the_same_have_the_same_hash(name: str, size: float) -> None:
    made = Hashed(name, size)
    assert made == copy(made) == deepcopy(made) == pickle.loads(pickle.dumps(made)) or size != size  # noqa: PLR0124, S301
    assert hash(made) == hash(Hashed(name, size))


def test_it_is_a_dataclass_to_everybody() -> None:
    assert is_dataclass(Ours) and [one.name for one in fields(Ours)] == [one.name for one in fields(Theirs)]
    assert Ours.__match_args__ == Theirs.__match_args__  # type: ignore[attr-defined]
    with pytest.raises(TypeError, match=r"Ours\.__init__.* missing 1 required positional argument: 'name'"):
        Ours()  # type: ignore[call-arg]
    with pytest.raises(SyntaxError, match="non-default argument"):

        @frozen
        class Odd:
            """A field with a value before one without."""

            one: int = 1
            two: int  # type: ignore[misc]


def test_nothing_can_be_changed() -> None:
    made = Ours("x")
    for change in (lambda: setattr(made, "name", "y"), lambda: setattr(made, "new", 1), lambda: delattr(made, "name")):
        with pytest.raises(FrozenInstanceError):
            change()
    assert (made, made.twice, made.twice) == (Ours("x"), 6, 6)


def test_every_one_has_its_own_default() -> None:
    first, second = Ours("x"), Ours("x")
    first.held["a"] = 1
    assert second.held == {}


def test_what_cannot_be_hashed_is_refused_as_theirs() -> None:
    for kind in (Ours, Theirs):
        with pytest.raises(TypeError, match="unhashable"):
            hash(kind("x"))


def test_another_class_is_never_the_same() -> None:
    assert Lone("x") != Narrower("x") and Narrower("x") == Narrower("x")
    assert Lone("x") != Hashed("x") and Lone("x") != ("x",)


def test_what_a_class_writes_itself_stays() -> None:
    @frozen
    class Own:
        """With an equality of its own."""

        name: str

        def __eq__(self, other: object) -> bool:
            return True

        def __hash__(self) -> int:
            return 7

        def __repr__(self) -> str:
            return "mine"

    assert Own("a") == Own("b") and hash(Own("a")) == 7 and repr(Own("a")) == "mine"


def test_what_is_made_after_the_fields() -> None:
    seen = []

    @frozen
    class After:
        """Told when it is made."""

        name: str

        def __post_init__(self) -> None:
            seen.append(self.name)

    After("x")
    assert seen == ["x"]


def test_fields_that_are_no_arguments_are_refused() -> None:
    with pytest.raises(TypeError, match="use dataclass"):

        @frozen
        class Hidden:
            """Its field is no argument."""

            name: str = field(init=False)


def test_a_class_that_adds_to_another_is_refused() -> None:
    with pytest.raises(TypeError, match="cannot inherit"):

        @frozen
        class Wider(Lone):
            """More fields, after those it has already."""

            more: int = 0
