"""Short ways to write down steps and stretches in tests."""

from __future__ import annotations

import datetime as dt
from typing import Any

from tracker.engine.verdict.verdict import FlatStretch, Leaning, MonthAgo, Verdict, Word
from tracker.model.fault import FaultStep

SWIMMER = "Ines Aalto"


def day(text: str) -> dt.date:
    """Return the day written as "03-14" (of 2026) or "2025-03-14"."""
    return dt.date.fromisoformat(text if len(text) == 10 else f"2026-{text}")


def a_step(line: str) -> FaultStep:
    """Return the step written as "03-14 open breath-late/left 2 Mika: note"; the last three may lack."""
    head, _, note = line.partition(":")
    date, step, fault, *rest = head.split()
    slug, _, side = fault.partition("/")
    severity = next((int(word) for word in rest if word.isdigit()), None)
    reviewer = " ".join(word for word in rest if not word.isdigit())
    fields: dict[str, Any] = {"step": step, "side": side, "severity": severity, "reviewer": reviewer}
    return FaultStep(date=day(date), swimmer=SWIMMER, fault=slug, note=note.strip(), **fields)


def steps(*lines: str) -> list[FaultStep]:
    return [a_step(line) for line in lines]


def a_stretch(
    start: str = "03-01",
    low: str | None = "02-15",
    high: str = "03-15",
    end: str = "06-28",
    *,
    current: bool = True,
) -> FlatStretch:
    return FlatStretch(
        start=day(start),
        end=day(end),
        start_low=None if low is None else day(low),
        start_high=day(high),
        end_low=day(end),
        end_high=day(end),
        current=current,
    )


def a_verdict(word: Word = Word.PLATEAU, since: str = "03-01", last: str = "06-28", **fields: Any) -> Verdict:
    word = Word(word)
    given: dict[str, Any] = {
        "swimmer": SWIMMER,
        "tests": 54,
        "first": day("2025-05-02"),
        "last": day(last),
        "as_of": day(last),
        "stale": False,
        "band": 0.25,
        "verdict": word,
        "p_gaining": 0.03,
        "p_flat": 0.93,
        "p_slipping": 0.04,
        "p_slowed": 0.9,
        "since": day(since),
        "since_low": day(since) - dt.timedelta(days=14),
        "since_high": day(since) + dt.timedelta(days=14),
        "before_record": False,
        "rate": 0.02,
        "rate_low": -0.11,
        "rate_high": 0.14,
        "noise_pct": 1.15,
        "held_since": None if word in {Word.UNDECIDED, Word.TOO_EARLY} else day(since),
        "leaning": Leaning(Word.PLATEAU, 0.93) if word in {Word.UNDECIDED, Word.SLOWED} else None,
        "month_ago": MonthAgo(day(last) - dt.timedelta(days=30), Word.PLATEAU, 0.03, 0.92, 0.05),
        "tests_to_tell": None,
        "known_by": None,
        "present_pace": 95.0,
        "reference": "400 m SCM",
        "flat_stretches": (),
        "set_aside": (),
        "reasons": (),
    }
    return Verdict(**given | fields)
