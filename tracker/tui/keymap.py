"""Other keys for the screens' actions, checked before the screens open: known actions, no clashes."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Iterator, Mapping

from textual.binding import Binding
from textual.dom import DOMNode
from textual.keys import _character_to_key

import tracker.tui
from tracker.errors import UsageError

WHERE = "the [keys] table of the config file"


def checked_keys(keys: Mapping[str, str]) -> dict[str, str]:
    """Return the keys by the library's names ("?" is "question_mark").

    Parameters
    ----------
    keys
        Action -> key, or several keys separated by commas.

    Raises
    ------
    UsageError
        If an action is not known, or two actions that work in the same place have one key.
    """
    if not keys:
        return {}
    places = list(_bindings())
    known = {binding.id for _, binding in places if binding.id}
    named = {action: _named(typed) for action, typed in keys.items()}
    for action in named:
        if action not in known:
            raise UsageError(
                f"{WHERE} names {action!r}, which is no action; known are {', '.join(sorted(known))}"
            )
    taken: dict[tuple[str, str], str] = {}
    everywhere = [
        (place, key, action)
        for place, binding in places
        for action in [binding.id or binding.description or binding.action]
        for key in named.get(action, binding.key).split(",")
    ]
    for place, key, action in everywhere:
        other = taken.setdefault((place, key), action)
        if other != action and {action, other} & named.keys():
            raise UsageError(f"{WHERE} gives {key!r} to both {other!r} and {action!r}; choose another key")
    return named


def _bindings() -> Iterator[tuple[str, Binding]]:
    """Yield (class, binding) of every screen, widget and the app."""
    for module in pkgutil.walk_packages(tracker.tui.__path__, "tracker.tui."):
        for thing in vars(importlib.import_module(module.name)).values():
            if isinstance(thing, type) and issubclass(thing, DOMNode) and thing.__module__ == module.name:
                for binding in Binding.make_bindings(vars(thing).get("BINDINGS", ())):
                    yield thing.__name__, binding


def _named(typed: str) -> str:
    return ",".join(
        _character_to_key(key) if len(key) == 1 else key for key in map(str.strip, typed.split(","))
    )
