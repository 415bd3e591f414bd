"""Critical swim speed: the slope of distance on time, its intercept and its uncertainty.

The linear model is ``D = D' + CSS * T`` (Wakayoshi et al. 1992, Int J Sports Med 13:367-371).
Distances in metres, times in seconds, speeds in m/s, pace in seconds per 100 m. Plain floats:
a calculator starts without numpy.

What it is: a pace that studies found held for 15 to 40 minutes; what is swum over 30 minutes is
usually 3 to 9 % slower (Scott, Burden & Dekerle, J Hum Kinet 90:239-251; Dekerle et al. 2002, Int J
Sports Med 23:93-98). D' has a typical error of 4 to 9 m (Scott et al.) and only checks the data.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from tracker.errors import TooFewError, UsageError

TRIAL_ERROR = 0.015
"""Typical error of one maximal trial of an adult, as a fraction; assumption, no source for amateurs
(national swimmers: under 2 %, Scott et al.)."""
Z90 = 1.6448536269514722
"""Standard normal quantile of a two-sided 90 % interval."""


@dataclass(frozen=True)
class Css:
    """A critical swim speed with the trials it came from.

    Attributes
    ----------
    speed : float
        CSS, m/s.
    intercept_m : float
        D', metres.
    distances_m, times_s : tuple of float
        The trials, shortest first. CSS values compare only over the same distances.
    r2 : float or None
        Share of variance explained; None for two trials, where it is 1 by construction.
    """

    speed: float
    intercept_m: float
    distances_m: tuple[float, ...]
    times_s: tuple[float, ...]
    r2: float | None

    @property
    def pace(self) -> float:
        """Seconds per 100 m."""
        return 100.0 / self.speed


def critical_speed(distances_m: Sequence[float], times_s: Sequence[float]) -> Css:
    """Return the CSS of two trials (the line through them) or of more (least squares of D on T).

    Parameters
    ----------
    distances_m, times_s
        One trial each, in any order.

    Raises
    ------
    TooFewError
        With fewer than two different distances.
    UsageError
        If a longer distance did not take longer, so that no speed can be drawn from them.
    """
    if len(set(distances_m)) < 2:
        raise TooFewError(
            "critical swim speed needs trials over two different distances, such as 400 and 200 m"
        )
    trials = sorted(zip(distances_m, times_s, strict=True))
    for (short, sooner), (long, later) in pairwise(trials):
        if long > short and later <= sooner:
            raise UsageError(
                f"{long:g} m in {later:g} s is no longer than {short:g} m in {sooner:g} s; "
                "check the times and their order"
            )
    distances, times = [d for d, _ in trials], [t for _, t in trials]
    mean_d, mean_t = math.fsum(distances) / len(trials), math.fsum(times) / len(trials)
    across = math.fsum((t - mean_t) * (d - mean_d) for d, t in trials)
    along = math.fsum((t - mean_t) ** 2 for t in times)
    up = math.fsum((d - mean_d) ** 2 for d in distances)
    slope = across / along
    return Css(
        speed=slope,
        intercept_m=mean_d - slope * mean_t,
        distances_m=tuple(distances),
        times_s=tuple(times),
        r2=None if len(trials) == 2 else across**2 / (along * up),
    )


def critical_rate(cycles: Sequence[float], times_s: Sequence[float]) -> float:
    """Return the critical stroke rate in cycles/min: the slope of cycles on time (Dekerle et al. 2002).

    Raises
    ------
    TooFewError
        With fewer than two different times.
    """
    if len(set(times_s)) < 2:
        raise TooFewError("a critical stroke rate needs counts of two swims of different length")
    mean_n, mean_t = math.fsum(cycles) / len(cycles), math.fsum(times_s) / len(times_s)
    across = math.fsum((t - mean_t) * (n - mean_n) for n, t in zip(cycles, times_s, strict=True))
    return 60.0 * across / math.fsum((t - mean_t) ** 2 for t in times_s)


def pace_error(
    css: Css, trial_error: float | Sequence[float] = TRIAL_ERROR, correlation: float = 0.0
) -> float:
    """Return the standard error of the CSS pace, seconds per 100 m.

    First-order propagation of the trials' errors through the slope; for 400 + 200 m it is
    ``sqrt((c*T400)^2 + (c*T200)^2 - 2*rho*c^2*T400*T200) / 2``.

    Parameters
    ----------
    trial_error
        Typical error of a trial as a fraction of its time; one for all, or one each, shortest first.
    correlation
        Between the errors of two trials: 0 on separate days, about 0.5 on one day (assumption).
    """
    count = len(css.times_s)
    errors = [trial_error] * count if isinstance(trial_error, int | float) else list(trial_error)
    mean_d, mean_t = math.fsum(css.distances_m) / count, math.fsum(css.times_s) / count
    along = math.fsum((t - mean_t) ** 2 for t in css.times_s)
    parts = [
        ((d - mean_d) - 2.0 * css.speed * (t - mean_t)) / along * error * t
        for d, t, error in zip(css.distances_m, css.times_s, errors, strict=True)
    ]
    variance = (1.0 - correlation) * math.fsum(p * p for p in parts) + correlation * math.fsum(parts) ** 2
    return 100.0 * math.sqrt(variance) / css.speed**2


def pace_interval(
    css: Css, trial_error: float | Sequence[float] = TRIAL_ERROR, correlation: float = 0.0
) -> tuple[float, float]:
    """Return the 90 % interval of the CSS pace (fastest, slowest), seconds per 100 m; never below zero."""
    half = Z90 * pace_error(css, trial_error, correlation)
    return max(css.pace - half, 0.0), css.pace + half


SET_DISTANCES: tuple[int, ...] = (50, 100, 200, 300, 400)
SET_RESTS_S: tuple[int, ...] = (10, 20, 30)


@dataclass(frozen=True)
class SetPace:
    """What to swim over one distance at CSS, and when to leave again.

    Attributes
    ----------
    time_s : float
        Time for the distance.
    send_offs_s : tuple of float
        The interval from start to start for each rest asked for.
    """

    distance_m: float
    time_s: float
    send_offs_s: tuple[float, ...]


def set_paces(
    pace: float,
    distances_m: Sequence[float] = SET_DISTANCES,
    rests_s: Sequence[float] = SET_RESTS_S,
    step_s: float = 5.0,
) -> tuple[SetPace, ...]:
    """Return times and send-offs at a CSS pace.

    A send-off is the time plus at least the rest, rounded up to the next `step_s`, as a pace
    clock is read (common practice, no source).

    Parameters
    ----------
    pace
        Seconds per 100 m.
    """
    rows = []
    for distance in distances_m:
        time = pace * distance / 100.0
        offs = tuple(step_s * math.ceil(round((time + rest) / step_s, 9)) for rest in rests_s)
        rows.append(SetPace(distance, time, offs))
    return tuple(rows)
