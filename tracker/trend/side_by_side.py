"""The same series several times over in one batch: what is computed of each hypothesis takes the same calls.

Everything here has the series on the last axis of every array.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, replace
from typing import TypeVar

import numpy as np

from tracker.trend.grid import Grid, Sums
from tracker.trend.recursion import Rules

Part = TypeVar("Part")


def joined(sums: Sequence[Sums]) -> Sums:
    """Return the sums of all, one batch after the other."""
    return Sums(*(np.concatenate([getattr(one, f.name) for one in sums], axis=-1) for f in fields(Sums)))


def repeated(grid: Grid, rules: Rules, times: int) -> tuple[Grid, Rules]:
    """Return grid and rules for the same series as often."""
    wide = Grid(*(np.tile(getattr(grid, f.name), times) for f in fields(Grid)))
    return wide, replace(rules, mean=np.tile(rules.mean, times), precision=np.tile(rules.precision, times))


def parted(whole: Part, parts: int) -> list[Part]:
    """Return what belongs to each of the batches that were joined; nothing is copied."""
    return [_part(whole, i, parts) for i in range(parts)]


def _part(whole: Part, number: int, parts: int) -> Part:
    if isinstance(whole, np.ndarray):
        size = whole.shape[-1] // parts
        return whole[..., number * size : (number + 1) * size]  # type: ignore[return-value]
    own = [_part(getattr(whole, f.name), number, parts) for f in fields(whole)]  # type: ignore[arg-type]
    return type(whole)(*own)
