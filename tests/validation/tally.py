"""Counts to figures: each share and each rate with its Monte-Carlo standard error."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Share:
    """`hits` of `of`; the error stays above zero for none and for all (half a count is added)."""

    hits: int
    of: int

    @property
    def value(self) -> float:
        return self.hits / self.of if self.of else float("nan")

    @property
    def error(self) -> float:
        if not self.of:
            return float("nan")
        p = (self.hits + 0.5) / (self.of + 1)
        return float(np.sqrt(p * (1 - p) / self.of))


@dataclass(frozen=True)
class Rate:
    """`events` in so many swimmer-years; Poisson error, as of one event where there was none."""

    events: int
    years: float

    @property
    def value(self) -> float:
        return self.events / self.years if self.years else float("nan")

    @property
    def error(self) -> float:
        return float(np.sqrt(max(self.events, 1)) / self.years) if self.years else float("nan")


def share(hits: ArrayLike) -> Share:
    """Count the true ones."""
    rows = np.asarray(hits, bool)
    return Share(int(rows.sum()), int(rows.size))


def resampled(rng: np.random.Generator, size: int, figure, draws: int = 200) -> float:
    """Return the bootstrap error of `figure(rows)` over `size` swimmers; draws that give NaN are left out."""
    return spread([figure(rng.integers(0, size, size)) for _ in range(draws)])


def spread(values: list[float]) -> float:
    """Return the standard deviation of the finite ones; NaN of fewer than two."""
    finite = np.asarray(values)[np.isfinite(values)]
    return float(finite.std(ddof=1)) if finite.size > 1 else float("nan")


def median_error(values: Floats) -> float:
    """Return the error of a median, from the distribution-free 68 % interval of its rank."""
    if values.size < 3:
        return float("nan")
    half = 0.5 * np.sqrt(values.size)
    ranks = np.clip([values.size / 2 - half, values.size / 2 + half], 0, values.size - 1).astype(int)
    low, high = np.sort(values)[ranks]
    return float((high - low) / 2)


def plus_minus(value: float, error: float, digits: int = 3) -> str:
    """Return "0.123 ± 0.004"; a dash where nothing was counted."""
    if not np.isfinite(value):
        return "–"
    return f"{value:.{digits}f} ± {error:.{digits}f}" if np.isfinite(error) else f"{value:.{digits}f}"


def shown(figure: Share | Rate, digits: int = 3) -> str:
    """Return a figure with its error."""
    return plus_minus(figure.value, figure.error, digits)
