"""Doubts in words: a distance is named in the unit it was swum in."""

from __future__ import annotations

import pytest

from tracker.model.doubts import LongerNotLonger
from tracker.output.sentences.doubts import doubt_sentence


@pytest.mark.parametrize(
    ("metres", "said"), [(365.76, "400 yd"), (400.0, "400 m"), (1480.5, "1480.5 m"), (1143.0, "1143 m")]
)
def test_yards_are_named_where_the_metres_are_not_whole(metres: float, said: str) -> None:
    assert doubt_sentence(LongerNotLonger(200.0, 405.0, metres, 400.0)) == (
        f"{said} in 6:40 and 200 m in 6:45: the longer took no longer"
    )
