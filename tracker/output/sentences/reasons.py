"""Sentences on why: the reasons behind a verdict, and doubts about a swim."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Final

from tracker.engine.series.comparable import LeftOut
from tracker.engine.verdict.verdict import Reason, SetAside, Verdict
from tracker.model.plausibility import Doubt
from tracker.model.units import YARD_M, format_time, plain_number
from tracker.output.sentences.numbers import (
    between,
    capital,
    count,
    full_day,
    in_seconds,
    number,
    rate_words,
    sure,
    threshold,
)
from tracker.output.sentences.verdict import has_rate

if TYPE_CHECKING:
    from tracker.engine.verdict.standing import Standing


_Numbers = Mapping[str, float]


def doubt_sentence(doubt: Doubt) -> str:
    """Return what is doubtful in one clause, with its numbers; no full stop."""
    return _WORDS[doubt.code](doubt.numbers)


def doubt_word(found: Iterable[Doubt]) -> str:
    """Return what to call what is asked about: "implausible", or "doubtful" where it may well be."""
    return "implausible" if any(doubt.implausible for doubt in found) else "doubtful"


def remark_words(doubt: Doubt) -> str:
    """Return the sentence of a doubt, and whether it will be asked about or is only a note."""
    return f"{'asked about' if doubt.asked else 'note'}: {doubt_sentence(doubt)}"


def _metres(value: float) -> str:
    """Return a distance; one that is whole in yards and not in metres was swum in yards."""
    yards = round(value / YARD_M, 2)
    if yards % 1 == 0 and round(value, 2) % 1:
        return f"{plain_number(yards)} yd"
    return f"{plain_number(round(value, 2))} m"


def _pair(numbers: _Numbers) -> str:
    return (
        f"{_metres(numbers['long_m'])} in {format_time(numbers['long_s'])} and "
        f"{_metres(numbers['short_m'])} in {format_time(numbers['short_s'])}"
    )


def _too_fast(numbers: _Numbers) -> str:
    limit = format_time(numbers["limit"])
    return f"{format_time(numbers['pace'], 1)} per 100 m is faster than anybody swims ({limit})"


def _too_slow(numbers: _Numbers) -> str:
    return f"{format_time(numbers['pace'], 1)} per 100 m is slower than {format_time(numbers['limit'])}"


def _ratio(numbers: _Numbers) -> str:
    ratio = f"the longer took {numbers['ratio']:.3f} times the shorter"
    if numbers["ratio"] <= 2:
        return f"{_pair(numbers)}: {ratio}, so the shorter was swum no faster; swum easy, or swapped?"
    return f"{_pair(numbers)}: {ratio}; a swimmer who faded, or miscounted lengths?"


def _ratio_odd(numbers: _Numbers) -> str:
    return f"{_pair(numbers)}: the longer took {numbers['ratio']:.3f} times the shorter, which is unusual"


def _longer_not_longer(numbers: _Numbers) -> str:
    return f"{_pair(numbers)}: the longer took no longer"


def _shorter_not_faster(numbers: _Numbers) -> str:
    return f"{_pair(numbers)}: the shorter was swum no faster"


def _part_lengths(numbers: _Numbers) -> str:
    return f"{_metres(numbers['distance_m'])} is no whole number of lengths of {_metres(numbers['length_m'])}"


def _counts_odd(numbers: _Numbers) -> str:
    return f"{numbers['counts']:g} stroke counts for {numbers['lengths']:g} lengths"


def _rate_odd(numbers: _Numbers) -> str:
    return (
        f"{numbers['strokes']:.0f} strokes a length, but {numbers['rate_cpm']:g} cycles/min would make "
        f"about {numbers['expected']:.0f}; strokes or cycles?"
    )


def _far(numbers: _Numbers) -> str:
    way = "slower" if numbers["percent"] > 0 else "faster"
    return (
        f"{abs(numbers['percent']):.0f} % {way} than the median of the last five like it "
        f"({format_time(numbers['usual'], 1)} per 100 m); check the typing"
    )


def _thirty(numbers: _Numbers) -> str:
    return (
        f"{format_time(numbers['pace'], 1)} per 100 m for 30 minutes is no slower than the last CSS "
        f"({format_time(numbers['css'], 1)}); was the CSS test swum all out?"
    )


def _twice(numbers: _Numbers) -> str:
    return (
        f"{_metres(numbers['distance_m'])} in {format_time(numbers['time_s'])} is logged for that day "
        "already; if it is the same swim, delete one"
    )


_WORDS: dict[str, Callable[[_Numbers], str]] = {
    "too-fast": _too_fast,
    "too-slow": _too_slow,
    "ratio": _ratio,
    "ratio-odd": _ratio_odd,
    "longer-not-longer": _longer_not_longer,
    "shorter-not-faster": _shorter_not_faster,
    "part-lengths": _part_lengths,
    "counts-odd": _counts_odd,
    "rate-odd": _rate_odd,
    "far-from-usual": _far,
    "thirty-above-css": _thirty,
    "logged-twice": _twice,
}


HOLDING_FROM: Final = 60
"""Years of age."""

PLACES: Final[Mapping[str, str]] = {
    "gaining": "the present rate is above the margin",
    "plateau": "the present rate is inside the margin",
    "slipping": "the present rate is below the margin",
}


def sentence(reason: Reason) -> str:
    """Return the sentence of a reason.

    Raises
    ------
    KeyError
        If the code is not known here, so that no ground is ever dropped in silence.
    """
    return SENTENCES[reason.code](**reason.numbers)


def check_typing(errors: float) -> str:
    """Return why a test is set aside; `errors` is its distance from the line in typical errors."""
    return f"check the typing: {abs(errors):.0f} typical errors from the line"


def why_not(one: Standing) -> str:
    """Return why a swim does not count; empty if it does."""
    if one.set_aside is not None:
        return f"set aside, {check_typing(one.set_aside.errors)}"
    return one.left_out or ""


def remarks(one: Standing) -> list[str]:
    """Return why a swim does not count, if it does not, and what is doubtful about it, a clause each."""
    return [*([why_not(one)] if not one.counts else []), *(doubt_sentence(doubt) for doubt in one.doubts)]


def set_aside_line(test: SetAside) -> str:
    """Return a set-aside test with its date, as a sentence."""
    return f"The test of {full_day(test.date)} is set aside; {check_typing(test.errors)}."


def holding_pace(verdict: Verdict | None, born: int | None) -> str:
    """Return that a plateau at 60 and over is itself a gain; empty where that does not apply.

    Swimmers slow down by about 0.6 % a year up to 70 to 75 (Rubin et al. 2013; Donato et al. 2003).
    """
    if verdict is None or born is None or verdict.verdict != "plateau":
        return ""
    age = verdict.as_of.year - born
    return _holding_pace(age) if age >= HOLDING_FROM else ""


def grounds(verdict: Verdict | None, born: int | None = None) -> list[str]:
    """Return every ground of a verdict as a sentence, that of age last."""
    if verdict is None:
        return []
    said = [sentence(reason) for reason in verdict.reasons]
    said.append(holding_pace(verdict, born))
    return list(dict.fromkeys(one for one in said if one))


def rate_and_noise(verdict: Verdict | None) -> list[str]:
    """Return the rate and the scatter as a sentence each; nothing where the tests do not carry them."""
    if verdict is None or not has_rate(verdict):
        return []
    span = {"rate": verdict.rate, "low": verdict.rate_low, "high": verdict.rate_high}
    noise = {"noise": verdict.noise_pct, "pace": verdict.present_pace}
    return [
        sentence(Reason("rate", {**span, "pace": verdict.present_pace})),
        sentence(Reason("noise", noise)),
    ]


def left_out_lines(left_out: Sequence[LeftOut]) -> list[str]:
    """Return one sentence for each reason why swims do not count."""
    whys = dict.fromkeys(one.why for one in left_out)
    return [_left_out(sum(one.why == why for one in left_out), why) for why in whys]


def _few_tests(tests: int, needed: int) -> str:
    return f"{count(tests, 'test')} on record; a verdict needs {needed}."


def _short_record(weeks: float, needed: float) -> str:
    return f"The record covers {count(round(weeks), 'week')}; a verdict needs {number(needed, 0)}."


def _no_class(word: str, p: float, cut: float) -> str:
    likely = f"The likeliest answer so far is {word}, {sure(p, cut)} sure"
    return f"{likely}; it takes {threshold(cut)} to be spoken."


def _p_class(word: str, p: float, cut: float) -> str:
    return f"{capital(PLACES[word])} with {sure(p)}; it takes {threshold(cut)} for the word."


def _since(since: dt.date, low: dt.date | None, high: dt.date, as_of: dt.date) -> str:
    return f"It began about {full_day(since)} (90 %: {between(low, high, as_of)})."


def _before_record(first: dt.date) -> str:
    return f"It may have begun before the record does: the first test is of {full_day(first)}."


def _rate(rate: float, low: float, high: float, pace: float) -> str:
    year = f"{abs(12 * rate):.1f} % a year"
    return (
        f"{capital(rate_words(rate, low, high))}; that is {year}, or {in_seconds(rate, pace)} a month. "
        "The brackets hold 90 %."
    )


def _noise(noise: float, pace: float) -> str:
    apart = 1.96 * math.sqrt(2) * noise
    return (
        f"One ordinary test scatters by {number(noise, 1)} % about the line ({in_seconds(noise, pace)}): "
        f"two single tests less than {number(apart, 1)} % apart show nothing."
    )


def _tests_to_tell(tests: int | None) -> str:
    if tests is None:
        return "At this rhythm of testing a verdict is not likely within a year."
    if tests == 0:
        return "The next test may tell."
    return f"A verdict is more likely than not after about {count(tests, 'more test')} at this rhythm."


def _set_aside(tests: int, worst: float) -> str:
    return f"{count(tests, 'test')} set aside; {check_typing(worst)}{' at most' if tests > 1 else ''}."


def _slowed(before: float, p: float) -> str:
    way = "faster" if before >= 0 else "slower"
    return f"Before that it was {abs(before):.2f} % a month {way}; {sure(p)} sure that the rate is lower now."


def _stale(last: dt.date, days: int) -> str:
    return f"The last test, of {full_day(last)}, is {count(days, 'day')} old; the verdict stands as of then."


def _holding_pace(age: int) -> str:
    return (
        f"At about {age}, holding pace is itself a gain of about 0.6 % a year, "
        "for that is what swimmers of this age usually lose."
    )


def _left_out(swims: int, why: str) -> str:
    return f"{count(swims, 'swim')} left out: {why}."


def _alias(what: str) -> str:
    return f"Cannot separate the change from the switch to {'the wetsuit' if what == 'wetsuit' else what}."


def _prior_depends(other: str) -> str:
    return (
        f'The answer depends on what is taken as usual: with another expectation it would be "{other}". '
        "More tests settle it."
    )


def _drift(rate: float, low: float, high: float) -> str:
    year = number(abs(12 * rate), 1)
    return f"Inside the margin, yet drifting: {rate_words(rate, low, high)}, {year} % a year."


SENTENCES: Final[Mapping[str, Callable[..., str]]] = {
    "few_tests": _few_tests,
    "short_record": _short_record,
    "no_class": _no_class,
    "p_class": _p_class,
    "since": _since,
    "before_record": _before_record,
    "rate": _rate,
    "noise": _noise,
    "tests_to_tell": _tests_to_tell,
    "set_aside": _set_aside,
    "slowed": _slowed,
    "stale": _stale,
    "holding_pace": _holding_pace,
    "left_out": _left_out,
    "alias": _alias,
    "prior_depends": _prior_depends,
    "drift": _drift,
}
