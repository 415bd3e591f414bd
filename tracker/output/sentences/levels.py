"""Sentences on the levels of the words and the rates of false ones."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from tracker.engine.trend.error_rates import SHARED, ErrorRates
from tracker.engine.verdict.levels import HELD
from tracker.output.sentences.numbers import number
from tracker.remedies import ApplyLevels, Wording


@dataclass(frozen=True)
class Declared:
    """False words of each kind a swimmer-year that are put up with: plain, and with correlated weeks."""

    plain: float
    correlated: float


def levels_lines(rates: ErrorRates, declared: Declared, wording: Wording, *, applied: bool) -> list[str]:
    """Return the rates at each level, the conditions, and the levels that keep the declared rates."""
    lines = ["False words a swimmer-year, plain and with correlated weeks, by the probability that it takes:"]
    for place, word in enumerate(HELD):
        lines += [
            f"{word} from {level:.2f}: {rates.plain[place, at]:.3f} and {rates.correlated[place, at]:.3f}"
            for at, level in enumerate(rates.levels)
        ]
    chosen = rates.enter(declared.plain, declared.correlated)
    levels = ", ".join(f"{word} {level:.2f}" for word, level in zip(HELD, chosen, strict=True))
    said = f"For at most {declared.plain:g} and {declared.correlated:g} of each kind: {levels}."
    lines.append(f"{said} They are now in the settings." if applied else wording.after(said, ApplyLevels()))
    lines.append(
        f"Conditions: {rates.swimmers} simulated swimmers gaining steadily at {number(rates.gain)} % a month "
        f"(twice the margin) and as many standing still, on this roster's test dates and with its noise, "
        f"{number(rates.years, 0)} swimmer-years each, looked at every week; one event more or less is "
        f"{rates.error:.3f}. Correlated: neighbouring weeks share {100 * SHARED:.0f} % of the variance."
    )
    return lines


def levels_json(rates: ErrorRates, declared: Declared, *, applied: bool) -> dict[str, Any]:
    """Return the same as JSON."""
    chosen = rates.enter(declared.plain, declared.correlated)
    return {
        "schema": 1,
        "declared": declared.plain,
        "declared_correlated": declared.correlated,
        "words": {
            word: {
                "chosen": chosen[place],
                "levels": [
                    {"level": level, "false_per_swimmer_year": float(rates.plain[place, at]),
                     "correlated": float(rates.correlated[place, at])}
                    for at, level in enumerate(rates.levels)
                ],
            }
            for place, word in enumerate(HELD)
        },
        "error": rates.error,
        "applied": applied,
        "gain_pct_per_month": rates.gain,
        "swimmers": rates.swimmers,
        "swimmer_years": rates.years,
        "look_every_days": 7,
    }  # fmt: skip
