"""Words of a command line to numbers, all that is wrong said together."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from itertools import zip_longest

from tracker.entry.times import parse_number, shown
from tracker.entry.typed_times import time_problem, typed_time
from tracker.errors import EntryError, Problem
from tracker.records.plausibility import Limits
from tracker.records.text import clean_line

Problems = list[Problem]


@contextmanager
def whatever_is_wrong() -> Iterator[Problems]:
    """Collect problems and raise them together at the end."""
    problems: Problems = []
    yield problems
    if problems:
        raise EntryError(tuple(problems))


def swim_times(
    texts: Sequence[str], distances_m: Sequence[float], name: str, limits: Limits, problems: Problems
) -> list[float]:
    """Return the seconds of times over distances; what is none, or not plain, is added to `problems`."""
    found = []
    for text, metres in zip_longest(texts, distances_m[: len(texts)]):
        try:
            found.append(typed_time(text, metres, limits))
        except ValueError as wrong:
            problems.append(time_problem(name, text, wrong))
    return found


def number_list(texts: Iterable[str], name: str, problems: Problems) -> list[float]:
    """Return numbers above zero; what is none is added to `problems`."""
    return _each(texts, name, _above_zero, problems)


def least_zero_list(texts: Iterable[str], name: str, problems: Problems) -> list[float]:
    """Return numbers not below zero; what is none is added to `problems`."""
    return _each(texts, name, _not_below_zero, problems)


def _each(texts: Iterable[str], name: str, read: Callable[[str], float], problems: Problems) -> list[float]:
    found = []
    for text in texts:
        try:
            found.append(read(text))
        except ValueError as wrong:
            problems.append(Problem(name, clean_line(text), str(wrong)))
    return found


def _above_zero(text: str) -> float:
    number = parse_number(text)
    if number <= 0:
        raise ValueError(f"{shown(text)} is not above zero")
    return number


def _not_below_zero(text: str) -> float:
    number = parse_number(text)
    if number < 0:
        raise ValueError(f"{shown(text)} is below zero")
    return number
