"""Changes: corrections that a reviewer saw, first days of cues and drills."""

from __future__ import annotations

from tests.technique.build import SWIMMER, day, steps
from tracker.model.work import Work
from tracker.technique.fault_timeline import Change, corrections, timelines, works


def test_a_correction_counts_from_the_day_a_reviewer_saw_it() -> None:
    known = steps(
        "01-10 open kick-hard Mika",
        "02-01 corrected kick-hard",
        "03-01 corrected kick-hard Mika",
        "04-01 corrected kick-hard Mika",
        "01-10 corrected kick-wide Mika",
    )
    found = corrections(SWIMMER, timelines(known, day("06-30")))
    assert found == (Change(SWIMMER, "correction", "kick-hard", day("03-01")),)


def test_a_fault_corrected_twice_is_two_corrections() -> None:
    known = steps(
        "01-10 open kick-hard",
        "02-01 corrected kick-hard Mika",
        "03-01 back kick-hard",
        "04-01 corrected kick-hard Mika",
    )
    assert [c.date for c in corrections(SWIMMER, timelines(known, day("06-30")))] == [
        day("02-01"),
        day("04-01"),
    ]


def test_cues_and_drills_count_from_their_first_day() -> None:
    cue = Work(
        from_date=day("02-01"), swimmer=SWIMMER, kind="cue", fault="kick-hard", text="legs like a tail"
    )
    drill = Work(from_date=day("01-01"), swimmer=SWIMMER, kind="drill", text="side kick", per_week=2)
    assert works(SWIMMER, [cue, drill]) == (
        Change(SWIMMER, "drill", "", day("01-01"), "side kick"),
        Change(SWIMMER, "cue", "kick-hard", day("02-01"), "legs like a tail"),
    )
