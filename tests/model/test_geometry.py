"""Angles and lengths against triangles worked by hand, and the laws of turning and scaling."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.model import geometry as geo
from tracker.model.catalogue import measures

LEVEL = ((0.0, 0.0), (100.0, 0.0))


@pytest.mark.parametrize(
    ("wrist", "angle"),
    [((30.0, 40.0), 90.0), ((60.0, 0.0), 180.0), ((0.0, 0.0), 0.0), ((60.0, 30.0), 135.0)],
)
def test_elbow_angle_of_triangles_worked_by_hand(wrist: geo.Point, angle: float) -> None:
    """Shoulder at the origin, elbow 30 to its right: straight down from it is a right angle, diagonal 135."""
    assert geo.angle_deg((0, 0), (30, 0), wrist) == pytest.approx(angle)


def test_elbow_angle_of_an_equilateral_and_a_3_4_5_triangle() -> None:
    """60 deg in the equilateral; in 3-4-5 the angle between the sides 3 and 5 is arccos(3/5) = 53.130 deg."""
    assert geo.angle_deg((0, 0), (2, 0), (1, math.sqrt(3))) == pytest.approx(60.0)
    assert geo.angle_deg((3, 0), (0, 0), (3, 4)) == pytest.approx(53.13010235)


def test_hand_depth_with_a_level_and_a_tilted_camera() -> None:
    """Under-arm at (0, 20), fingertips 60 ahead and 15 lower: 15 units deep. A camera tilted by 3-4-5 sees
    the same points turned by 36.87 deg; the water line turns with them and the depth stays 15."""
    assert geo.depth_below((60, 35), (0, 20), LEVEL) == pytest.approx(15.0)
    turned = [turn(p, 0.6, 0.8) for p in ((60, 35), (0, 20), (0, 0), (100, 0))]
    assert geo.depth_below(turned[0], turned[1], (turned[2], turned[3])) == pytest.approx(15.0)


def test_depth_does_not_depend_on_which_water_point_is_named_first() -> None:
    assert geo.depth_below((60, 35), (0, 20), (LEVEL[1], LEVEL[0])) == pytest.approx(15.0)


@pytest.mark.parametrize("mirror", [1, -1])
def test_elbow_over_the_line_swimming_either_way(mirror: int) -> None:
    """Shoulder (0, 0), fingertips (80, 60): the line falls 3 in 4. An elbow at (40, 20) lies 10 above
    it vertically (the line is at 30 there), so 10 * 4/5 = 8 square to it; at (40, 40) it lies 8 below."""
    assert geo.over_line((mirror * 40, 20), (0, 0), (mirror * 80, 60)) == pytest.approx(8.0)
    assert geo.over_line((mirror * 40, 40), (0, 0), (mirror * 80, 60)) == pytest.approx(-8.0)


@pytest.mark.parametrize("mirror", [1, -1])
def test_entry_and_body_angle_swimming_either_way(mirror: int) -> None:
    """Fingertips 30 ahead of and 40 below the wrist: arcsin(40/50) = 53.130 deg; straight down 90."""
    assert geo.tilt((0, 0), (mirror * 30, 40), LEVEL) == pytest.approx(53.13010235)
    assert geo.tilt((0, 0), (mirror * 30, 0), LEVEL) == pytest.approx(0.0)
    assert geo.tilt((0, 0), (0, 7), LEVEL) == pytest.approx(90.0)
    assert geo.tilt((0, 0), (mirror * 30, -40), LEVEL) == pytest.approx(-53.13010235)


def test_roll_is_the_same_for_both_sides() -> None:
    """Shoulders 40 apart across and 40 apart in height: 45 deg, whichever is lower."""
    assert geo.roll((0, 40), (40, 0), LEVEL) == pytest.approx(45.0)
    assert geo.roll((0, 0), (40, 40), LEVEL) == pytest.approx(45.0)


def test_a_foot_at_a_right_angle_is_not_pointed_and_a_straight_one_is_by_90() -> None:
    assert geo.pointed((0, 0), (0, 40), (20, 40)) == pytest.approx(0.0)
    assert geo.pointed((0, 0), (0, 40), (0, 60)) == pytest.approx(90.0)


def test_scale_from_a_known_length() -> None:
    """A 3-4-5 triangle: 50 units that are known to be 25 cm give half a centimetre a unit."""
    assert geo.scale_cm((0, 0), (30, 40), 25.0) == pytest.approx(0.5)
    with pytest.raises(ValueError, match="more than 0"):
        geo.scale_cm((0, 0), (30, 40), 0.0)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("elbow-angle:0,0;30,0;30,40", 90.0),
        ("hand-depth:0,20;60,35;0,0;100,0;0,0;50,0;25cm", 7.5),
        ("elbow-over-line: 0,0; 40,20; 80,60; 0,0;0,50; 100 cm", 16.0),
        ("entry-angle:0,0;30,40;0,0;100,0", 53.1),
        ("crown-height:50,-6;0,0;100,0;0,0;10,0;10cm", 6.0),
        ("crown-height:50,6;0,0;100,0;0,0;10,0;10cm", -6.0),
        ("body-angle:0,0;80,60;0,0;100,0", 36.9),
        ("shoulder-roll:0,40;40,0;0,0;100,0", 45.0),
        ("hip-roll:0,0;40,0;0,0;100,0", 0.0),
        ("kick-depth:10,5;12,35;0,0;100,0;0,0;30,0;30cm", 30.0),
        ("ankle-flexion:0,0;0,40;0,60", 90.0),
    ],
)
def test_measures_written_as_points(text: str, value: float) -> None:
    kind, found = geo.measured(text)
    assert (kind, found) == (text.split(":", maxsplit=1)[0], value)


def test_every_reading_is_a_measure_and_the_scaled_ones_are_in_centimetres() -> None:
    units = {measure.slug: measure.unit for measure in measures()}
    assert set(geo.READINGS) <= set(units)
    assert all((units[slug] == "cm") == reading.scaled for slug, reading in geo.READINGS.items())


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("elbow-angle:0,0;30,0", "needs 3 points"),
        ("elbow-angle:0,0;30,0;30,0", "the same"),
        ("elbow-angle:0,0;30,0;1e3,0", "not a point"),
        ("elbow-angle:0,0;30,0;nan,0", "not a point"),
        ("elbow-angle:0,0;30,0;١,٢", "not a point"),
        ("hand-depth:0,20;60,35;0,0;100,0", "known length"),
        ("hand-depth:0,20;60,35;0,0;100,0;40cm", "needs 6 points"),
        ("coordination-index:0,0", "not read off points"),
        ("", "not read off points"),
    ],
)
def test_what_cannot_be_read_says_why(text: str, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        geo.measured(text)


COORDINATES = st.floats(-1000, 1000).map(lambda value: round(value, 2))
POINTS = st.tuples(COORDINATES, COORDINATES)


def turn(point: geo.Point, cos: float, sin: float) -> geo.Point:
    return point[0] * cos - point[1] * sin, point[0] * sin + point[1] * cos


@given(st.lists(POINTS, min_size=3, max_size=3, unique=True), st.floats(0.1, 10), st.floats(0, math.tau))
def test_an_angle_survives_moving_turning_and_scaling(
    points: list[geo.Point], scale: float, turned: float
) -> None:
    moved = [turn((scale * p[0] + 17, scale * p[1] - 5), math.cos(turned), math.sin(turned)) for p in points]
    assert geo.angle_deg(*moved) == pytest.approx(geo.angle_deg(*points), abs=1e-3)


@given(st.lists(POINTS, min_size=3, max_size=3, unique=True))
def test_the_angles_of_a_triangle_add_up(points: list[geo.Point]) -> None:
    a, b, c = points
    total = geo.angle_deg(b, a, c) + geo.angle_deg(a, b, c) + geo.angle_deg(a, c, b)
    assert total == pytest.approx(180.0, abs=1e-6)
