"""The story of a swimmer, and what its word is worth, as JSON: additions to `why --json`."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from tracker.engine.verdict.word_record import record_of
from tracker.output.as_json import link_json
from tracker.output.sentences.link import FaultNames
from tracker.output.sentences.story import record_sentence, story_lines

if TYPE_CHECKING:
    from tracker.engine.verdict.verdict import Verdict
    from tracker.technique.story import StoryPart

Json = dict[str, Any]
DIGITS = 4


def story_json(parts: Sequence[StoryPart], names: FaultNames, as_of: dt.date) -> list[Json]:
    """Return the spans in order of time, each with its interval, link or restart, and its sentence."""
    said = story_lines(parts, names, as_of)
    return [_part_json(part, sentence, as_of) for part, sentence in zip(parts, said, strict=True)]


def _part_json(part: StoryPart, sentence: str, as_of: dt.date) -> Json:
    span = part.span
    return {
        "word": span.word,
        "leaning": span.leaning,
        "p": _rounded(span.p),
        "start": span.start.isoformat(),
        "start_low": span.start_low.isoformat() if span.dated and span.start_low else None,
        "start_high": span.start_high.isoformat() if span.dated else None,
        "end": span.end.isoformat(),
        "current": span.current,
        "rate_pct_per_month": _rounded(span.rate),
        "rate_low": _rounded(span.rate_low),
        "rate_high": _rounded(span.rate_high),
        "link": link_json(part.link, as_of),
        "changes": [
            {"date": one.date.isoformat(), "kind": one.kind, "fault": one.fault, "text": one.text}
            for one in part.changes
        ],
        "sentence": sentence,
    }


def word_record_json(verdict: Verdict | None) -> Json | None:
    """Return how many words like this one were so; None where no word is held."""
    record = record_of(verdict)
    if record is None:
        return None
    return {
        "word": record.word,
        "p_from": record.low,
        "p_to": record.high,
        "words": record.words,
        "so": record.so,
        "source": "reports/validation/word_record.csv",
        "sentence": record_sentence(record),
    }


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, DIGITS) + 0.0
