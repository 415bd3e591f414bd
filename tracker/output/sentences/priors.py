"""Sentences on the priors that were learned from the roster."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

from tracker.engine.series.protocols import in_yards
from tracker.output.sentences.numbers import count, number

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tracker.engine.trend.priors import Priors
    from tracker.engine.verdict.judge import PriorsReport


NORMAL_95: Final = 1.96
CAVEAT: Final = (
    "The mixed model draws one straight line a swimmer, so it knows no plateaus and its errors are too small "
    "where progress comes and goes. It is a second opinion; no verdict rests on it."
)


def priors_lines(report: PriorsReport) -> list[str]:
    """Return what verdicts rest on, a line a thing, then the second opinion."""
    priors = report.learned.priors
    gain, flat, slip = priors.label_weight
    opens = priors.opening
    lines = [
        _origin(priors),
        f"gaining: usually {_rate(priors.slope_mean[0], priors.slope_sd[0])}",
        f"slipping: usually {_rate(priors.slope_mean[2], priors.slope_sd[1])}",
        f"flat: within {number(report.band)} % a month, most within "
        f"{number(2 * priors.flat_share * report.band)}",
        f"what follows a moving stretch is gaining {_percent(gain)}, flat {_percent(flat)}, "
        f"slipping {_percent(slip)}",
        f"a record begins gaining {_percent(opens[0])}, flat {_percent(opens[1])}, slipping "
        f"{_percent(opens[2])}",
        "a stretch lasts on average {} months gaining, {} flat, {} slipping".format(
            *(number(1 / hazard, 1) for hazard in priors.hazard)
        ),
        f"one ordinary test: {number(priors.noise)} %; slow days {_percent(priors.slow_day)}, mistyped "
        f"{_percent(priors.typing_error)}",
        *(
            f"{in_yards(name)}: {_signed(mean)} % beside {in_yards(report.learned.reference.protocol)}"
            f" {report.learned.reference.course}, {number(sd)} from swimmer to swimmer"
            for name, (mean, sd) in priors.offsets.items()
        ),
    ]
    return [*lines, *_opinion_lines(report)]


def priors_json(report: PriorsReport) -> dict[str, Any]:
    """Return the same as JSON; rates and effects in percent, each with its spread where there is one."""
    priors, opinion = report.learned.priors, report.opinion
    found: dict[str, Any] = {
        "schema": 1,
        "from": priors.version,
        "learned": priors.learned,
        "gaining_pct_per_month": _rounded(priors.slope_mean[0], priors.slope_sd[0]),
        "slipping_pct_per_month": _rounded(priors.slope_mean[2], priors.slope_sd[1]),
        "new_stretch": _rounded(*priors.label_weight),
        "record_begins": _rounded(*priors.opening),
        "months_of_a_stretch": _rounded(*(1 / hazard for hazard in priors.hazard)),
        "noise_pct": round(priors.noise, 4),
        "slow_days": round(priors.slow_day, 4),
        "mistyped": round(priors.typing_error, 4),
        "offsets_pct": {name: _rounded(*pair) for name, pair in priors.offsets.items()},
        "second_opinion": None,
    }
    if opinion is not None:
        effects = zip(opinion.names, opinion.effect, opinion.error, strict=True)
        found["second_opinion"] = {
            "swimmers": report.swimmers,
            "rate_pct_per_month": _rounded(opinion.rate, opinion.rate_error),
            "rate_spread": round(opinion.spread, 4),
            "rate_spread_low": round(opinion.spread_low, 4),
            "rate_spread_high": round(opinion.spread_high, 4),
            "rate_here": round(_mean_rate(priors), 4),
            "offsets_pct": {name: _rounded(float(effect), float(error)) for name, effect, error in effects},
        }
    return found


def _rounded(*values: float) -> list[float]:
    return [round(value, 4) for value in values]


def _opinion_lines(report: PriorsReport) -> Iterator[str]:
    opinion, priors = report.opinion, report.learned.priors
    if opinion is None:
        yield f"No second opinion: {report.missing}."
        return
    yield f"Second opinion, a mixed model of {count(report.swimmers, 'swimmer')}:"
    beside = _beside(_mean_rate(priors), opinion.rate, _doubt(report, opinion.rate_error, priors.slope_sd[0]))
    yield (
        f"rate: {_signed(opinion.rate)} % a month (error {number(opinion.rate_error)}, "
        f"{number(opinion.spread)} from swimmer to swimmer, 90 % interval {number(opinion.spread_low)} to "
        f"{number(opinion.spread_high)}); {beside}"
    )
    for name, effect, error in zip(opinion.names, opinion.effect, opinion.error, strict=True):
        here, spread = priors.offsets.get(name, (None, 0.0))
        beside = (
            "nothing is known of it here"
            if here is None
            else _beside(here, effect, _doubt(report, error, spread))
        )
        yield f"{in_yards(name)}: {_signed(effect)} % (error {number(error)}); {beside}"
    yield CAVEAT


def _origin(priors: Priors) -> str:
    if priors.learned:
        rest_on = f"Verdicts rest on what the roster taught: {priors.version}, up to the first of the month."
    else:
        rest_on = "Verdicts rest on what is built in: a roster teaches from 30 swimmers on."
    return f"{rest_on} + is faster."


def _mean_rate(priors: Priors) -> float:
    """Return the rate that a record begins with on average: that of a moment taken at random."""
    means = (priors.slope_mean[0], 0.0, priors.slope_mean[2])
    return sum(share * mean for share, mean in zip(priors.opening, means, strict=True))


def _doubt(report: PriorsReport, error: float, spread: float) -> float:
    """Return the error of the difference; what is built in is as doubtful as it spreads."""
    own = spread / math.sqrt(max(report.swimmers, 1)) if report.learned.priors.learned else spread
    return math.hypot(error, own)


def _beside(here: float, there: float, doubt: float) -> str:
    agree = abs(here - there) <= NORMAL_95 * doubt
    return f"{_signed(here)} here: {'they agree' if agree else 'they differ by more than chance explains'}"


def _rate(mean: float, sd: float) -> str:
    return f"{_signed(mean)} % a month, give or take {number(sd)}"


def _signed(value: float) -> str:
    text = number(value)
    return text if text.startswith("-") or text == "0" else f"+{text}"


def _percent(share: float) -> str:
    return f"{number(100 * share, 1 if share < 0.1 else 0)} %"
