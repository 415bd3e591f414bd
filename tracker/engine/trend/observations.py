"""The input of the trend: a padded batch of dated levels, one row a series.

Conventions for the whole folder: time `t` in months (days / 30.4375), level `y` in percent with up = better
(`-100 * ln(pace)`), slopes in percent per month, a series in time order, padding at the right end of each
row.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tracker.errors import UsageError

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]


class InfeasibleError(UsageError):
    """A series no trend can be read from as it stands; the message says which and how to mend it."""


@dataclass(frozen=True)
class Observations:
    """A batch of S series padded to N rows each.

    Attributes
    ----------
    t, y : (S, N) months and percent; the padding repeats the row's last values.
    weight : (S, N) relative inverse variance, 1 = an ordinary test, 0 = padding.
    kind : (S, N) code of the protocol, course and suit of a test: a row of `design`.
    count : (S,) rows in use.
    design : (K, P) what each kind is made of, e.g. columns "t200", "LCM", "wetsuit". Kind 0 is usually all
        zeros.
    features : P names of the design's columns; `Priors.offsets` is keyed by them.
    jumps : (S, J) times of dated events at which the level may jump, padded with NaN.
    plain : (K,) numbers of the kinds with what only came along left out (an hour, a taper): the commonest of
        these is a series' reference. Empty where each kind is one of its own.

    Rows of equal `t` are one day: they share the day's form and count for less than as many days would.
    """

    t: Floats
    y: Floats
    weight: Floats
    kind: Ints
    count: Ints
    design: Floats = field(default_factory=lambda: np.zeros((1, 0)))
    features: tuple[str, ...] = ()
    jumps: Floats = field(default_factory=lambda: np.zeros((0, 0)))
    plain: Ints = field(default_factory=lambda: np.zeros(0, np.int64))

    def __len__(self) -> int:
        return int(self.t.shape[0])

    def take(self, rows: slice | Ints | Sequence[int]) -> Observations:
        """Return the batch of the given series, padded no further than they need."""
        pick = rows if isinstance(rows, slice) else np.asarray(rows, np.int64)
        count = self.count[pick]
        width = int(count.max(initial=1))
        return Observations(
            self.t[pick, :width],
            self.y[pick, :width],
            self.weight[pick, :width],
            self.kind[pick, :width],
            count,
            self.design,
            self.features,
            self.jumps[pick] if self.jumps.size else np.zeros((count.size, 0)),
            self.plain,
        )

    def reference(self) -> Ints:
        """Return (S,) the commonest kind of each series among the kinds of its commonest plain one."""
        series, kinds = len(self), self.design.shape[0]
        used = np.arange(self.t.shape[1]) < self.count[:, None]
        cell = self.kind + kinds * np.arange(series)[:, None]
        tally = np.bincount(cell.ravel(), used.ravel().astype(float), kinds * series).reshape(series, kinds)
        if self.plain.size:
            together = np.zeros((series, int(self.plain.max()) + 1))
            np.add.at(together.T, self.plain, tally.T)
            tally = np.where(self.plain == together.argmax(axis=1)[:, None], tally, -1.0)
        return np.asarray(tally.argmax(axis=1))

    def until(self, count: ArrayLike) -> Observations:
        """Return the same series cut after their first `count` (S,) rows: what was known earlier."""
        keep = np.minimum(np.asarray(count, np.int64), self.count)
        if (keep < 1).any():
            raise InfeasibleError("a series cut to no tests at all: keep at least one")
        column = np.minimum(np.arange(self.t.shape[1])[None, :], keep[:, None] - 1)
        used = np.arange(self.t.shape[1])[None, :] < keep[:, None]
        cut = Observations(
            np.take_along_axis(self.t, column, 1),
            np.take_along_axis(self.y, column, 1),
            np.where(used, self.weight, 0.0),
            np.take_along_axis(self.kind, column, 1),
            keep,
            self.design,
            self.features,
            self.jumps,
            self.plain,
        )
        return cut.take(slice(None))


def observations_from_lists(  # noqa: PLR0913 - one keyword a column of the batch
    t: Sequence[ArrayLike],
    y: Sequence[ArrayLike],
    *,
    weight: Sequence[ArrayLike] | None = None,
    kind: Sequence[ArrayLike] | None = None,
    jumps: Sequence[ArrayLike] | None = None,
    design: ArrayLike | None = None,
    features: Sequence[str] = (),
    plain: ArrayLike = (),
) -> Observations:
    """Pad ragged series into a batch.

    Parameters
    ----------
    t, y : one array a series, equal lengths, `t` never decreasing.
    weight : relative inverse variances (default: all 1).
    kind : codes into the rows of `design` (default: all 0).
    jumps : times of dated events per series at which its level may jump.
    design, features : (K, P) matrix and its P column names. Without them a kind k > 0 gets its own column
        "kind k".
    plain : (K,) number of each kind without what only came along (default: each is one of its own).

    Raises
    ------
    InfeasibleError
        If a series is empty, unsorted, not finite, of unequal lengths or with weights that aren't positive.
    """
    rows = len(t)
    if rows == 0 or len(y) != rows:
        raise InfeasibleError(f"{rows} series of times but {len(y)} of levels: give one of each a series")
    counts = np.array([np.size(a) for a in t], np.int64)
    if counts.min() == 0:
        raise InfeasibleError(f"series {int(counts.argmin())}: no tests in it: leave it out")
    time = _padded("t", t, counts)
    if (np.diff(time, axis=1) < 0).any():
        worst = int((np.diff(time, axis=1) < 0).any(axis=1).argmax())
        raise InfeasibleError(f"series {worst}: times go backwards: sort the tests by date")
    used = np.arange(time.shape[1]) < counts[:, None]
    inverse: Floats = used.astype(np.float64)
    if weight is not None:
        inverse = np.where(used, _padded("weight", weight, counts), 0.0)
    if (inverse[used] <= 0).any():
        raise InfeasibleError("a weight is not a positive number: leave that test out")
    code = np.zeros(time.shape, np.int64)
    if kind is not None:
        code = _padded("kind", kind, counts).astype(np.int64)
    matrix, names = _design(design, tuple(features), int(code.max()) + 1)
    if code.min() < 0 or code.max() >= matrix.shape[0]:
        raise InfeasibleError(f"kinds 0..{int(code.max())} do not fit a design of {matrix.shape[0]} kinds")
    return Observations(
        time, _padded("y", y, counts), inverse, code, counts, matrix, names, _padded_jumps(jumps, rows),
        np.asarray(plain, np.int64),
    )  # fmt: skip


def _padded(name: str, lists: Sequence[ArrayLike], counts: Ints) -> Floats:
    """Return (S, N), each row continued with its last value."""
    out = np.zeros((counts.size, int(counts.max())))
    for i, values in enumerate(lists):
        row, n = np.asarray(values, float), int(counts[i])
        if row.shape != (n,):
            raise InfeasibleError(f"series {i}: {name} has {row.size} values where t has {n}")
        out[i, :n], out[i, n:] = row, row[-1]
    if not np.isfinite(out).all():
        worst = int((~np.isfinite(out)).any(axis=1).argmax())
        raise InfeasibleError(f"series {worst}: {name} has a value that is not finite: leave that test out")
    return out


def _design(design: ArrayLike | None, names: tuple[str, ...], kinds: int) -> tuple[Floats, tuple[str, ...]]:
    if design is None:
        return np.eye(kinds)[:, 1:], tuple(f"kind {k}" for k in range(1, kinds))
    matrix = np.atleast_2d(np.asarray(design, float))
    if matrix.shape[1] != len(names):
        raise InfeasibleError(
            f"{len(names)} features do not name the {matrix.shape[1]} columns of the design"
        )
    return matrix, names


def _padded_jumps(jumps: Sequence[ArrayLike] | None, rows: int) -> Floats:
    if jumps is None:
        return np.zeros((rows, 0))
    lists = [np.asarray(a, float).ravel() for a in jumps]
    padded = np.full((rows, max((a.size for a in lists), default=0)), np.nan)
    for i, times in enumerate(lists):
        padded[i, : times.size] = times
    return padded
