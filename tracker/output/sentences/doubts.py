"""Sentences on what is doubtful about a swim."""

from __future__ import annotations

from collections.abc import Iterable
from typing import assert_never

from tracker.model.doubts import (
    CountsOdd,
    Doubt,
    FarFromUsual,
    LoggedTwice,
    LongerNotLonger,
    PairDoubt,
    PartLengths,
    RateOdd,
    Ratio,
    RatioOdd,
    ShorterNotFaster,
    ThirtyAboveCss,
    TooFast,
    TooSlow,
)
from tracker.model.units import YARD_M, format_time, plain_number


def doubt_sentence(doubt: Doubt) -> str:
    """Return what is doubtful in one clause, with its numbers; no full stop."""
    match doubt:
        case TooFast(pace, limit):
            return f"{_pace(pace)} is faster than anybody swims ({format_time(limit)})"
        case TooSlow(pace, limit):
            return f"{_pace(pace)} is slower than {format_time(limit)}"
        case Ratio() | RatioOdd() | LongerNotLonger() | ShorterNotFaster():
            return _of_two(doubt)
        case PartLengths() | CountsOdd() | RateOdd():
            return _of_lengths(doubt)
        case FarFromUsual(_, usual):
            way = "slower" if doubt.percent > 0 else "faster"
            return (
                f"{abs(doubt.percent):.0f} % {way} than the median of the last five like it "
                f"({_pace(usual)}); check the typing"
            )
        case ThirtyAboveCss(pace, css):
            return (
                f"{_pace(pace)} for 30 minutes is no slower than the last CSS ({_pace(css)}); "
                "was the CSS test swum all out?"
            )
        case LoggedTwice(distance, time):
            return (
                f"{_metres(distance)} in {format_time(time)} is logged for that day already; "
                "if it is the same swim, delete one"
            )
        case other:
            assert_never(other)


def doubt_word(doubts: Iterable[Doubt]) -> str:
    """Return what to call what is asked about: "implausible", or "doubtful" where it may well be."""
    return "implausible" if any(doubt.implausible for doubt in doubts) else "doubtful"


def remark_words(doubt: Doubt) -> str:
    """Return the sentence of a doubt, and whether it will be asked about or is only a note."""
    return f"{'asked about' if doubt.asked else 'note'}: {doubt_sentence(doubt)}"


def _metres(value: float) -> str:
    """Return a distance; one that is whole in yards and not in metres was swum in yards."""
    yards = round(value / YARD_M, 2)
    if yards % 1 == 0 and round(value, 2) % 1:
        return f"{plain_number(yards)} yd"
    return f"{plain_number(round(value, 2))} m"


def _of_two(doubt: PairDoubt) -> str:
    swims = (
        f"{_metres(doubt.long_m)} in {format_time(doubt.long_s)} and "
        f"{_metres(doubt.short_m)} in {format_time(doubt.short_s)}"
    )
    ratio = f"the longer took {doubt.ratio:.3f} times the shorter"
    match doubt:
        case Ratio() if doubt.ratio <= 2:
            return f"{swims}: {ratio}, so the shorter was swum no faster; swum easy, or swapped?"
        case Ratio():
            return f"{swims}: {ratio}; a swimmer who faded, or miscounted lengths?"
        case RatioOdd():
            return f"{swims}: {ratio}, which is unusual"
        case LongerNotLonger():
            return f"{swims}: the longer took no longer"
        case ShorterNotFaster():
            return f"{swims}: the shorter was swum no faster"
        case other:
            assert_never(other)


def _of_lengths(doubt: PartLengths | CountsOdd | RateOdd) -> str:
    match doubt:
        case PartLengths(distance, length):
            return f"{_metres(distance)} is no whole number of lengths of {_metres(length)}"
        case CountsOdd(counts, lengths):
            return f"{counts:g} stroke counts for {lengths:g} lengths"
        case RateOdd(strokes, expected, rate):
            return (
                f"{strokes:.0f} strokes a length, but {rate:g} cycles/min would make "
                f"about {expected:.0f}; strokes or cycles?"
            )
        case other:
            assert_never(other)


def _pace(pace: float) -> str:
    return f"{format_time(pace, 1)} per 100 m"
