"""What a new test did, as JSON: `did` in `log --json`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tracker.output.sentences.best_times import news_line

if TYPE_CHECKING:
    from tracker.engine.verdict.news import NewsOfTest

DIGITS = 4


def news_json(did: NewsOfTest) -> dict[str, object]:
    """Return how the times of a test stand, and what it did to the line; null where that is not known."""
    line = did.line
    return {
        "best": [
            {
                "distance_m": one.swim.distance_m,
                "best_yet": one.is_best,
                "earlier": one.earlier,
                "since": None if one.since is None else one.since.date.isoformat(),
            }
            for one in did.standings
        ],
        "above_line_pct": None if line is None else _rounded(line.above),
        "scatters": None if line is None else _rounded(line.scatters),
        "word": None if line is None else line.word,
        "p_before": None if line is None else _rounded(line.p_before),
        "p_after": None if line is None else _rounded(line.p_after),
        "sentence": news_line(did) or None,
    }


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, DIGITS) + 0.0
