"""Words of a command line to numbers, all that is wrong said together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager

from tracker.entry.times import parse_number, parse_time, shown
from tracker.errors import EntryError, Problem
from tracker.records.text import clean_line

Problems = list[Problem]


@contextmanager
def whatever_is_wrong() -> Iterator[Problems]:
    """Collect problems and raise them together at the end."""
    problems: Problems = []
    yield problems
    if problems:
        raise EntryError(tuple(problems))


def time_list(texts: Iterable[str], name: str, problems: Problems) -> list[float]:
    """Return times in seconds; what is none is added to `problems`."""
    found = []
    for text in texts:
        try:
            found.append(parse_time(text))
        except ValueError as wrong:
            problems.append(Problem(name, clean_line(text), str(wrong)))
    return found


def number_list(texts: Iterable[str], name: str, problems: Problems, *, least: float = 0.0) -> list[float]:
    """Return numbers above `least`; what is none is added to `problems`."""
    found = []
    for text in texts:
        try:
            number = parse_number(text)
            if number <= least:
                raise ValueError(f"{shown(text)} is not above {least:g}")  # noqa: TRY301 - collected below
            found.append(number)
        except ValueError as wrong:
            problems.append(Problem(name, clean_line(text), str(wrong)))
    return found
