"""How good anybody could be: the same swimmers at the same dates given to one who knows the generator."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from tests.simulate.seasons import Season
from tests.simulate.stationary import STATIONARY
from tests.validation.dated import SEEDS, Truth, dated, size_of, truth_of
from tests.validation.oracle import PARTICLES, asked
from tests.validation.part import Part, Scale
from tests.validation.random_dates import (
    ROUND,
    calibration_error,
    covered,
    log_loss,
    mean_shown,
    right_of,
    said_at,
)
from tests.validation.table import Table
from tests.validation.tally import Floats, share, shown

SIZE = 300
FEW = 4
"""By what the particles are fewer in the check whether they are enough."""
SINCE = (0.0, 8.7, 26.0, np.inf)
"""Weeks since the class last changed; 8.7 weeks are two months."""
SINCE_NAMES = ("in the last two months", "2-6 months ago", "longer ago or never")


@dataclass(frozen=True)
class Told:
    """What one says of all: probabilities (S, 3), and whether the interval holds the true rate."""

    p: Floats
    held: np.ndarray


def run(scale: Scale) -> Part:
    """Ask oracle and tool about the first swimmers of the stationary roster."""
    size = scale.of(SIZE, 6)
    roster = dated("stationary", size_of("stationary", scale))
    swimmers = roster.swimmers[:size]
    truth = truth_of(swimmers)
    particles = PARTICLES // (10 if scale.quick else 1)
    told = {f"oracle, {n} particles": oracle(swimmers, truth, n) for n in (particles // FEW, particles)}
    best = log_loss(told[f"oracle, {particles} particles"].p, truth.now)
    held = covered(roster, truth_of(roster.swimmers))[:size]
    told["slackwater, priors learned"] = Told(roster.case.answer.p[:size], held)
    table = Table(
        "ceiling",
        "The stationary world at a random date: one who knows the generator, and the tool",
        f"The first {size} swimmers of the stationary roster. The oracle is a particle filter "
        "(tests/validation/oracle.py) that knows the laws of spells, rates and errors, and each swimmer's "
        "noise, which the tool does not; the row with fewer particles shows whether they are enough. Right: "
        f"of those whose likeliest class has at least {ROUND:.2f}, in brackets how many. Loss above: paired, "
        "against the oracle with most particles. The class is inside, above or below the band.",
        ("who", "log loss", "loss above the oracle's", "calibration error", "90 % interval covers",
         f"P >= {ROUND:.2f}", "right at it", *(f"right, change {name}" for name in SINCE_NAMES),
         *(f"interval covers, change {name}" for name in SINCE_NAMES)),
        tuple((name, *_cells(one, truth, best)) for name, one in told.items()),
    )  # fmt: skip
    return Part((table,))


def oracle(swimmers: list[Season], truth: Truth, particles: int) -> Told:
    """Ask the oracle about all swimmers."""
    rng = np.random.default_rng((SEEDS["stationary"], particles))
    known = [asked(rng, STATIONARY, s, particles) for s in swimmers]
    held = np.array([k.low <= rate <= k.high for k, rate in zip(known, truth.rate, strict=True)])
    return Told(np.array([k.p for k in known]), held)


def _cells(told: Told, truth: Truth, best: Floats) -> tuple[str, ...]:
    said = said_at(told.p, ROUND)
    loss = log_loss(told.p, truth.now)
    ages = [(truth.weeks >= low) & (truth.weeks < high) for low, high in pairwise(SINCE)]
    ages[-1] |= np.isinf(truth.weeks)
    return (
        mean_shown(loss),
        mean_shown(loss - best) if (loss != best).any() else "",
        f"{calibration_error(told.p, truth.now):.3f}",
        shown(share(told.held)),
        shown(share(said >= 0)),
        shown(right_of(said, truth.now)),
        *(f"{shown(right_of(said[r], truth.now[r]), 2)} ({int((said[r] >= 0).sum())})" for r in ages),
        *(shown(share(told.held[r]), 2) for r in ages),
    )
