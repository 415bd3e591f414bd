"""One who knows the stationary world: its laws of spells, rates and errors, and each swimmer's noise.

A particle filter: each particle is a whole life drawn from the world's own generator, weighted by how well it
foretells the tests. What it cannot tell at a date, nobody can from the tests up to that date.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.stats import norm
from scipy.stats import t as student

from tests.simulate.scoring import BAND
from tests.simulate.seasons import Season
from tests.simulate.stationary import FLAT, GAINING, SHORTEST, SLIPPING, World, class_of
from tests.validation.tally import Floats
from tracker.model.units import DAYS_PER_MONTH

PARTICLES = 30_000
LAWS = 3
"""Normal, t with 4 df, one-sided slow days: `seasons.errors_of`."""
GRID = np.linspace(-14.0, 10.0, 2401)


def densities() -> Floats:
    """Return (3, G) the densities of the three laws of errors on `GRID`, in units of a swimmer's noise."""
    slow = np.linspace(-8, 14, 1101)
    weight = norm.pdf(slow, 2.5, 1.0) * (slow[1] - slow[0])
    late = (norm.pdf((GRID[:, None] + np.abs(slow)) / 0.9) / 0.9) @ weight
    return np.stack([
        norm.pdf(GRID),
        student.pdf(GRID * np.sqrt(2.0), 4) * np.sqrt(2.0),
        0.88 * norm.pdf(GRID / 0.9) / 0.9 + 0.12 * late,
    ])  # fmt: skip


@dataclass(frozen=True)
class Knows:
    """What the oracle says of a swimmer's present rate: three probabilities, 5 and 95 % points."""

    p: Floats
    low: float
    high: float


@dataclass
class Particles:
    """N lives at one date: the spell they are in, and everything that lasts.

    `left` counts the days that the rate still lasts, that of the date included; `age` those it has lasted.
    """

    world: World
    rng: np.random.Generator
    usual: Floats
    mean: Floats
    label: np.ndarray
    rate: Floats
    left: np.ndarray
    age: np.ndarray
    level: Floats
    law: np.ndarray
    share: Floats
    months: Floats
    shared: Floats

    @classmethod
    def born(cls, rng: np.random.Generator, world: World, size: int) -> Particles:
        """Draw lives on the day of the first test."""
        some = rng.random(size) < world.correlated
        lives = cls(
            world, rng, rng.uniform(*world.gain, size), rng.uniform(*world.spell, size) * DAYS_PER_MONTH,
            np.zeros(size, np.int64), np.zeros(size), np.zeros(size, np.int64), np.zeros(size, np.int64),
            np.zeros(size), rng.integers(LAWS, size=size), np.where(some, rng.uniform(0.3, 0.5, size), 0.0),
            rng.uniform(0.5, 1.5, size), rng.normal(size=size),
        )  # fmt: skip
        every = np.arange(size)
        lives._begin(every, np.searchsorted(np.cumsum(world.shares)[:2], rng.random(size), side="right"))
        return lives

    def _begin(self, rows: np.ndarray, label: np.ndarray) -> None:
        """Begin a new spell in some lives."""
        rng, world = self.rng, self.world
        share = rng.uniform(*world.around, rows.size)
        gains = np.clip(self.usual[rows] * share, world.slowest, world.fastest)
        slips = -rng.uniform(*world.slip, rows.size)
        flat = rng.normal(0, world.flat, rows.size)
        self.label[rows] = label
        self.rate[rows] = np.select([label == GAINING, label == FLAT], [gains, flat], slips)
        self.left[rows] = np.maximum(SHORTEST, rng.exponential(self.mean[rows]).astype(np.int64))
        self.age[rows] = 0

    def go_on(self, days: int) -> None:
        """Live on for so many days."""
        keep = np.exp(-days / DAYS_PER_MONTH / self.months)
        self.shared = keep * self.shared + np.sqrt(1 - keep**2) * self.rng.normal(size=keep.size)
        rows, ahead = np.arange(keep.size), np.full(keep.size, days)
        while rows.size:
            step = np.minimum(self.left[rows], ahead)
            self.level[rows] += self.rate[rows] * step / DAYS_PER_MONTH
            self.left[rows] -= step
            self.age[rows] += step
            ahead -= step
            ended = self.left[rows] == 0
            rows, ahead = rows[ended], ahead[ended]
            before = self.label[rows]
            draw = self.rng.random(rows.size)
            after_flat = np.where(draw < self.world.after_flat[0], GAINING, SLIPPING)
            other = np.searchsorted(np.cumsum(self.world.shares)[:2], draw, side="right")
            self._begin(rows, np.where(before == FLAT, after_flat, other))

    def chosen(self, rows: np.ndarray) -> None:
        """Keep these lives, some more than once; how long the spell lasts is drawn anew, as it may be."""
        for name in (
            "usual", "mean", "label", "rate", "left", "age", "level", "law", "share", "months", "shared",
        ):  # fmt: skip
            setattr(self, name, getattr(self, name)[rows])
        old = self.age > SHORTEST
        self.left[old] = 1 + self.rng.exponential(self.mean[old]).astype(np.int64)


DENSITIES = densities()


def asked(rng: np.random.Generator, world: World, swimmer: Season, particles: int = PARTICLES) -> Knows:
    """Return what the oracle knows of a swimmer at the last test; time counted from the first test."""
    lives = Particles.born(rng, world, particles)
    day = np.round(swimmer.t * DAYS_PER_MONTH).astype(np.int64)
    own = _own_errors(rng, lives.law)
    lives.level = swimmer.y[0] - swimmer.noise * (
        np.sqrt(1 - lives.share) * own + np.sqrt(lives.share) * lives.shared
    )
    weight = np.full(particles, 1.0 / particles)
    for gap, y in zip(np.diff(day), swimmer.y[1:], strict=True):
        lives.go_on(int(gap))
        own_part = np.sqrt(1 - lives.share)
        error = ((y - lives.level) / swimmer.noise - np.sqrt(lives.share) * lives.shared) / own_part
        weight *= _density(lives.law, error) / own_part
        weight /= weight.sum()
        if 1.0 / (weight**2).sum() < 0.5 * particles:
            steps = (rng.random() + np.arange(particles)) / particles
            lives.chosen(np.minimum(np.searchsorted(weight.cumsum(), steps), particles - 1))
            weight = np.full(particles, 1.0 / particles)
    p = np.bincount(class_of(lives.rate, BAND), weight, 3)
    order = np.argsort(lives.rate)
    low, high = np.searchsorted(weight[order].cumsum(), [0.05, 0.95])
    ordered = lives.rate[order]
    return Knows(p, float(ordered[low]), float(ordered[min(high, particles - 1)]))


def _density(law: np.ndarray, error: Floats) -> Floats:
    place = np.clip((error - GRID[0]) / (GRID[1] - GRID[0]), 0, GRID.size - 1.001)
    whole = place.astype(np.int64)
    part = place - whole
    between = (1 - part) * DENSITIES[law, whole] + part * DENSITIES[law, whole + 1]
    return np.asarray(np.maximum(between, 1e-12))


def _own_errors(rng: np.random.Generator, law: np.ndarray) -> Floats:
    size = law.size
    slow = rng.random(size) < 0.12
    late = rng.normal(size=size) * 0.9 - slow * np.abs(rng.normal(2.5, 1.0, size))
    return np.select(
        [law == 0, law == 1], [rng.normal(size=size), rng.standard_t(4, size) / np.sqrt(2)], late
    )
