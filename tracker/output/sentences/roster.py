"""Sentences on the roster: where it stands, what it taught, what the threshold costs."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, Final, NamedTuple, assert_never

from tracker.engine.series.protocols import in_yards
from tracker.engine.verdict.false_alarms import DECLARED, ExpectedFalse
from tracker.engine.verdict.verdict import Word
from tracker.output.sentences.numbers import capital, count, listed, number, sure
from tracker.technique.attention import Ground, RosterLine

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tracker.engine.trend.error_rates import ErrorRates
    from tracker.engine.trend.priors import Priors
    from tracker.engine.verdict.judge import PriorsReport


_WORDS = (
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)


class Standing(NamedTuple):
    """What the sentence needs of one line: the verdict's word ("" without one), new or not, the grounds."""

    word: str
    new: bool
    grounds: tuple[str, ...]


def roster_sentence(lines: Sequence[RosterLine]) -> str:
    """Return "Two new plateaus, one of them with a fault nobody is working on; five tests due."."""
    return standing_sentence(Counter(standing_of(line) for line in lines))


def standing_of(line: RosterLine) -> Standing:
    """Return what the sentence needs of a line."""
    return Standing(line.verdict.verdict if line.verdict else "", line.new, line.attention.grounds)


def standing_sentence(standings: Counter[Standing]) -> str:
    """Return the sentence of `roster_sentence` from how many lines stand how."""
    if not standings:
        return "Nobody is on the roster yet."

    def among(which: Callable[[Standing], bool]) -> int:
        return sum(number for standing, number in standings.items() if which(standing))

    plateaus = among(lambda line: line.new and line.word == Word.PLATEAU)
    waiting = among(
        lambda line: line.new and line.word == Word.PLATEAU and Ground.PLATEAU_OPEN_FAULT in line.grounds
    )
    parts = [_counted(plateaus, "new plateau")]
    if waiting:
        of_them = "with" if plateaus == 1 else f"{_word(waiting)} of them with"
        parts[0] += f", {of_them} a fault nobody is working on"
    slips = among(lambda line: line.new and line.word == Word.SLIPPING)
    if slips:
        parts.append(f"{_word(slips)} newly slipping")
    tests = among(lambda line: Ground.TEST_DUE in line.grounds)
    looks = among(lambda line: Ground.LOOK_DUE in line.grounds)
    due = [_counted(number, what) for number, what in ((tests, "test"), (looks, "look")) if number]
    parts.append(f"{' and '.join(due)} due" if due else "nothing due")
    return capital("; ".join(parts)) + "."


def month_sentence(lines: Sequence[RosterLine]) -> str:
    """Return how many swimmers have which verdict: the first line of a month's summary."""
    counts = Counter(line.verdict.verdict if line.verdict else Word.TOO_EARLY for line in lines)
    waiting = sum(Ground.PLATEAU_OPEN_FAULT in line.attention.grounds for line in lines)
    of_them = f" ({waiting} with a fault nobody is working on)" if waiting else ""
    parts = [f"{counts[Word.PLATEAU]} on a plateau{of_them}"]
    order = sorted((said for said in Word if said is not Word.PLATEAU and counts[said]), key=_rank)
    parts += [f"{counts[said]} {_of_a_count(said)}" for said in order]
    return f"Of {count(len(lines), 'swimmer')}: {listed(parts)}."


def _rank(said: Word) -> int:
    """Return the place of a word in the count, those in need first."""
    match said:
        case Word.PLATEAU:
            return 0
        case Word.SLIPPING:
            return 1
        case Word.SLOWED:
            return 2
        case Word.GAINING:
            return 3
        case Word.TOO_EARLY:
            return 4
        case other:
            assert_never(other)


def _of_a_count(said: Word) -> str:
    return "too early to say" if said is Word.TOO_EARLY else said


def _word(number: int) -> str:
    return _WORDS[number] if number < len(_WORDS) else str(number)


def _counted(number: int, noun: str) -> str:
    return (
        f"{_word(number)} {noun}"
        if number == 1
        else f"{_word(number)} {count(number, noun).split(' ', 1)[1]}"
    )


def expected_false_sentence(expected: ExpectedFalse) -> str:
    """Return how many of a roster's plateaus are expected to be none; empty without any."""
    if not expected.called:
        return ""
    wrong = expected.called * expected.share
    return (
        f"Of {expected.called} called a plateau about {number(wrong, 1)} are expected not to be "
        f"({100 * expected.share:.0f} %), if each is as sure as it says{_surest(expected)}."
    )


def _surest(expected: ExpectedFalse) -> str:
    """Return which of them to count where at most `DECLARED` are to be false."""
    if expected.share <= DECLARED:
        return ""
    if not expected.kept:
        return f"; none is sure enough for a list with at most {100 * DECLARED:.0f} % false ones"
    return (
        f"; of the {expected.kept} surest ({sure(expected.cut)} or more) at most {100 * DECLARED:.0f} % are"
    )


def cut_lines(found: ErrorRates, declared: float, present: float) -> list[str]:
    """Return the rates at each cut, the conditions, and the cut that keeps the declared rate."""
    lines = [
        f"cut {cut:.2f}: {rate:.3f} false plateaus a swimmer-year (Monte-Carlo error {error:.3f})"
        for cut, rate, error in zip(found.cuts, found.rate, found.error, strict=True)
    ]
    chosen = found.cut(declared)
    lines.append(
        f"For at most {declared:g} a swimmer-year the cut is {chosen:.2f}; now it is {present:.2f}. "
        f"Set it with 'slackwater config set cut {chosen:.2f}'."
    )
    lines.append(
        f"Conditions: {found.swimmers} simulated swimmers gaining steadily at {number(found.gain)} % a month "
        f"(twice the margin) on this roster's test dates and with its noise, {number(found.years, 0)} "
        "swimmer-years, looked at every week."
    )
    return lines


def cut_json(found: ErrorRates, declared: float, present: float) -> dict[str, Any]:
    """Return the same as JSON."""
    return {
        "schema": 1,
        "cuts": [
            {"cut": cut, "false_plateaus_per_swimmer_year": rate, "error": error}
            for cut, rate, error in zip(found.cuts, found.rate, found.error, strict=True)
        ],
        "declared": declared,
        "chosen": found.cut(declared),
        "present": present,
        "gain_pct_per_month": found.gain,
        "swimmers": found.swimmers,
        "swimmer_years": found.years,
        "look_every_days": 7,
    }


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
        f"{number(opinion.spread)} from swimmer to swimmer); {beside}"
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
