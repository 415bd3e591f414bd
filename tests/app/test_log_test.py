"""Logging a test: one transaction, doubts before anything is stored, the set named once."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.builders import NOW, TODAY, a_session
from tracker.app.entries import delete_entry
from tracker.app.log_swims import ImplausibleError, LoggedSwims, log_test, preview_test, usual_course_of
from tracker.app.swimmers import add_swimmer
from tracker.app.swims import TypedEdit, decide_swim, edit_swim, find_swim, list_swims
from tracker.entry.swim_form import TypedTest
from tracker.errors import EntryError, StaleError, UnknownNameError, UsageError
from tracker.model.doubts import Ratio, ThirtyAboveCss, TooFast
from tracker.model.swim import Swim
from tracker.model.usual_course import UsualCourse
from tracker.settings import Settings
from tracker.store.database import Store

INES = "Ines Aalto"


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    made = Store.open(tmp_path / "club.db")
    add_swimmer(a_session(made), {"swimmer": INES, "born": "1988"})
    yield made
    made.close()


def _log(store: Store, *times: str, test: str = "t400", accepted: bool = False, **form: str) -> LoggedSwims:
    typed = TypedTest(INES, test, times, form, accepted)
    return log_test(a_session(store), typed)


def _swims(store: Store) -> list[Swim]:
    return [one.row.record for one in list_swims(a_session(store), INES)]


def test_a_pair_is_one_set_and_a_second_pair_of_the_day_another(store: Store) -> None:
    first = _log(store, "6:40", "3:10", test="css")
    second = _log(store, "6:41", "3:10", test="css")
    assert first.css is not None
    assert first.css.pace == pytest.approx(105.0)
    assert {swim.set_id for swim in first.swims} == {"2026-06-30 css"}
    assert {swim.set_id for swim in second.swims} == {"2026-06-30 css 2"}
    assert first.numbers == (1, 2)
    assert (first.care, second.care) == (("maximal-test",), ())


def test_the_implausible_is_refused_whole_and_accepted_whole(store: Store) -> None:
    with pytest.raises(ImplausibleError) as caught:
        _log(store, "6:00", "3:10", test="css")
    assert [type(doubt) for doubt in caught.value.doubts] == [Ratio]
    assert _swims(store) == []
    accepted = _log(store, "6:00", "3:10", test="css", accepted=True)
    assert {swim.decision for swim in accepted.swims} == {"accepted"}
    assert all(one.status.counts for one in list_swims(a_session(store), INES))


def test_a_plausible_swim_is_not_marked_accepted_by_the_flag(store: Store) -> None:
    assert _log(store, "6:40", accepted=True).swims[0].decision == ""


def test_limits_come_from_the_settings(store: Store) -> None:
    typed = TypedTest(INES, "t400", ("6:40",))
    with pytest.raises(ImplausibleError):
        log_test(a_session(store, settings=Settings(fastest_pace_s=101)), typed)


def test_a_preview_says_the_same_and_stores_nothing(store: Store) -> None:
    typed = TypedTest(INES, "css", ("6:40", "3:10"))
    seen = preview_test(a_session(store), typed)
    assert _swims(store) == []
    logged = log_test(a_session(store), typed)
    assert (seen.swims, seen.css, seen.remarks) == (logged.swims, logged.css, logged.remarks)


def test_the_course_of_a_form_is_the_usual_pool(store: Store) -> None:
    session = a_session(store, settings=Settings(course="LCM"))
    assert usual_course_of(session, INES) == UsualCourse("LCM", usual=False, last="")
    _log(store, "6:40", course="OW", date="2026-05-01")
    assert usual_course_of(session, INES) == UsualCourse("LCM", usual=False, last="OW")
    _log(store, "6:40", course="SCY", date="2026-05-02")
    assert usual_course_of(session, INES) == UsualCourse("SCY", usual=True, last="SCY")


def test_unknown_names_and_bad_forms_are_refused(store: Store) -> None:
    with pytest.raises(UnknownNameError, match="did you mean t400"):
        _log(store, "6:40", test="t40")
    with pytest.raises(UnknownNameError, match="Ines Aalto"):
        log_test(a_session(store), TypedTest("Inez Aalto", "t400", ("6:40",)))
    with pytest.raises(EntryError) as caught:
        _log(store, "6:75", date="2026-07-02", suit="shiny")
    assert {problem.field for problem in caught.value.problems} == {"time", "suit"}
    assert _swims(store) == []


def test_an_edit_on_an_old_sight_is_refused(store: Store) -> None:
    _log(store, "6:40")
    seen = find_swim(a_session(store), 1)
    edit_swim(a_session(store), TypedEdit(seen, {"time": "6:41"}))
    with pytest.raises(StaleError):
        edit_swim(a_session(store), TypedEdit(seen, {"time": "6:42"}))
    with pytest.raises(StaleError):
        delete_entry(a_session(store), seen)
    assert _swims(store)[0].time_s == 401.0


def test_an_edit_into_the_implausible_needs_a_person(store: Store) -> None:
    _log(store, "6:40")
    typed = TypedEdit(find_swim(a_session(store), 1), {"time": "2:00"})
    with pytest.raises(ImplausibleError):
        edit_swim(a_session(store), typed)
    new, found = edit_swim(a_session(store), TypedEdit(typed.old, typed.form, accepted=True))
    assert (new.decision, [type(doubt) for doubt in found]) == ("accepted", [TooFast])
    assert _swims(store)[0] == new


def test_an_edit_that_changes_nothing_writes_nothing(store: Store) -> None:
    _log(store, "6:40")
    edit_swim(a_session(store), TypedEdit(find_swim(a_session(store), 1), {"time": "6:40.0"}))
    assert find_swim(a_session(store), 1).version == 1


def test_a_doubtful_swim_stays_out_until_decided(store: Store) -> None:
    with store.write(what="import", who="Maud", at=NOW) as writer:
        writer.add([Swim(date=TODAY, swimmer=INES, test="t400", distance_m=400, time_s=120)])
    (listed,) = list_swims(a_session(store), INES)
    assert not listed.status.counts
    decide_swim(a_session(store), listed.row, "kept", "")
    assert list_swims(a_session(store), INES)[0].status.counts
    with pytest.raises(UsageError, match="with a reason"):
        decide_swim(a_session(store), find_swim(a_session(store), 1), "aside", " ")
    decide_swim(a_session(store), find_swim(a_session(store), 1), "aside", "wrong pool")
    assert _swims(store)[0].note == "aside: wrong pool"


def test_everything_undone_is_as_if_never_done(store: Store) -> None:
    _log(store, "6:40", "3:10", test="css")
    edit_swim(a_session(store), TypedEdit(find_swim(a_session(store), 1), {"time": "6:45"}))
    delete_entry(a_session(store), find_swim(a_session(store), 2))
    for _ in range(3):
        store.undo(at=NOW)
    assert _swims(store) == []


@pytest.mark.parametrize(
    ("suit", "course", "remarked"),
    [("none", "SCM", True), ("wetsuit", "SCM", False), ("none", "LCM", False)],
)
def test_thirty_minutes_are_held_against_the_css_of_the_same_suit_and_pool(
    store: Store, suit: str, course: str, remarked: bool
) -> None:
    """By hand: 400 in 6:40 and 200 in 3:10 are a CSS of 105.0 s; 1750 m in 30 minutes are 102.9 s."""
    _log(store, "6:40", "3:10", test="css", date="2026-06-20", suit="none", course="SCM")
    logged = _log(store, "1750m", test="t30", suit=suit, course=course)
    assert (ThirtyAboveCss in {type(one) for one in logged.remarks}) is remarked


def test_thirty_minutes_are_held_against_the_last_css_and_not_one_set_aside(store: Store) -> None:
    """By hand: 6:00 and 2:50 are 95.0 s, faster than 102.9 s; 6:40 and 3:10 are 105.0 s, slower."""
    _log(store, "6:40", "3:10", test="css", date="2026-06-10")
    _log(store, "6:00", "2:50", test="css", date="2026-06-20")
    assert _log(store, "1750m", test="t30").remarks == ()
    for number in (3, 4):
        decide_swim(a_session(store), find_swim(a_session(store), number), "aside", "a short pool")
    assert ThirtyAboveCss in {type(one) for one in _log(store, "1750m", test="t30").remarks}
