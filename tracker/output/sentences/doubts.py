"""Sentences on what is doubtful about a swim."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import TYPE_CHECKING

from tracker.model.units import YARD_M, format_time, plain_number

if TYPE_CHECKING:
    from tracker.model.plausibility import Doubt

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
