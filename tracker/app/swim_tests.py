"""Test definitions: list, find, add."""

from __future__ import annotations

from collections.abc import Mapping
from typing import assert_never

from tracker.app.session import Session
from tracker.entry.forms import read_record
from tracker.errors import EntryError, Problem, UnknownNameError
from tracker.model.swim_test import BUILT_IN, SwimTest
from tracker.model.vocabularies import SwimTestKind
from tracker.store.reading import Reader


def list_tests(session: Session | None) -> list[SwimTest]:
    """Return the built-in definitions, then the coach's own."""
    if session is None:
        return list(BUILT_IN)
    with session.store.read() as reader:
        return _all(reader)


def find_definition(session: Session, name: str) -> SwimTest:
    """Return the definition called `name`; raises `UnknownNameError`."""
    with session.store.read() as reader:
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
    return [*BUILT_IN, *(row.record for row in reader.all(SwimTest))]


def add_test(session: Session, form: Mapping[str, str]) -> SwimTest:
    """Add one definition; `form` holds fields of `SwimTest` as typed.

    Raises
    ------
    EntryError
        With every problem of the form, or if the short name is taken.
    """
    definition = read_record(SwimTest, form)
    problems = _shape(definition)
    with session.write(f"add test {definition.test}") as writer:
        taken = {one.test for one in BUILT_IN} | {row.record.test for row in writer.all(SwimTest)}
        if definition.test in taken:
            reason = f"{definition.test!r} is there already; take another short name"
            problems.append(Problem("test", definition.test, reason))
        if problems:
            raise EntryError(tuple(problems))
        writer.add([definition])
    return definition


def _shape(definition: SwimTest) -> list[Problem]:
    """Return what a definition of its kind lacks."""
    match definition.kind:
        case SwimTestKind.DURATION:
            missing = definition.duration_s is None
            return [Problem("duration", "", "is missing; write it as 20:00")] if missing else []
        case SwimTestKind.DISTANCES if not definition.distances:
            return [Problem("distances", "", "is missing; name the metres, such as '400 200'")]
        case SwimTestKind.DISTANCES | SwimTestKind.REPEATS:
            if definition.duration_s is None:
                return []
            return [Problem("duration", f"{definition.duration_s:g}", "goes with the kind 'duration' only")]
        case other:
            assert_never(other)
