"""Each ground of a verdict as a sentence; the parameters of a function are the numbers its code carries."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Final

from tracker.output.doubt_words import doubt_sentence
from tracker.output.numbers import (
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
from tracker.output.wording import has_rate
from tracker.series.left_out import LeftOut
from tracker.verdict.verdict import Reason, SetAside, Verdict

if TYPE_CHECKING:
    from tracker.verdict.standing import Standing

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
