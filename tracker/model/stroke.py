"""Stroke arithmetic of one length, the push-off taken out.

A cycle is two arm strokes. Metres, seconds, m/s, cycles/min, m/cycle. Plain floats: a
calculator starts without numpy.
"""

from __future__ import annotations

from dataclasses import dataclass

from tracker.errors import UsageError
from tracker.remedies import FillIn

PUSH_OFF_M = 5.0
"""Metres from the wall to the first hand entry where not measured (assumption)."""
PUSH_OFF_SPEED = 2.0
"""m/s over those metres where not measured (assumption)."""
HIGHEST_RATE_CPM = 120
"""Cycles/min that nobody takes; sprinters stay well below (common practice, no source). It stands in the
database's own rules too, so another number needs a migration."""


@dataclass(frozen=True)
class Stroke:
    """What one counted and timed length says.

    Attributes
    ----------
    per_stroke_m, per_cycle_m : float
        Stroke length, metres per arm stroke and per cycle.
    speed : float
        Clean speed from the first hand entry to the wall, m/s.
    rate_cpm : float
        Stroke rate, cycles/min.
    index : float
        Stroke index, speed times metres per cycle, m^2/s (Costill et al. 1985, Int J Sports Med 6:266).
    score : float
        Strokes plus seconds for the length; compare only with one's own in the same pool, pace and start.
    estimated : bool
        Whether the push-off was assumed, not measured.
    """

    per_stroke_m: float
    per_cycle_m: float
    speed: float
    rate_cpm: float
    index: float
    score: float
    estimated: bool


def stroke_of_length(
    length_m: float,
    strokes: float,
    time_s: float,
    push_off_m: float | None = None,
    push_off_s: float | None = None,
) -> Stroke:
    """Return stroke length, rate, clean speed and index of one length.

    Parameters
    ----------
    length_m
        The length swum, wall to wall.
    strokes
        Arm strokes taken, both arms counted.
    time_s
        Time for the length.
    push_off_m, push_off_s
        Distance and time of the first hand entry after the push-off; None takes `PUSH_OFF_M`,
        or the time at `PUSH_OFF_SPEED`, and marks the result as estimated.

    Raises
    ------
    UsageError
        If a number is not positive, or the push-off leaves no length or no time to swim.
    """
    off_m = PUSH_OFF_M if push_off_m is None else push_off_m
    off_s = off_m / PUSH_OFF_SPEED if push_off_s is None else push_off_s
    if min(length_m, strokes, time_s) <= 0 or min(off_m, off_s) < 0:
        raise UsageError("length, strokes and time must be above zero, the push-off not below")
    if off_m >= length_m or off_s >= time_s:
        raise UsageError(
            f"a push-off of {off_m:g} m in {off_s:g} s leaves nothing of {length_m:g} m in {time_s:g} s",
            FillIn(("push_off", "push_off_time")),
        )
    per_stroke = (length_m - off_m) / strokes
    speed = (length_m - off_m) / (time_s - off_s)
    return Stroke(
        per_stroke_m=per_stroke,
        per_cycle_m=2.0 * per_stroke,
        speed=speed,
        rate_cpm=60.0 * (strokes / 2.0) / (time_s - off_s),
        index=speed * 2.0 * per_stroke,
        score=strokes + time_s,
        estimated=push_off_m is None or push_off_s is None,
    )
