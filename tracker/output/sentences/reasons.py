"""Sentences on the reasons behind a verdict."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, assert_never

from tracker.engine.verdict.verdict import (
    FewTests,
    HiddenSwitch,
    MoreTests,
    NotSure,
    SetAside,
    SetAsideTests,
    ShortRecord,
    Sure,
    TrendClass,
    Verdict,
    VerdictReason,
    Word,
)
from tracker.output.sentences.doubts import doubt_sentence
from tracker.output.sentences.numbers import (
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
    from tracker.engine.series.left_out import LeftOut, LeftOutReason
    from tracker.engine.verdict.counted_swims import SwimStatus


def sentence(reason: VerdictReason) -> str:
    """Return the sentence of a reason."""
    match reason:
        case FewTests(tests, needed):
            return f"{count(tests, 'test')} on record; a verdict needs {needed}."
        case ShortRecord(weeks, needed):
            return f"The record covers {count(round(weeks), 'week')}; a verdict needs {number(needed, 0)}."
        case NotSure(likeliest, p, enter):
            return (
                f"The likeliest answer so far is {likeliest}, {sure(p, enter)} sure; "
                f"it takes {threshold(enter)} to be said."
            )
        case Sure(said, p, enter, leave):
            return (
                f'The present rate is {_place(said)} with {sure(p)}; "{said}" is said from '
                f"{threshold(enter)} and kept until it falls below {threshold(leave)}."
            )
        case SetAsideTests(tests, worst):
            at_most = " at most" if tests > 1 else ""
            return f"{count(tests, 'test')} set aside; {check_typing(worst)}{at_most}."
        case HiddenSwitch(what):
            switch = "the wetsuit" if what == "wetsuit" else what
            return f"Cannot separate the change from the switch to {switch}."
        case MoreTests(more):
            return _when_it_may_tell(more)
        case other:
            assert_never(other)


def _when_it_may_tell(more: int | None) -> str:
    if more is None:
        return "At this rhythm of testing a word is not likely within a year."
    if more == 0:
        return "The next test may tell."
    return f"About {count(more, 'more test')} may tell at this rhythm: a word is then more likely than not."


def _place(spoken: TrendClass) -> str:
    """Return where the present rate lies."""
    match spoken:
        case Word.GAINING:
            return "above the margin"
        case Word.PLATEAU:
            return "inside the margin"
        case Word.SLIPPING:
            return "below the margin"
        case other:
            assert_never(other)


def check_typing(errors: float) -> str:
    """Return why a test is set aside; `errors` is its distance from the line in typical errors."""
    return f"check the typing: {abs(errors):.0f} typical errors from the line"


def why_not(status: SwimStatus) -> str:
    """Return why a swim does not count; empty if it does."""
    if status.set_aside is not None:
        return f"set aside, {check_typing(status.set_aside.errors)}"
    return status.left_out or ""


def remarks(status: SwimStatus) -> list[str]:
    """Return why a swim does not count, if it does not, and what is doubtful about it, a clause each."""
    return [
        *([why_not(status)] if not status.counts else []),
        *(doubt_sentence(doubt) for doubt in status.doubts),
    ]


def set_aside_line(test: SetAside) -> str:
    """Return a set-aside test with its date, as a sentence."""
    return f"The test of {full_day(test.date)} is set aside; {check_typing(test.errors)}."


def grounds(verdict: Verdict | None) -> list[str]:
    """Return every ground of a verdict as a sentence."""
    if verdict is None:
        return []
    return list(dict.fromkeys(sentence(reason) for reason in verdict.reasons))


def rate_and_noise(verdict: Verdict | None) -> list[str]:
    """Return the rate and the scatter as a sentence each; nothing where the tests do not carry them."""
    if verdict is None or not has_rate(verdict):
        return []
    rate, noise = verdict.rate, verdict.noise_pct
    apart = 1.96 * math.sqrt(2) * noise
    return [
        f"{capital(rate_words(rate, verdict.rate_low, verdict.rate_high))}; "
        f"that is {abs(12 * rate):.1f} % a year, or {in_seconds(rate, verdict.present_pace)} a month. "
        "The brackets hold 90 %.",
        f"One ordinary test scatters by {number(noise, 1)} % about the line "
        f"({in_seconds(noise, verdict.present_pace)}): "
        f"two single tests less than {number(apart, 1)} % apart show nothing.",
    ]


def _mended(reason: LeftOutReason) -> str:
    """Return what would make such a swim count, where that is not plain from the reason."""
    from tracker.engine.series.left_out import LeftOutReason

    return "; swim a test at effort 9 or 10" if reason == LeftOutReason.EASY else ""


def left_out_lines(left_out: Sequence[LeftOut]) -> list[str]:
    """Return one sentence for each reason why swims do not count, with what to do where that is needed."""
    reasons = dict.fromkeys(one.reason for one in left_out)
    return [
        f"{count(sum(one.reason == reason for one in left_out), 'swim')} left out: {reason}{_mended(reason)}."
        for reason in reasons
    ]
