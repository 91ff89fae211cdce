"""Frozen dataclasses that are quick to define and to make.

``@dataclass(frozen=True)`` writes six methods for each class and has each compiled by itself: with the hundreds of
records and views there are, that was a third of all the time until the program could begin. Here three are compiled, in
one go, and the others are shared. What it makes is a dataclass to everybody: ``fields``, ``replace`` and ``is_dataclass``
know it, two are the same if they are of one class and their fields are, and a field cannot be set or deleted.
"""

from __future__ import annotations

from dataclasses import MISSING, Field, FrozenInstanceError, dataclass, field, fields
from typing import Any, TypeVar, dataclass_transform

Made = TypeVar("Made")

_METHODS = """\
def __init__(self, {given}):
    self.__dict__.update({{{taken}}}){then}
def __eq__(self, other):
    if other.__class__ is not self.__class__:
        return NotImplemented
    return ({mine}) == ({theirs})
def __hash__(self):
    return hash(({mine}))
"""


@dataclass_transform(frozen_default=True, field_specifiers=(field,))
def frozen(cls: type[Made]) -> type[Made]:
    """A class as a frozen dataclass; its own ``__eq__``, ``__hash__`` and ``__repr__`` stay, if it has any.

    Raises TypeError for fields that are no arguments or only by name, and for a class that adds to another dataclass:
    nothing here has or does that.
    """
    own = set(vars(cls))
    made: Any = dataclass(init=False, repr=False, eq=False)(cls)
    made.__setattr__, made.__delattr__ = _refuse_to_set, _refuse_to_delete
    for name, method in {**_compiled(made), "__repr__": _written}.items():
        if name not in own:
            setattr(made, name, method)
    made.__dataclass_params__.frozen = True
    return made  # type: ignore[no-any-return]


def _compiled(cls: Any) -> dict[str, Any]:
    """The methods that name each field: how it is made, compared and hashed."""
    names: dict[str, Any] = {"__name__": cls.__module__}
    for one in fields(cls):
        if not one.init or one.kw_only:
            raise TypeError(f"{cls.__qualname__}.{one.name}: use dataclass(frozen=True) for such a field")
    compared = [one.name for one in fields(cls) if one.compare]
    code = _METHODS.format(
        given=", ".join(_parameter(one, names) for one in fields(cls)),
        taken=", ".join(f"{one.name!r}: {_value(one)}" for one in fields(cls)),
        then="; self.__post_init__()" if hasattr(cls, "__post_init__") else "",
        mine="".join(f"self.{name}, " for name in compared),
        theirs="".join(f"other.{name}, " for name in compared),
    )
    exec(code, names)  # noqa: S102 - as dataclass does; names of fields only
    methods = {name: names[name] for name in ("__init__", "__eq__", "__hash__")}
    for name, method in methods.items():
        method.__qualname__ = f"{cls.__qualname__}.{name}"
    return methods


def _parameter(one: Field[Any], names: dict[str, Any]) -> str:
    """A field as a parameter; what it is without an argument is put among the names."""
    if one.default is not MISSING:
        names[f"_else_{one.name}"] = one.default
        return f"{one.name}=_else_{one.name}"
    if one.default_factory is not MISSING:
        names[f"_make_{one.name}"], names["_nothing"] = one.default_factory, MISSING
        return f"{one.name}=_nothing"
    return one.name


def _value(one: Field[Any]) -> str:
    """What is laid down for a field."""
    made = one.default_factory is not MISSING
    return f"_make_{one.name}() if {one.name} is _nothing else {one.name}" if made else one.name


def _written(self: Any) -> str:
    shown = ", ".join(f"{one.name}={getattr(self, one.name)!r}" for one in fields(self) if one.repr)
    return f"{self.__class__.__qualname__}({shown})"


def _refuse_to_set(_: object, name: str, __: object) -> None:
    raise FrozenInstanceError(f"cannot assign to field {name!r}")


def _refuse_to_delete(_: object, name: str) -> None:
    raise FrozenInstanceError(f"cannot delete field {name!r}")
