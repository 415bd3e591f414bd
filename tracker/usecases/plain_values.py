"""Frozen dataclasses as plain lists for JSON, and back exactly; the way is worked out once from the types.

The way back is short, for a big roster is ten thousand lines of eight objects each: frozen values are filled
past their constructors, and days that come again and again are made once.
"""

from __future__ import annotations

import datetime as dt
import types
import typing
from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any, TypeVar

T = TypeVar("T")
Turn = Callable[[Any], Any]


class _Days(dict[int, dt.date]):
    """Dates by the number of the day, each made once."""

    def __missing__(self, number: int) -> dt.date:
        self[number] = made = dt.date.fromordinal(number)
        return made


_DAYS = _Days()


def to_plain(value: Any) -> Any:  # noqa: ANN401 - any of the values below
    """Return lists, numbers and text; days as the number of the day, in a mapping as ``{"day": number}``."""
    if isinstance(value, dt.date):
        return value.toordinal()
    if isinstance(value, tuple):
        return [to_plain(one) for one in value]
    if isinstance(value, Mapping):
        return {
            key: {"day": one.toordinal()} if isinstance(one, dt.date) else one for key, one in value.items()
        }
    if is_dataclass(value) and not isinstance(value, type):
        kind: Any = type(value)
        return [to_plain(getattr(value, name)) for name in _names(kind)]
    return value


def from_plain(kind: type[T], plain: Any) -> T:  # noqa: ANN401 - out of JSON
    """Return the dataclass that `to_plain` was given. The lists are used up on the way.

    Raises
    ------
    ValueError, TypeError, LookupError
        If it is not of that kind.
    """
    asked: Any = kind
    made: T = _reader(asked)(plain)
    return made


def shape_of(kind: Any) -> str:  # noqa: ANN401 - a type
    """Return what changes whenever the fields or types of a dataclass, or of those within it, do."""
    if is_dataclass(kind):
        known: Any = kind
        hints = typing.get_type_hints(known)
        return f"{kind}({', '.join(name + ':' + shape_of(hints[name]) for name in _names(known))})"
    return f"{kind}[{', '.join(shape_of(one) for one in typing.get_args(kind))}]"


@cache
def _names(kind: Any) -> tuple[str, ...]:  # noqa: ANN401 - a dataclass
    return tuple(field.name for field in fields(kind))


@cache
def _reader(kind: Any) -> Turn:  # noqa: ANN401 - a type
    """Return what turns a plain value into one of `kind`."""
    origin, inner = typing.get_origin(kind), typing.get_args(kind)
    if is_dataclass(kind):
        return _dataclass_reader(kind)
    if origin in {typing.Union, types.UnionType} and type(None) in inner:
        some = [one for one in inner if one is not type(None)]
        read = _reader(some[0]) if len(some) == 1 else _as_is
        return read if read is _as_is else lambda plain: None if plain is None else read(plain)
    if kind is dt.date:
        return _DAYS.__getitem__
    if origin is tuple:
        if inner[-1] is ... and (each := _reader(inner[0])) is not _as_is:
            return lambda plain: tuple([each(one) for one in plain]) if plain else ()
        return tuple
    if origin is not None and isinstance(origin, type) and issubclass(origin, Mapping):
        return _mapping
    return _as_is


def _dataclass_reader(kind: Any) -> Turn:  # noqa: ANN401 - a dataclass
    hints = typing.get_type_hints(kind)
    names = _names(kind)
    turns = [
        (place, turn) for place, name in enumerate(names) if (turn := _reader(hints[name])) is not _as_is
    ]
    new = object.__new__

    def read(plain: list[Any]) -> Any:  # noqa: ANN401
        if len(plain) != len(names):
            raise ValueError
        for place, turn in turns:
            plain[place] = turn(plain[place])
        made = new(kind)
        made.__dict__.update(zip(names, plain))  # noqa: B905 - counted above
        return made

    return read


def _as_is(plain: Any) -> Any:  # noqa: ANN401
    return plain


def _mapping(plain: dict[str, Any]) -> dict[str, Any]:
    return {key: _DAYS[one["day"]] if isinstance(one, dict) else one for key, one in plain.items()}
