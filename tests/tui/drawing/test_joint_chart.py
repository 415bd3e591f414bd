from __future__ import annotations

import datetime as dt

import pytest

from tests.tui.drawing.pictures import FIRST, FLAT, LAST, a_picture
from tracker.model.vocabularies import State
from tracker.tui.drawing.cells import HATCH, width_of
from tracker.tui.drawing.joint_chart import View, gutter_width, joint_chart
from tracker.tui.drawing.picture import Lane, LaneSpell, Picture
from tracker.tui.drawing.scales import DateScale

WHOLE = View(FIRST, LAST)


def lines_of(picture: Picture, view: View = WHOLE, width: int = 80, height: int = 18) -> list[str]:
    return ["".join(run.text for run in row) for row in joint_chart(picture, view, width, height)]


@pytest.mark.parametrize(("width", "height"), [(80, 18), (120, 30), (250, 50), (60, 8), (20, 3), (1, 1)])
def test_chart_fills_exactly_the_room_it_is_given(width, height):
    lines = lines_of(a_picture(), width=width, height=height)
    assert len(lines) == height
    assert {width_of(line) for line in lines} == {width}


def test_faster_is_up():
    lines = lines_of(a_picture())
    labels = [line.split("┤")[0].split()[-1] for line in lines if "┤" in line]
    assert labels == sorted(labels)
    assert lines[0].startswith("faster ▲")
    first = next(y for y, line in enumerate(lines) if "•" in line[18:24])
    last = next(y for y, line in enumerate(lines) if "•" in line[74:80])
    assert last < first


def test_a_flat_stretch_is_shaded_across_the_pace_and_the_faults():
    rows = joint_chart(a_picture(), WHOLE, 80, 18)
    left = gutter_width(80)
    span = DateScale(FIRST, LAST, 80 - left).span(FLAT.start, FLAT.end)
    for row in rows:
        x = 0
        shaded: set[int] = set()
        for run in row:
            if run.shaded:
                shaded.update(range(x, x + width_of(run.text)))
            x += width_of(run.text)
        assert shaded == {left + column for column in span}


def test_shading_survives_without_colour():
    lines = lines_of(a_picture())
    assert "flat from 7 Dec" in lines[0]
    assert sum(HATCH in line for line in lines) > 8
    assert "━" in next(line for line in lines if line.lstrip().startswith("└"))


def test_each_state_of_a_fault_has_its_word_and_its_pattern():
    lines = lines_of(a_picture(), width=120, height=30)
    lane = next(line for line in lines if line.startswith("breath-late L"))
    opened, worked, done = lane.index("open"), lane.index("in work"), lane.index("corrected")
    assert opened < worked < done
    assert "━━" in lane[opened:worked]
    assert "══" in lane[worked:done]
    assert "··" in lane[done:]
    assert "┄┄" in next(line for line in lines if line.startswith("kick-wide"))
    assert "back" in next(line for line in lines if line.startswith("entry-crossing"))


def test_spells_and_tests_share_one_date_axis():
    day = dt.date(2026, 2, 1)
    rows = joint_chart(a_picture(), View(FIRST, LAST, cursor=day), 120, 30)
    x_of_cursor = {"".join(run.text for run in row).find("│") for row in rows} - {-1}
    x = x_of_cursor.pop()
    assert not x_of_cursor
    lane = next(
        line for line in lines_of(a_picture(), width=120, height=30) if line.startswith("breath-late L")
    )
    assert lane.index("═") == x


def test_tests_set_aside_and_of_another_protocol_have_their_own_signs():
    text = "\n".join(lines_of(a_picture()))
    assert text.count("×") == 1
    assert "◦" in text


def test_a_set_aside_test_does_not_stretch_the_scale():
    with_it = [line for line in lines_of(a_picture()) if "┤" in line]
    points = tuple(point for point in a_picture().points if not point.set_aside)
    without = [line for line in lines_of(a_picture(points=points)) if "┤" in line]
    assert [line.split("┤")[0] for line in with_it] == [line.split("┤")[0] for line in without]


def test_events_are_named():
    events = next(line for line in lines_of(a_picture(), width=120) if line.startswith("events"))
    assert "├camp" in events
    assert "├lay-off" in events


def test_cues_and_drills_have_a_row_where_there_is_room():
    from tracker.tui.drawing.picture import Mark

    picture = a_picture(work=(Mark(dt.date(2025, 11, 8), None, "scull"),))
    tall = lines_of(picture, width=120, height=30)
    assert "├scull" in next(line for line in tall if line.startswith("cues and drills"))
    assert not any(line.startswith("cues") for line in lines_of(picture, height=18))


def test_more_faults_than_rows_are_counted_not_dropped():
    lanes = tuple(Lane(f"fault {n}", (LaneSpell(State.OPEN, FIRST, None),)) for n in range(12))
    text = "\n".join(lines_of(a_picture(lanes=lanes), height=14))
    shown = sum(f"fault {n} " in text for n in range(12))
    assert f"and {12 - shown} more faults" in text


def test_no_tests_is_said():
    text = "\n".join(lines_of(a_picture(points=(), curve=None, flats=())))
    assert "no tests in these dates" in text


def test_why_there_is_no_line_is_said_where_the_line_would_be():
    why = "No line yet: 7 of the 8 tests and 9 of the 10 weeks it needs."
    lines = lines_of(a_picture(curve=None, no_line=why, flats=()), width=80)
    assert lines[0].rstrip().endswith(why)
    assert not any("⠁" <= char <= "⣿" for char in "".join(lines))
    assert "No line yet: 7 of the 8" in lines_of(a_picture(curve=None, no_line=why, flats=()), width=60)[0]


def test_fault_names_are_cleaned_and_cut_by_cells():
    lanes = (Lane("\x1b[2J凌汐舟凌汐舟凌汐舟凌汐舟[red]", (LaneSpell(State.OPEN, FIRST, None),)),)
    lines = lines_of(a_picture(lanes=lanes))
    assert "\x1b" not in "".join(lines)
    assert {width_of(line) for line in lines} == {80}


def test_gaps_between_tests_are_not_joined():
    alone = a_picture(curve=None, flats=(), lanes=(), marks=())
    text = "".join(lines_of(alone))
    assert not any("⠁" <= char <= "⣿" for char in text)
