"""What age alone does to pace, and how likely a swimmer does more than that.

Under 18 swimmers gain by growing: "faster than age alone?" Over 40 they lose: "slower than age alone?"
Between 18 and 40, below 8 and above 100 there is no yardstick. Rates here are percent per year, + is faster.
"""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final, Literal, assert_never

Sex = Literal["", "f", "m"]
"""Empty where it is not on record: then the mixture of both is taken, half and half."""

YOUNGEST: Final = 8
GROWN: Final = 18
AGEING: Final = 40
OLDEST: Final = 100
"""Years of age. Growth is asked about from `YOUNGEST` to `GROWN`, decline from `AGEING` to `OLDEST`."""
MID_YEAR: Final = 183
"""The day of the year taken as birthday."""

GROWTH: Final = (
    (13, (5.0, 3.0), (5.0, 3.0)),
    (16, (2.0, 1.5), (3.5, 2.0)),
    (GROWN, (1.0, 1.0), (2.0, 1.5)),
)
"""Below this age: mean and standard deviation of the yearly gain, girls and boys.

A choice, argued from published careers: 2.6 to 3.5 % a year from 12 to 18 (Costa 2011), boys 3.3 to 4.3 and
girls 1.6 (Dormehl 2016), 4.1 to 5.3 from 8 to 18, most of it up to 13 (Front Sports 2:46, 2020).
"""

HOUR_SWIM: Final = (4058.0, 2.18, -0.29)
"""Metres of men in a one-hour swim at age a: 4058 + 2.18 a - 0.29 a^2 (Bongard et al. 2007, Age 29:77)."""
WOMEN_LESS: Final = 380.0
"""Metres that women swim less, at every age (the same paper)."""

SPREAD_OF_LOSS: Final = 0.5
"""Standard deviation of the loss between swimmers, as a share of it.

A choice: the formula gives 1.0 % a year at 60, swimmers followed over years lose about 0.6 (Rubin et al.
2013; Donato et al. 2003), and that gap is near one half.
"""

BEYOND: Final = 0.8
"""From this probability on, more (or less) than age alone is said. A choice."""

Z90: Final = 1.6448536269514722
"""95 % point of the normal: 90 % lie within it on either side."""
_STEP, _REACH = 0.1, 40
_NODES: Final = tuple(_STEP * i for i in range(-_REACH, _REACH + 1))
_TOTAL: Final = math.fsum(math.exp(-z * z / 2) for z in _NODES)
_WEIGHTS: Final = tuple(math.exp(-z * z / 2) / _TOTAL for z in _NODES)


class AgeComparison(StrEnum):
    """How a swimmer's rate stands to that of age alone; `BEYOND` of it is needed for better or worse."""

    BETTER = "better"
    WITHIN = "within"
    WORSE = "worse"


@dataclass(frozen=True)
class AgeAlone:
    """The yearly rate that age alone brings: a mixture, in equal shares, of normals (mean, sd)."""

    parts: tuple[tuple[float, float], ...]

    @property
    def mean(self) -> float:
        """The expected rate."""
        return math.fsum(mean for mean, _ in self.parts) / len(self.parts)

    def below(self, rate: float) -> float:
        """Return the probability that age alone brings less than `rate`; one half where they are equal."""
        return math.fsum(_below(rate, mean, sd) for mean, sd in self.parts) / len(self.parts)

    def point(self, share: float) -> float:
        """Return the rate below which `share` of swimmers lie."""
        low = min(mean - 8 * sd for mean, sd in self.parts)
        high = max(mean + 8 * sd for mean, sd in self.parts)
        for _ in range(24):
            mid = (low + high) / 2
            low, high = (mid, high) if self.below(mid) < share else (low, mid)
        return (low + high) / 2


@dataclass(frozen=True)
class AgeYardstick:
    """A swimmer's present rate beside that of age alone; percent per year, + is faster.

    Attributes
    ----------
    age
        Years at the last test, for a birthday in the middle of the year.
    growing
        Whether it is growth (under 18) or decline (over 40).
    alone, alone_low, alone_high
        What age alone brings, with its 90 % interval over swimmers.
    rate
        The swimmer's present rate.
    p_better
        Probability that the swimmer's rate lies above that of age alone.
    """

    age: float
    sex: Sex
    growing: bool
    alone: float
    alone_low: float
    alone_high: float
    rate: float
    p_better: float

    @property
    def p_beyond(self) -> float:
        """Probability of the question: gaining (under 18) or declining (over 40) faster than age alone."""
        return self.p_better if self.growing else 1 - self.p_better

    @property
    def comparison(self) -> AgeComparison:
        """How the rate stands to that of age alone."""
        if self.p_better >= BEYOND:
            return AgeComparison.BETTER
        return AgeComparison.WORSE if self.p_better <= 1 - BEYOND else AgeComparison.WITHIN


def age_on(day: dt.date, born: int) -> float:
    """Return the age in years, for a birthday in the middle of the year: only the year is on record."""
    return day.year - born + (day.timetuple().tm_yday - MID_YEAR) / 365.25


def hour_metres(age: float, sex: Literal["f", "m"]) -> float:
    """Return the metres of a one-hour swim at an age (`HOUR_SWIM`)."""
    level, slope, bend = HOUR_SWIM
    metres = level + slope * age + bend * age * age
    return metres - WOMEN_LESS if sex == "f" else metres


def yearly_loss(age: float, sex: Literal["f", "m"]) -> float:
    """Return the percent of pace that a year costs at an age.

    From the slope of `HOUR_SWIM`. That regression is cross-sectional: it compares swimmers of different ages
    and follows nobody, and it is of one long distance.
    """
    _, slope, bend = HOUR_SWIM
    return -100 * (slope + 2 * bend * age) / hour_metres(age, sex)


def age_alone(age: float, sex: Sex) -> AgeAlone | None:
    """Return what age alone brings; None where there is no yardstick (from 18 to 40, below 8, above 100)."""
    if YOUNGEST <= age < GROWN:
        girls, boys = next((girls, boys) for below, girls, boys in GROWTH if age < below)
        return _of(sex, girls, boys)
    if AGEING < age <= OLDEST:
        women, men = (-yearly_loss(age, "f"), -yearly_loss(age, "m"))
        return _of(sex, (women, -SPREAD_OF_LOSS * women), (men, -SPREAD_OF_LOSS * men))
    return None


def age_yardstick(
    monthly: tuple[float, float, float], born: int | None, sex: Sex, day: dt.date
) -> AgeYardstick | None:
    """Return a swimmer's rate beside that of age alone; None without a year of birth or a yardstick.

    Parameters
    ----------
    monthly
        5, 50 and 95 % points of the present rate, percent per month.
    day
        The day the rate stands for: that of the last test.
    """
    if born is None:
        return None
    age = age_on(day, born)
    alone = age_alone(age, sex)
    if alone is None:
        return None
    low, rate, high = (12 * value for value in monthly)
    return AgeYardstick(
        age=age,
        sex=sex,
        growing=age < GROWN,
        alone=alone.mean,
        alone_low=alone.point(0.05),
        alone_high=alone.point(0.95),
        rate=rate,
        p_better=chance_above(alone, low, rate, high),
    )


def chance_above(alone: AgeAlone, low: float, rate: float, high: float) -> float:
    """Return the probability that a rate lies above that of age alone.

    The rate is taken as normal on either side of its median, with the widths of its 90 % interval.
    """
    slower, faster = (rate - low) / Z90, (high - rate) / Z90
    return math.fsum(
        weight * alone.below(rate + z * (faster if z > 0 else slower))
        for z, weight in zip(_NODES, _WEIGHTS, strict=True)
    )


def _of(sex: Sex, female: tuple[float, float], male: tuple[float, float]) -> AgeAlone:
    match sex:
        case "f":
            return AgeAlone((female,))
        case "m":
            return AgeAlone((male,))
        case "":
            return AgeAlone((female, male))
        case other:
            assert_never(other)


def _below(rate: float, mean: float, sd: float) -> float:
    """Return the share of a normal below `rate`; without spread a step, one half on it."""
    if sd > 0:
        return 0.5 * math.erfc((mean - rate) / (sd * math.sqrt(2)))
    return 0.5 if math.isclose(rate, mean) else float(rate > mean)
