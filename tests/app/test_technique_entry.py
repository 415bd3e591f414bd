"""Reviews, fault steps, cues and drills, events and load through their use-cases."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.builders import NOW, TODAY, a_session
from tracker.app.choices import choose_fault
from tracker.app.events import log_event, log_load
from tracker.app.faults import change_fault, list_faults
from tracker.app.reviews import log_review
from tracker.app.swimmers import add_swimmer
from tracker.app.work import start_work, stop_work
from tracker.entry.review_form import TypedReview
from tracker.errors import EntryError, UnknownNameError, UsageError
from tracker.model.event import Event, Load
from tracker.model.fault import FaultStep, OwnFault
from tracker.model.review import ReviewItem
from tracker.model.work import Work
from tracker.remedies import Mend
from tracker.settings import Settings
from tracker.store.database import Store

INES = "Ines Aalto"


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    made = Store.open(tmp_path / "club.db")
    add_swimmer(a_session(made), {"swimmer": INES})
    with made.write(what="import", who="Maud", at=NOW) as writer:
        writer.add([OwnFault(fault="own-wall-glide", name="glides into the wall", cues="one more stroke")])
    yield made
    made.close()


def _all(store: Store, kind: type[Any]) -> list[Any]:
    with store.read() as reader:
        return [kept.record for kept in reader.all(kind, swimmer=INES)]


def test_a_review_and_its_faults_are_one_change(store: Store) -> None:
    typed = TypedReview(INES, "Bo", scores=("breathing=2",), faults=("own-wall-glide=1",), note="seen twice")
    logged = log_review(a_session(store), typed)
    assert _all(store, ReviewItem) == list(logged.items)
    assert _all(store, ReviewItem)[0].note == "seen twice"
    assert [(s.fault, s.step, s.severity, s.reviewer) for s in _all(store, FaultStep)] == [
        ("own-wall-glide", "open", 1, "Bo")
    ]
    store.undo(at=NOW)
    assert (_all(store, ReviewItem), _all(store, FaultStep)) == ([], [])


def test_a_review_with_one_wrong_part_stores_nothing(store: Store) -> None:
    typed = TypedReview(INES, "Bo", scores=("breathing=2",), corrected=("entry-crossing",))
    with pytest.raises(UsageError, match="cannot be corrected"):
        log_review(a_session(store), typed)
    with pytest.raises(EntryError, match="reviewer"):
        log_review(a_session(store), TypedReview(INES, ""))
    assert _all(store, ReviewItem) == []


@pytest.mark.parametrize(
    ("parts", "said"),
    [
        ({"scores": ("breathing=2", "kick=3", "breathing=3")}, "breathing is scored twice"),
        ({"measures": ("hip-roll:left=1000",)}, "at most 180 deg"),
    ],
)
def test_a_review_that_no_look_could_give_is_refused(
    store: Store, parts: dict[str, tuple[str, ...]], said: str
) -> None:
    with pytest.raises(EntryError, match=said):
        log_review(a_session(store), TypedReview(INES, "Bo", **parts))
    assert _all(store, ReviewItem) == []


def test_a_review_of_another_day_looks_at_the_state_of_that_day(store: Store) -> None:
    seen = ("entry-crossing",)
    log_review(a_session(store), TypedReview(INES, "Bo", "2026-05-10", corrected=(), faults=seen))
    earlier = log_review(a_session(store), TypedReview(INES, "Bo", "2026-05-01", faults=seen))
    assert earlier.steps[0].step == "open"
    later = log_review(a_session(store), TypedReview(INES, "Bo", "2026-05-20", faults=seen))
    assert later.steps[0].step == "seen"


def test_points_are_kept_beside_the_value_read_off_them(store: Store) -> None:
    log_review(a_session(store), TypedReview(INES, "Bo", points=("hip-roll:left:0,0;30,40;0,0;100,0",)))
    (item,) = _all(store, ReviewItem)
    assert (item.item, item.side, item.value, item.points) == (
        "hip-roll", "left", 53.1, "hip-roll:0,0;30,40;0,0;100,0"
    )  # fmt: skip


def test_own_faults_live_like_the_others(store: Store) -> None:
    changed = change_fault(
        a_session(store), INES, {"step": "open", "fault": "own-wall-glide", "reviewer": "Bo"}
    )
    assert (changed.before, changed.after) == (None, "open")
    assert list_faults(a_session(store))[-1].slug == "own-wall-glide"
    with pytest.raises(UnknownNameError, match="own-wall-glide"):
        change_fault(a_session(store), INES, {"step": "open", "fault": "own-wall-glid"})


def test_a_step_takes_the_only_side_on_record(store: Store) -> None:
    change_fault(a_session(store), INES, {"step": "open", "fault": "breath-late", "side": "left"})
    assert change_fault(a_session(store), INES, {"step": "work", "fault": "breath-late"}).step.side == "left"
    change_fault(a_session(store), INES, {"step": "open", "fault": "breath-late", "side": "right"})
    with pytest.raises(UsageError, match=r"left and right$") as refused:
        change_fault(a_session(store), INES, {"step": "corrected", "fault": "breath-late"})
    assert refused.value.remedy is Mend.SAY_SIDE


def test_every_problem_of_a_step_is_found(store: Store) -> None:
    typed = {"step": "open", "fault": "breath-late", "side": "up", "severity": "9", "date": "x"}
    with pytest.raises(EntryError) as caught:
        change_fault(a_session(store), INES, {**typed, "reviewer": "a\rb"})
    assert {p.field for p in caught.value.problems} == {"side", "severity", "date", "reviewer"}


def test_work_starts_stops_and_starts_again(store: Store) -> None:
    form = {
        "kind": "drill",
        "text": "side kick",
        "fault": "breath-late",
        "per_week": "3",
        "from": "2026-06-01",
    }
    work, answered = start_work(a_session(store), INES, form)
    assert work.per_week == 3.0
    assert answered is not None
    assert answered.slug == "breath-late"
    assert stop_work(a_session(store), INES, {"kind": "drill", "text": "SIDE"}).to_date == TODAY
    start_work(a_session(store), INES, form | {"from": ""})
    assert [(w.from_date, w.to_date) for w in _all(store, Work)] == [
        (dt.date(2026, 6, 1), TODAY),
        (TODAY, None),
    ]


def test_a_beginning_that_fits_two_is_not_guessed(store: Store) -> None:
    for text in ("scull by the wall", "scull by the rope"):
        start_work(a_session(store), INES, {"kind": "drill", "text": text})
    with pytest.raises(UnknownNameError, match="did you mean scull by the wall, scull by the rope"):
        stop_work(a_session(store), INES, {"kind": "drill", "text": "scull"})


def test_events_may_lie_ahead_but_health_needs_a_switch(store: Store) -> None:
    ahead = {"swimmer": INES, "kind": "race", "from": "2026-09-14"}
    assert log_event(a_session(store), ahead).from_date == dt.date(2026, 9, 14)
    sick = {"swimmer": INES, "kind": "illness"}
    with pytest.raises(UsageError, match="health"):
        log_event(a_session(store), sick)
    log_event(a_session(store, settings=Settings(health=True)), sick)
    assert [event.kind for event in _all(store, Event)] == ["illness", "race"]


def test_a_week_is_completed_not_doubled(store: Store) -> None:
    week = {"swimmer": INES, "week": "2026-06-24"}
    assert log_load(a_session(store), week | {"sessions": "3"})[1] is False
    assert log_load(a_session(store), week | {"week": "2026-06-28", "metres": "7800"})[1] is True
    assert _all(store, Load) == [Load(week=dt.date(2026, 6, 22), swimmer=INES, sessions=3, metres=7800)]
    with pytest.raises(EntryError, match="week"):
        log_load(a_session(store), week | {"week": "next", "sessions": "3"})


def test_a_side_is_taken_only_where_a_fault_has_sides(store: Store) -> None:
    said = "legs-low has no left and right; leave 'left' out"
    with pytest.raises(EntryError, match=said):
        change_fault(a_session(store), INES, {"step": "open", "fault": "legs-low", "side": "left"})
    with pytest.raises(EntryError, match=said):
        log_review(a_session(store), TypedReview(INES, "Bo", faults=("legs-low:left=2",)))
    assert _all(store, FaultStep) == []
    for known in ("breath-late:left=2", "own-wall-glide:left"):
        log_review(a_session(store), TypedReview(INES, "Bo", faults=(known,)))
    assert [step.side for step in _all(store, FaultStep)] == ["left", "left"]


def test_a_side_from_before_can_still_be_closed_and_chosen(store: Store) -> None:
    """Rows of an older version or of an import may have one."""
    old = [
        FaultStep(date=dt.date(2026, 5, 1), swimmer=INES, fault=fault, side="left", step="open")
        for fault in ("legs-low", "kick-hard")
    ]
    with store.write(what="import", who="Maud", at=NOW) as writer:
        writer.add(old)
    choose_fault(a_session(store), INES, "legs-low", side="left", reason="first")
    with pytest.raises(EntryError, match="legs-low has no left and right; leave 'right' out"):
        choose_fault(a_session(store), INES, "legs-low", side="right", reason="first")
    change_fault(a_session(store), INES, {"step": "corrected", "fault": "legs-low", "side": "left"})
    log_review(a_session(store), TypedReview(INES, "Bo", corrected=("kick-hard:left",)))
    assert [step.step for step in _all(store, FaultStep)][2:] == ["corrected", "corrected"]
