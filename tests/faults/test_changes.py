"""Changes: corrections that a reviewer saw, first days of cues and drills."""

from __future__ import annotations

from tests.faults.build import SWIMMER, day, steps
from tracker.faults.changes import Change, corrections, works
from tracker.faults.life import lives
from tracker.records.work import Work


def test_a_correction_counts_from_the_day_a_reviewer_saw_it() -> None:
    known = steps(
        "01-10 open head-high Mika",
        "02-01 corrected head-high",
        "03-01 corrected head-high Mika",
        "04-01 corrected head-high Mika",
        "01-10 corrected kick-wide Mika",
    )
    found = corrections(SWIMMER, lives(known, day("06-30")))
    assert found == (Change(SWIMMER, "correction", "head-high", day("03-01")),)


def test_a_fault_corrected_twice_is_two_corrections() -> None:
    known = steps(
        "01-10 open head-high",
        "02-01 corrected head-high Mika",
        "03-01 back head-high",
        "04-01 corrected head-high Mika",
    )
    assert [c.date for c in corrections(SWIMMER, lives(known, day("06-30")))] == [day("02-01"), day("04-01")]


def test_cues_and_drills_count_from_their_first_day() -> None:
    cue = Work(from_date=day("02-01"), swimmer=SWIMMER, kind="cue", fault="head-high", text="long neck")
    drill = Work(from_date=day("01-01"), swimmer=SWIMMER, kind="drill", text="side kick", per_week=2)
    assert works(SWIMMER, [cue, drill]) == (
        Change(SWIMMER, "drill", "", day("01-01"), "side kick"),
        Change(SWIMMER, "cue", "head-high", day("02-01"), "long neck"),
    )
