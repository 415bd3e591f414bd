"""Who needs a look first: what counts as new on a given day."""

from __future__ import annotations

import pytest

from tests.technique.build import SWIMMER, a_verdict, day
from tracker.engine.verdict.verdict import Word
from tracker.model.swimmer import Choice
from tracker.model.vocabularies import State
from tracker.technique.attention import GROUNDS, Attention, Ground, RosterLine, attention, need
from tracker.technique.due import Due
from tracker.technique.held_back import HeldBack
from tracker.technique.link import Link


@pytest.mark.parametrize(
    ("marked", "new"), [("02-20", True), ("03-01", False), ("06-28", False), ("06-29", True)]
)
def test_only_a_mark_between_the_onset_and_the_day_asked_about_makes_a_verdict_seen(
    marked: str, new: bool
) -> None:
    seen = Choice(date=day(marked), swimmer=SWIMMER, kind="seen", value="plateau")
    found = attention(a_verdict(since="03-01"), None, Due(None, None), [seen], as_of=day("06-28"))
    assert found.new is new


def test_whoever_has_no_test_at_all_is_due_for_one() -> None:
    """As in the list's column and on the roster's page: the sentence above them counts the same."""
    found = attention(None, None, Due(None, None), [], as_of=day("06-28"))
    assert found.grounds == ("test due", "too early")


@pytest.mark.parametrize(
    ("state", "ground"),
    [
        (State.OPEN, "plateau with an open fault"),
        (State.BACK, "plateau with an open fault"),
        (State.IN_WORK, "plateau in work"),
        (State.PARKED, "plateau in work"),
        (State.CORRECTED, "plateau in work"),
        (State.SAID_CORRECTED, "plateau in work"),
    ],
)
@pytest.mark.parametrize("how", ["before", "during"])
def test_a_plateau_presses_most_where_its_fault_waits_for_somebody(state: State, ground: str, how) -> None:
    """Nobody works on a fault that is open or came back, and nobody chose to leave it."""
    link = Link(how, "on record", fault="breath-late", state_now=state)
    found = attention(a_verdict(), link, Due(day("07-01"), None), [], as_of=day("06-28"))
    assert found.grounds == (ground,)


@pytest.mark.parametrize("link", [None, Link("none", "none")])
def test_a_plateau_without_a_link_asks_for_a_review(link: Link | None) -> None:
    found = attention(a_verdict(), link, Due(day("07-01"), None), [], as_of=day("06-28"))
    assert found.grounds == ("plateau without a review",)


@pytest.mark.parametrize(
    ("word", "ground"),
    [("slipping", "slipping"), ("slowed", "slowed"), ("too early", "too early"), ("gaining", "gaining")],
)
def test_every_other_word_is_a_ground_of_its_own(word: Word, ground: str) -> None:
    found = attention(a_verdict(word), None, Due(day("07-01"), None), [], as_of=day("06-28"))
    assert found.grounds == (ground,)
    assert found.new is (word in {"slipping", "slowed"})


@pytest.mark.parametrize(("due_on", "due"), [("06-27", True), ("06-28", True), ("06-29", False)])
def test_what_is_due_is_so_from_its_day_on(due_on: str, due: bool) -> None:
    found = attention(
        a_verdict("gaining"), None, Due(day(due_on), day(due_on)), [], as_of=day("06-28")
    ).grounds
    assert found == (("test due", "look due", "gaining") if due else ("gaining",))


def test_a_test_held_back_is_never_due_and_never_planned() -> None:
    assert not Due(None, None, held_by=HeldBack(ill=True)).test_due(day("06-28"))
    assert not Due(None, None, held_by=HeldBack(ill=True)).may_plan_test
    assert not Due(day("07-05"), None, race=day("07-04")).may_plan_test
    assert Due(day("07-05"), None).may_plan_test


def test_a_mark_of_another_word_or_another_kind_leaves_the_verdict_new() -> None:
    for choice in (
        Choice(date=day("03-05"), swimmer=SWIMMER, kind="seen", value="slipping"),
        Choice(date=day("03-05"), swimmer=SWIMMER, kind="choose", fault="legs-low", value="plateau"),
    ):
        assert attention(a_verdict(), None, Due(None, None), [choice], as_of=day("06-28")).new


def a_line(name: str, *grounds: str, new: bool) -> RosterLine:
    return RosterLine(name, "", None, None, None, (), Due(None, None), Attention(grounds, new=new))


def test_the_neediest_come_first_then_the_new_then_by_name() -> None:
    lines = [
        a_line("Bo", "gaining", new=True),
        a_line("Ada", "slowed", "gaining", new=False),
        a_line("Cy", "slowed", new=True),
        a_line("Abe", "slowed", "test due", new=False),
    ]
    assert [line.swimmer for line in sorted(lines, key=need)] == ["Cy", "Abe", "Ada", "Bo"]


def test_what_waiting_costs_most_comes_first() -> None:
    """A slip grows by the week; then a plateau nobody works on, a fault that came back, and the rest."""
    lines = [
        a_line("Ada", "plateau without a review", new=True),
        a_line("Bo", "fault came back", "gaining", new=False),
        a_line("Cy", "plateau with an open fault", new=True),
        a_line("Dag", "slipping", new=True),
        a_line("Eva", "slowed", new=True),
    ]
    assert [line.swimmer for line in sorted(lines, key=need)] == ["Dag", "Cy", "Bo", "Ada", "Eva"]
    assert len(GROUNDS) == len(set(GROUNDS)) == len(Ground)


@pytest.mark.parametrize("word", ["slipping", "plateau"])
def test_a_verdict_that_somebody_has_seen_waits_behind_a_fault_that_came_back(word: Word) -> None:
    link = Link("before", "on record", fault="breath-late", state_now=State.OPEN)
    mark = Choice(date=day("03-05"), swimmer=SWIMMER, kind="seen", value=word)

    def of(marks: list[Choice]) -> Attention:
        return attention(a_verdict(word), link, Due(day("07-05"), None), marks, as_of=day("06-28"))

    back = attention(
        a_verdict("gaining"), None, Due(day("07-05"), None), [], as_of=day("06-28"), returned=True
    )
    unreviewed = attention(a_verdict(), None, Due(day("07-05"), None), [], as_of=day("06-28"))
    assert back.grounds == ("fault came back", "gaining")
    assert of([]).rank < back.rank < of([mark]).rank < unreviewed.rank
