"""The ledger of sources: every number from outside, whose it is, how it was read, who may rely on it.

The entries stand in ``sources.toml`` beside this file. Code keeps its own numbers, so that no command reads
the ledger in order to start; `tests/model/test_sources.py` holds each of them against its entry here.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from importlib.resources import files
from typing import Any


class HowRead(StrEnum):
    """How a source was read."""

    FULL = "full"
    TABLE = "table"
    ABSTRACT = "abstract"
    SECOND_HAND = "second hand"
    MEMORY = "memory"
    DATA = "data"
    PRACTICE = "practice"


class Basis(StrEnum):
    """What a number in the code rests on."""

    PUBLISHED = "published"
    DERIVED = "derived"
    ASSUMPTION = "assumption"
    PRACTICE = "practice"
    DEFINITION = "definition"


@dataclass(frozen=True)
class Figure:
    """Figures of a source as they were read; a negative percentage is a loss."""

    what: str
    value: tuple[float, ...]
    unit: str
    spread: str = ""


@dataclass(frozen=True)
class Source:
    """A publication, a data set or a habit of the trade.

    Attributes
    ----------
    identifier
        Journal and page, DOI or PubMed id; empty where none is on record.
    who
        Whom its figures are of, and so who may rely on them.
    also
        Further works of the same kind that are named without a figure.
    """

    id: str
    cite: str
    identifier: str
    who: str
    read: HowRead
    found: tuple[Figure, ...]
    also: tuple[str, ...] = ()

    @property
    def values(self) -> tuple[float, ...]:
        """All figures in their order."""
        return tuple(value for figure in self.found for value in figure.value)


@dataclass(frozen=True)
class Constant:
    """The numbers of one place in the code.

    Attributes
    ----------
    at
        Module without the package, and place: "model.css:TRIAL_ERROR".
    sources
        Ids of what it rests on or is argued from.
    rely
        Who may rely on it.
    says
        What it is.
    """

    at: str
    value: tuple[float, ...]
    unit: str
    basis: Basis
    sources: tuple[str, ...]
    rely: str
    says: str


@cache
def _file() -> Mapping[str, list[dict[str, Any]]]:
    return tomllib.loads(files("tracker.model").joinpath("sources.toml").read_text("utf-8"))


def _tuples(raw: Mapping[str, Any]) -> dict[str, Any]:
    return {key: tuple(value) if isinstance(value, list) else value for key, value in raw.items()}


def _source(read: str, found: list[dict[str, Any]], **rest: Any) -> Source:  # noqa: ANN401 - as the file has it
    figures = tuple(Figure(**_tuples(figure)) for figure in found)
    return Source(read=HowRead(read), found=figures, **_tuples(rest))


@cache
def sources() -> Mapping[str, Source]:
    """Return all sources by id."""
    return {raw["id"]: _source(**raw) for raw in _file()["source"]}


@cache
def constants() -> Mapping[str, Constant]:
    """Return the numbers of the code by place."""
    return {
        raw["at"]: Constant(**{**_tuples(raw), "basis": Basis(raw["basis"])}) for raw in _file()["constant"]
    }


def named(ids: Iterable[str]) -> tuple[Source, ...]:
    """Return sources by their ids, each once."""
    return tuple(sources()[one] for one in dict.fromkeys(ids))


def figure(source: str, what: str) -> tuple[float, ...]:
    """Return the figures of a source whose words begin with `what`.

    Raises
    ------
    KeyError
        If there is no such source or figure.
    """
    for one in sources()[source].found:
        if one.what.startswith(what):
            return one.value
    raise KeyError(f"{source}: {what}")
