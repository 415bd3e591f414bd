"""Values that pass from layer to layer are frozen: they are shared by threads, caches and verdicts."""

from __future__ import annotations

import dataclasses
import inspect
import pkgutil
from importlib import import_module

import pytest

import tracker

FOLDERS = ("engine", "technique", "entry", "model")
GATHERED = {"ClubTable"}
"""Filled while something is read, by the one function that makes it."""


def _dataclasses() -> list[type]:
    found = [
        kind
        for module in pkgutil.walk_packages(tracker.__path__, "tracker.")
        if module.name.split(".")[1] in FOLDERS
        for _, kind in inspect.getmembers(import_module(module.name), inspect.isclass)
        if kind.__module__ == module.name and dataclasses.is_dataclass(kind)
    ]
    assert len(found) > 150
    return found


@pytest.mark.parametrize("kind", _dataclasses(), ids=lambda kind: f"{kind.__module__[8:]}.{kind.__name__}")
def test_a_value_is_frozen(kind: type) -> None:
    assert kind.__dataclass_params__.frozen or kind.__name__ in GATHERED  # type: ignore[attr-defined]
