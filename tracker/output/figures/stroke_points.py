"""Stroke rate and stroke length of the tests that can be compared, from what was counted and timed."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from tracker.errors import UsageError
from tracker.model.stroke import stroke_of_length
from tracker.model.swim import Swim
from tracker.model.units import pool_length_m
from tracker.output.sentences.data import distance_words


@dataclass(frozen=True)
class StrokePoint:
    """Stroke rate (cycles a minute) and length (m a cycle) of one swim."""

    date: dt.date
    rate: float
    length: float


def stroke_points(swims: Sequence[Swim], push_off_m: float) -> tuple[str, tuple[StrokePoint, ...]]:
    """Return what was swum, and its points in order of date, from swims that count.

    Only swims of the commonest distance, pool and suit: counts of other pools cannot be compared.
    The push-off is taken out of each length (its distance from the settings, its time at 2 m/s:
    an estimate). A rate that was timed goes before the one that follows from the count.
    """
    counted = [swim for swim in swims if swim.strokes]
    if not counted:
        return "", ()
    (common, _), *_ = Counter((swim.distance_m, swim.course, swim.suit) for swim in counted).most_common()
    alike = [swim for swim in counted if (swim.distance_m, swim.course, swim.suit) == common]
    points = [point for swim in alike if (point := _point(swim, push_off_m)) is not None]
    distance, course, suit = common
    words = f"{distance_words(distance, course)} {course}{' in a wetsuit' if suit == 'wetsuit' else ''}"
    return words, tuple(sorted(points, key=lambda point: point.date))


def _point(swim: Swim, push_off_m: float) -> StrokePoint | None:
    length = pool_length_m(swim.course)
    if length is None:
        return None
    counts = [float(count) for count in swim.strokes.split()]
    try:
        stroke = stroke_of_length(
            length, sum(counts) / len(counts), swim.time_s * length / swim.distance_m, push_off_m
        )
    except UsageError:
        return None
    rate = swim.rate_cpm or stroke.rate_cpm
    return StrokePoint(swim.date, rate, stroke.per_cycle_m)
