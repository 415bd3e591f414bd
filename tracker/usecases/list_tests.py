"""The test definitions there are, and the one that is meant by a name."""

from __future__ import annotations

from tracker.errors import UnknownNameError
from tracker.records.swim_test import BUILT_IN, SwimTest
from tracker.store.database import Store
from tracker.store.reading import Reader


def list_tests(store: Store | None) -> list[SwimTest]:
    """Return the built-in definitions, then the coach's own."""
    if store is None:
        return list(BUILT_IN)
    with store.read() as reader:
        return _all(reader)


def find_definition(store: Store, name: str) -> SwimTest:
    """Return the definition called `name`; raises `UnknownNameError`."""
    with store.read() as reader:
        return find_test(reader, name)


def find_test(reader: Reader, name: str) -> SwimTest:
    """Return the definition called `name`.

    Raises
    ------
    UnknownNameError
        If there is none; with the nearest names.
    """
    from difflib import get_close_matches

    known = {definition.test: definition for definition in _all(reader)}
    found = known.get(name.strip().casefold())
    if found is None:
        near = get_close_matches(name.casefold(), known, n=3, cutoff=0.5)
        raise UnknownNameError("test", name, tuple(near) or tuple(known)[:7])
    return found


def _all(reader: Reader) -> list[SwimTest]:
    return [*BUILT_IN, *(kept.record for kept in reader.all(SwimTest))]
