"""A cue's words against the wordings that can provoke a fault."""

from __future__ import annotations

import pytest

from tests.technique.build import SWIMMER, day
from tracker.model.catalogue import catalogue, fault
from tracker.model.work import Work
from tracker.technique.cautions import can_provoke, provoking


@pytest.mark.parametrize(
    ("slug", "cue", "can"),
    [
        ("stroke-pausing", "reach longer in front", True),
        ("stroke-pausing", "Reaching LONGER!", True),
        ("stroke-pausing", "a gliding stroke", True),
        ("stroke-pausing", "don't glide", False),
        ("stroke-pausing", "no long glide", False),
        ("stroke-pausing", "room for a tea tray", False),
        ("entry-steep", "fingers down first", True),
        ("entry-steep", "fingertips down first", False),
        ("catch-pressing", "push the water back, not down", False),
        ("catch-pressing", "catch earlier", True),
        ("catch-pressing", "an early catch", True),
        ("head-deep", "look at the drain below", False),
        ("head-deep", "look straight down", True),
        ("kick-hard", "6 beat kick", True),
        ("legs-low", "kick less", True),
        ("legs-low", "no kick at all", True),
        ("breath-late", "", False),
    ],
)
def test_words_match_in_any_order_and_ending_unless_turned_round(slug: str, cue: str, can: bool) -> None:
    assert can_provoke(fault(slug), cue) is can


def test_every_wording_of_the_catalogue_matches_itself() -> None:
    for entry in catalogue():
        assert all(can_provoke(entry, phrase) for phrase in entry.provoked_by)


def test_only_cues_in_use_on_the_opening_day_count() -> None:
    def cue(begins: str, ends: str | None, kind: str = "cue") -> Work:
        to_date = day(ends) if ends else None
        fields = {"from_date": day(begins), "to_date": to_date, "swimmer": SWIMMER, "kind": kind}
        return Work.model_validate({**fields, "text": "reach longer"})

    work = [
        cue("01-01", "03-10"),
        cue("01-01", "03-09"),
        cue("03-10", None),
        cue("03-11", None),
        cue("01-01", None, kind="drill"),
    ]
    assert provoking(fault("stroke-pausing"), work, day("03-10")) == (work[0], work[2])
