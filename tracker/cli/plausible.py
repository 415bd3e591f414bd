"""Limits of the calculators: what nobody swims is refused as a typing error, by the limits of ``log``."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tracker.cli.wiring import Context
from tracker.entry.times import shown
from tracker.errors import EntryError, Problem
from tracker.model.doubts import TooFast, TooSlow
from tracker.model.plausibility import Limits, pace_doubts
from tracker.model.stroke import HIGHEST_RATE_CPM
from tracker.model.text import clean_line
from tracker.model.units import pace_per_100


@dataclass(frozen=True)
class TypedSwim:
    """A time as typed under a name, over so many metres; `seconds` is how it was read."""

    name: str
    text: str
    distance_m: float
    seconds: float


def refuse_too_fast(swims: Sequence[TypedSwim], ctx: Context) -> None:
    """Refuse what is faster than anybody swims, however it is read.

    Raises
    ------
    EntryError
        With every time that is too fast.
    """
    from tracker.output.sentences.doubts import doubt_sentence

    found = [(swim, doubt) for swim in swims for doubt in _doubts(swim, swim.seconds, ctx.settings)]
    fast = tuple(
        Problem(
            swim.name,
            clean_line(swim.text),
            f"{shown(swim.text)} is {swim.seconds:g} s: {doubt_sentence(doubt)}; "
            "check the time and the distance",
        )
        for swim, doubt in found
        if isinstance(doubt, TooFast)
    )
    if fast:
        raise EntryError(fast)


def remark_slow(swims: Sequence[TypedSwim], ctx: Context) -> None:
    """Remark upon what is slower than tests are swum; it is worked out all the same."""
    from tracker.output.sentences.doubts import doubt_sentence

    for swim in swims:
        for doubt in _doubts(swim, swim.seconds, ctx.settings):
            ctx.say.warned(f"unusual: {swim.name} {shown(swim.text)}: {doubt_sentence(doubt)}")


def check_css_pace(pace: float, ctx: Context) -> None:
    """Refuse a CSS faster than anybody swims, which times that may each be right can make together.

    Raises
    ------
    EntryError
        If it is.
    """
    from tracker.output.sentences.doubts import doubt_sentence

    for doubt in pace_doubts(pace, ctx.settings):
        if isinstance(doubt, TooFast):
            said = f"they make a CSS that cannot be: {doubt_sentence(doubt)}; check the times and their order"
            raise EntryError((Problem("times", "", said),))


def check_rate(name: str, text: str, rate_cpm: float) -> None:
    """Refuse strokes that nobody takes in so short a time.

    Raises
    ------
    EntryError
        If they are more.
    """
    if rate_cpm > HIGHEST_RATE_CPM:
        said = (
            f"{shown(text)} makes {2 * rate_cpm:.0f} strokes/min, more than anybody takes "
            f"({2 * HIGHEST_RATE_CPM:g}); check the strokes and the time"
        )
        raise EntryError((Problem(name, clean_line(text), said),))


def _doubts(swim: TypedSwim, seconds: float, limits: Limits) -> list[TooFast | TooSlow]:
    return pace_doubts(pace_per_100(swim.distance_m, seconds), limits, swim.distance_m)
