"""Who needs a look first: what counts as new on a given day."""

from __future__ import annotations

import pytest

from tests.technique.build import SWIMMER, a_verdict, day
from tracker.model.swimmer import Choice
from tracker.technique.attention import Due, attention


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
