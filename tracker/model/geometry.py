"""Angles and lengths from points read off a still.

Points are picture coordinates, x to the right and y down, in any unit. What is level follows from two
points on the water line, never by the edge of the picture; centimetres come from a length that is
known. One camera, filming from the side or the front, is all this assumes: what lies nearer or
further than the scale, or turned out of the picture's plane, is measured wrongly.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from tracker.errors import UsageError

Point = tuple[float, float]

_NUMBER = r"-?(?:\d+(?:\.\d*)?|\.\d+)"
_POINT = re.compile(rf"\s*({_NUMBER})\s*,\s*({_NUMBER})\s*", re.ASCII)
_LENGTH = re.compile(rf"\s*({_NUMBER})\s*cm\s*", re.ASCII)


class BadPointsError(UsageError, ValueError):
    """Points from which nothing can be read."""


def angle_deg(one: Point, middle: Point, other: Point) -> float:
    """Return the angle at `middle` between the directions to `one` and `other`, 0 to 180 deg.

    Of shoulder, elbow and wrist it is the elbow angle: 180 is a straight arm.

    Raises
    ------
    BadPointsError
        If a point coincides with `middle`.
    """
    a = _direction(middle, one)
    b = _direction(middle, other)
    return math.degrees(math.atan2(abs(a[0] * b[1] - a[1] * b[0]), a[0] * b[0] + a[1] * b[1]))


def scale_cm(one: Point, other: Point, length_cm: float) -> float:
    """Return centimetres per unit of the picture from two points a known length apart."""
    if not length_cm > 0:
        raise BadPointsError("the known length must be more than 0 cm")
    return length_cm / math.hypot(*_direction(one, other))


def depth_below(point: Point, level: Point, water: tuple[Point, Point]) -> float:
    """Return how far `point` lies below the line through `level` parallel to the water line; + deeper."""
    along = _unit(*water)
    down = (-along[1], along[0])
    if down[1] < 0:
        down = (-down[0], -down[1])
    return (point[0] - level[0]) * down[0] + (point[1] - level[1]) * down[1]


def over_line(point: Point, start: Point, end: Point) -> float:
    """Return how far `point` lies above the straight line from `start` to `end`, square to it; - below."""
    along = _unit(start, end)
    away = (point[0] - start[0]) * along[1] - (point[1] - start[1]) * along[0]
    return away if along[0] >= 0 else -away


def tilt(start: Point, end: Point, water: tuple[Point, Point]) -> float:
    """Return the angle by which the line from `start` to `end` points below the surface, -90 to 90 deg."""
    length = math.hypot(*_direction(start, end))
    return math.degrees(math.asin(max(-1.0, min(1.0, depth_below(end, start, water) / length))))


def roll(left: Point, right: Point, water: tuple[Point, Point]) -> float:
    """Return the angle between the line through two points and the surface, 0 to 90 deg."""
    return abs(tilt(left, right, water))


def pointed(knee: Point, ankle: Point, toes: Point) -> float:
    """Return by how much the foot is pointed, deg: the angle at the ankle less 90."""
    return angle_deg(knee, ankle, toes) - 90.0


def _direction(start: Point, end: Point) -> Point:
    x, y = end[0] - start[0], end[1] - start[1]
    if x == 0 and y == 0:
        raise BadPointsError("two of the points are the same; read them off again")
    return x, y


def _unit(start: Point, end: Point) -> Point:
    x, y = _direction(start, end)
    length = math.hypot(x, y)
    return x / length, y / length


@dataclass(frozen=True)
class Reading:
    """How a measure is read off: which points, in this order, and whether a known length is needed."""

    points: tuple[str, ...]
    scaled: bool
    value: Callable[[Sequence[Point]], float]


_WATER = ("water line, one point", "water line, another point")
_KNOWN = ("one end of the known length", "its other end")


def _water(points: Sequence[Point], at: int) -> tuple[Point, Point]:
    return points[at], points[at + 1]


READINGS: Mapping[str, Reading] = {
    "elbow-angle": Reading(
        ("shoulder", "elbow", "wrist"), scaled=False, value=lambda p: angle_deg(p[0], p[1], p[2])
    ),
    "hand-depth": Reading(
        ("under-arm", "fingertips", *_WATER),
        scaled=True,
        value=lambda p: depth_below(p[1], p[0], _water(p, 2)),
    ),
    "elbow-over-line": Reading(
        ("shoulder", "elbow", "fingertips"), scaled=True, value=lambda p: over_line(p[1], p[0], p[2])
    ),
    "entry-angle": Reading(
        ("wrist", "fingertips", *_WATER), scaled=False, value=lambda p: tilt(p[0], p[1], _water(p, 2))
    ),
    "crown-height": Reading(
        ("highest point of the head", *_WATER),
        scaled=True,
        value=lambda p: -depth_below(p[0], p[1], _water(p, 1)),
    ),
    "body-angle": Reading(
        ("shoulder", "hip", *_WATER), scaled=False, value=lambda p: tilt(p[0], p[1], _water(p, 2))
    ),
    "shoulder-roll": Reading(
        ("left shoulder", "right shoulder", *_WATER),
        scaled=False,
        value=lambda p: roll(p[0], p[1], _water(p, 2)),
    ),
    "hip-roll": Reading(
        ("left hip", "right hip", *_WATER), scaled=False, value=lambda p: roll(p[0], p[1], _water(p, 2))
    ),
    "kick-depth": Reading(
        ("foot at its highest", "foot at its lowest", *_WATER),
        scaled=True,
        value=lambda p: depth_below(p[1], p[0], _water(p, 2)),
    ),
    "ankle-flexion": Reading(
        ("knee", "ankle", "toes"), scaled=False, value=lambda p: pointed(p[0], p[1], p[2])
    ),
}
"""The measures that can be read off a still, with their points. The others are timed or counted."""


def measured(text: str) -> tuple[str, float]:
    """Return the measure and its value from points written as "kind:x,y;x,y;...".

    A measure in centimetres ends with the known length: its two points, then "40cm".

    Raises
    ------
    BadPointsError
        If the kind is not read off points, a point is no pair of numbers, their number is wrong,
        the known length lacks, or two points that make a line are the same.

    Examples
    --------
    >>> measured("hip-roll:0,0;30,40;0,0;100,0")
    ('hip-roll', 53.1)
    """
    kind, _, rest = text.partition(":")
    kind = kind.strip()
    reading = READINGS.get(kind)
    if reading is None:
        raise BadPointsError(f"{kind!r} is not read off points; use one of {', '.join(READINGS)}")
    parts = rest.split(";")
    length = _LENGTH.fullmatch(parts[-1]) if reading.scaled else None
    if reading.scaled and length is None:
        raise BadPointsError(f"{kind} ends with the known length, such as '0,0;120,0;40cm'")
    points = [_point(part) for part in (parts[:-1] if length else parts)]
    names = (*reading.points, *(_KNOWN if reading.scaled else ()))
    if len(points) != len(names):
        raise BadPointsError(f"{kind} needs {len(names)} points ({'; '.join(names)}), not {len(points)}")
    value = reading.value(points)
    if length:
        value *= scale_cm(points[-2], points[-1], float(length[1]))
    return kind, round(value, 1) + 0.0


def _point(text: str) -> Point:
    found = _POINT.fullmatch(text)
    if not found:
        raise BadPointsError(
            f"{text.strip()!r} is not a point; write it as x,y with a full stop for decimals"
        )
    return float(found[1]), float(found[2])
