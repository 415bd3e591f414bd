"""Frozen dataclasses as plain lists for JSON, and back exactly; the way is worked out once from the types.

It is short both ways, for a big roster is ten thousand lines of eight objects each: frozen values are filled
past their constructors, and days that come again and again are made once.
"""

from __future__ import annotations

import datetime as dt
import types
import typing
from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any, NamedTuple, TypeVar

T = TypeVar("T")
Turn = Callable[[Any], Any]


class _Way(NamedTuple):
    """How a value of some type becomes plain, and back."""

    there: Turn
    back: Turn


def to_plain(value: Any) -> Any:  # noqa: ANN401 - a dataclass
    """Return lists, numbers and text; days as the number of the day, in a mapping as ``{"day": number}``."""
    kind: Any = type(value)
    return _way(kind).there(value)


def from_plain(kind: type[T], plain: Any) -> T:  # noqa: ANN401 - out of JSON
    """Return the dataclass that `to_plain` was given. The lists are used up on the way.

    Raises
    ------
    ValueError, TypeError, LookupError
        If it is not of that kind.
    """
    asked: Any = kind
    made: T = _way(asked).back(plain)
    return made


def shape_of(kind: Any) -> str:  # noqa: ANN401 - a type
    """Return what changes whenever the fields or types of a dataclass, or of those within it, do."""
    if is_dataclass(kind):
        known: Any = kind
        hints = typing.get_type_hints(known)
        return f"{kind}({', '.join(name + ':' + shape_of(hints[name]) for name in _names(known))})"
    return f"{kind}[{', '.join(shape_of(one) for one in typing.get_args(kind))}]"


def _names(kind: Any) -> tuple[str, ...]:  # noqa: ANN401 - a dataclass
    return tuple(field.name for field in fields(kind))


@cache
def _way(kind: Any) -> _Way:  # noqa: ANN401 - a type
    origin, inner = typing.get_origin(kind), typing.get_args(kind)
    if is_dataclass(kind):
        return _way_of_fields(kind)
    if origin in {typing.Union, types.UnionType} and type(None) in inner:
        some = [one for one in inner if one is not type(None)]
        return _if_there(_way(some[0])) if len(some) == 1 else _AS_IS
    if kind is dt.date:
        return _Way(dt.date.toordinal, _DAYS.__getitem__)
    if origin is tuple:
        return _way_of_items(_way(inner[0]) if inner[-1] is ... else _AS_IS)
    if origin is not None and isinstance(origin, type) and issubclass(origin, Mapping):
        return _Way(_mapping_there, _mapping_back)
    return _AS_IS


def _way_of_fields(kind: Any) -> _Way:  # noqa: ANN401 - a dataclass
    hints = typing.get_type_hints(kind)
    names = _names(kind)
    ways = [(place, way) for place, name in enumerate(names) if (way := _way(hints[name])) is not _AS_IS]
    turns_there = [(place, way.there) for place, way in ways]
    turns_back = [(place, way.back) for place, way in ways]
    new = object.__new__

    def there(value: Any) -> list[Any]:  # noqa: ANN401
        held = value.__dict__
        plain = [held[name] for name in names]
        for place, turn in turns_there:
            plain[place] = turn(plain[place])
        return plain

    def back(plain: list[Any]) -> Any:  # noqa: ANN401
        if len(plain) != len(names):
            raise ValueError
        for place, turn in turns_back:
            plain[place] = turn(plain[place])
        made = new(kind)
        made.__dict__.update(zip(names, plain))  # noqa: B905 - counted above
        return made

    return _Way(there, back)


def _way_of_items(way: _Way) -> _Way:
    there, back = way
    if way is _AS_IS:
        return _Way(list, tuple)
    return _Way(
        lambda values: [there(one) for one in values],
        lambda plain: tuple([back(one) for one in plain]) if plain else (),
    )


def _if_there(way: _Way) -> _Way:
    there, back = way
    if way is _AS_IS:
        return way
    return _Way(
        lambda value: None if value is None else there(value),
        lambda plain: None if plain is None else back(plain),
    )


def _as_is(value: Any) -> Any:  # noqa: ANN401
    return value


_AS_IS = _Way(_as_is, _as_is)


class _Days(dict[int, dt.date]):
    """Dates by the number of the day, each made once."""

    def __missing__(self, number: int) -> dt.date:
        self[number] = made = dt.date.fromordinal(number)
        return made


_DAYS = _Days()


def _mapping_there(values: Mapping[str, Any]) -> dict[str, Any]:
    return {key: {"day": one.toordinal()} if isinstance(one, dt.date) else one for key, one in values.items()}


def _mapping_back(plain: dict[str, Any]) -> dict[str, Any]:
    return {key: _DAYS[one["day"]] if isinstance(one, dict) else one for key, one in plain.items()}
