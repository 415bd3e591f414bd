"""Where numbers come from, in words: what a number rests on, what a source is and how it was read."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final, assert_never

from tracker.model.sources import Basis, Constant, HowRead, Source, named
from tracker.model.units import plain_number

NO_SOURCES: Final = "It rests on the swimmer's own tests alone."


def constant_line(constant: Constant) -> str:
    """Return "pace for each e-fold of distance: 6.5 % (assumption, argued from ...); for anybody."."""
    value = ", ".join(plain_number(one) for one in constant.value)
    unit = f" {constant.unit}" if constant.unit else ""
    cites = "; ".join(one.cite for one in named(constant.sources))
    return f"{constant.says}: {value}{unit} ({_basis(constant.basis, cites)}); for {constant.rely}."


def _basis(basis: Basis, cites: str) -> str:
    match basis:
        case Basis.PUBLISHED:
            return f"from {cites}"
        case Basis.DERIVED:
            return f"derived from {cites}"
        case Basis.ASSUMPTION:
            return f"an assumption, argued from {cites}" if cites else "an assumption"
        case Basis.PRACTICE:
            return "common practice, no source"
        case Basis.DEFINITION:
            return "a definition"
        case other:
            assert_never(other)


def source_line(source: Source) -> str:
    """Return "Lok et al. 2020, Sci Rep 10:16088: 144 Olympic finalists; its abstract was read."."""
    identifier = f", {source.identifier}" if source.identifier else ""
    return f"{source.cite}{identifier}: {source.who}; {_read(source.read)}."


def _read(read: HowRead) -> str:
    match read:
        case HowRead.FULL:
            return "read in full"
        case HowRead.TABLE:
            return "its table was read"
        case HowRead.ABSTRACT:
            return "its abstract was read"
        case HowRead.SECOND_HAND:
            return "read in another source that cites it"
        case HowRead.MEMORY:
            return "from memory"
        case HowRead.DATA:
            return "the data themselves"
        case HowRead.PRACTICE:
            return "what coaches say"
        case other:
            assert_never(other)


def source_lines(constants: Sequence[Constant], sources: Iterable[Source]) -> list[str]:
    """Return a line for each number, then one for each source."""
    return [*map(constant_line, constants), *map(source_line, sources)] or [NO_SOURCES]


def sources_in_short(sources: Sequence[Source]) -> str:
    """Return the publications and data by name alone; empty without any."""
    cites = [one.cite for one in sources if one.read is not HowRead.PRACTICE]
    return f"Figures from outside: {'; '.join(cites)}." if cites else ""
