"""What is believed before a series is seen: built in, or learned from a roster."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

GAINING, FLAT, SLIPPING = 0, 1, 2
"""Order of the three labels and of the three classes, everywhere in this folder."""


@dataclass(frozen=True)
class Priors:
    """Everything a verdict rests on besides the data. Frozen, versioned.

    Attributes
    ----------
    slope_mean, slope_sd : of the gaining, flat and slipping segments, percent per month. The flat sd is a
        share of the band (`flat_share`), so that the band means the same for everyone.
    label_weight : how often a new segment is gaining, flat, slipping (sums to 1; flat never follows flat).
    first_weight : the same for the segment that a record begins in; None for `opening`'s long-run shares.
    hazard : changes per month out of a gaining, flat, slipping segment: one over its mean length. Lengths
        are Erlang-2: a change grows likelier with the age of a segment, for plans last weeks, not days.
    noise, noise_df : typical noise of one ordinary test in percent, and its weight in degrees of freedom.
    slow_day, typing_error : shares of one-sided slow days and of typing errors.
    correlated : hypotheses about the share of variance that neighbouring weeks have in common.
    correlated_weight : their prior probabilities.
    correlation_months : the time constant of that correlation.
    day_share : share of the variance that tests of one day have in common.
    offsets : feature name -> (mean, sd) of its effect on the level, percent.
    noise_ratio : feature name -> factor on the noise of tests with it.
    jump_sd : of the level's jump at a dated event, percent.
    season, season_sd : mean sine and cosine of the year, percent, and how far a series may be from it; sd 0
        is no season at all. The year's phase is that of `t`: 0 is where t is a multiple of 12.
    band : default half-width of "flat", percent per month.
    noise_scales : hypotheses about a series' noise, as factors on the one its tests were read
        with: two points of a normal in its logarithm, one sd to either side.
    version : where these numbers come from.
    """

    slope_mean: tuple[float, float, float] = (0.6, 0.0, -0.6)
    slope_sd: tuple[float, float] = (0.45, 0.8)
    flat_share: float = 0.4
    label_weight: tuple[float, float, float] = (0.42, 0.43, 0.15)
    first_weight: tuple[float, float, float] | None = None
    hazard: tuple[float, float, float] = (0.125, 0.125, 0.125)
    noise: float = 1.5
    noise_df: float = 12.0
    slow_day: float = 0.06
    typing_error: float = 0.01
    correlated: tuple[float, ...] = (0.0, 0.4)
    correlated_weight: tuple[float, ...] = (0.6, 0.4)
    correlation_months: float = 0.75
    day_share: float = 0.5
    offsets: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    noise_ratio: Mapping[str, float] = field(default_factory=dict)
    jump_sd: float = 2.0
    season: tuple[float, float] = (0.0, 0.0)
    season_sd: float = 0.0
    band: float = 0.25
    noise_scales: tuple[float, ...] = (1.15, 0.87)
    version: str = "built-in"

    @property
    def learned(self) -> bool:
        """True where these numbers were learned from a roster."""
        return self.version != "built-in"

    @property
    def opening(self) -> tuple[float, float, float]:
        """How likely a record begins gaining, flat, slipping.

        Records begin at no particular moment, so unless a roster says otherwise these are the shares of
        time that the labels have in the long run: the segments' shares times their mean lengths.
        """
        if self.first_weight is not None:
            return self.first_weight
        gain, flat, slip = self.label_weight
        still = flat / (1.0 + flat)
        moving = (1.0 - still) / (1.0 - flat)
        shares = (gain * moving, still, slip * moving)
        time = [share / hazard for share, hazard in zip(shares, self.hazard, strict=True)]
        return time[0] / sum(time), time[1] / sum(time), time[2] / sum(time)


BUILT_IN = Priors()
