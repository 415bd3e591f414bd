"""The published offset of a wetsuit against published pairs.

Source: de Lucas et al. 2000, Table 3, 12 swimmers, m/s with and without a full suit, as OpenIntro's `swim`
data carries them; only these facts were retyped. Mean and SD of the difference are a textbook's figures
(0.0775 and 0.022: from memory, and recomputed here).
"""

from __future__ import annotations

import datetime as dt
import statistics

import numpy as np
import pandas as pd
import pytest

from tracker.app.judge import judge
from tracker.engine.series.protocols import published_offset
from tracker.model.units import pace_per_100, speed

PAIRS = (
    (1.57, 1.49), (1.47, 1.37), (1.42, 1.35), (1.35, 1.27), (1.22, 1.12), (1.75, 1.64),
    (1.64, 1.59), (1.57, 1.52), (1.56, 1.50), (1.53, 1.45), (1.49, 1.44), (1.51, 1.41),
)  # fmt: skip


def test_the_pairs_give_the_published_mean() -> None:
    gains = [wet - bare for wet, bare in PAIRS]
    assert statistics.mean(gains) == pytest.approx(0.0775, abs=1e-9)
    assert statistics.stdev(gains) == pytest.approx(0.0217945, abs=1e-6)


def test_the_built_in_offset_covers_the_pairs() -> None:
    """Level is -100 ln(pace): a suit's effect is 100 ln(v_wet / v_bare)."""
    paces = [[pace_per_100(100.0 * v, 100.0) for v in pair] for pair in PAIRS]
    assert [speed(100.0, paces[0][0])] == pytest.approx([PAIRS[0][0]])
    effects = [100 * float(np.log(bare / wet)) for wet, bare in paces]
    known = published_offset("suit", "wetsuit", "")
    assert known is not None
    mean, sd = known
    assert abs(statistics.mean(effects) - mean) < 0.5
    assert statistics.stdev(effects) < sd
    assert all(abs(effect - mean) < 2 * sd for effect in effects)


def test_a_suit_worn_half_the_time_moves_no_verdict() -> None:
    """Twelve flat swimmers who put a suit on for their last ten weeks; noise 0.8 %."""
    rng = np.random.default_rng(12)
    first = dt.date(2025, 1, 6)
    rows = []
    for number, (wet, bare) in enumerate(PAIRS):
        for week in range(40):
            suited = week % 8 == 3 or week >= 30
            pace = 100 / (wet if suited else bare) * (1 + rng.normal(0, 0.008))
            rows.append(
                (f"S{number:02}", first + dt.timedelta(weeks=week), pace, "wetsuit" if suited else "")
            )
    frame = pd.DataFrame(rows, columns=["swimmer", "date", "pace", "suit"])
    told = judge(frame)
    blind = judge(frame.drop(columns="suit"))
    # the others are undecided: a suit put on for good and a change of pace are not told apart by guessing
    assert (told["verdict"] == "plateau").sum() >= 9
    assert set(told["verdict"]) <= {"plateau", "undecided"}
    assert (told["verdict"] == "gaining").sum() == 0
    assert (blind["verdict"] == "plateau").sum() < 6
