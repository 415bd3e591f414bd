"""The story of a swimmer: the spans of the verdict, each with its link or with what had changed before."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, assert_never

from tracker.engine.verdict.verdict import Word
from tracker.technique.fault_timeline import Change, FaultTimeline, corrections, works

if TYPE_CHECKING:
    from tracker.engine.verdict.verdict import DatedStretch, StorySpan, Verdict
    from tracker.model.work import Work
    from tracker.technique.link import Link

BEFORE_RESTART = dt.timedelta(weeks=8)
"""What changed so long before a restart or sooner is named beside it, as a fault is beside an onset."""


@dataclass(frozen=True)
class StoryPart:
    """A span; the link where it was flat, slipping or slowed; what changed near a restart."""

    span: StorySpan
    link: Link | None = None
    changes: tuple[Change, ...] = ()


def story_parts(
    verdict: Verdict | None,
    known: Mapping[DatedStretch, Link],
    present: Link | None,
    linked: Callable[[DatedStretch], Link],
) -> tuple[StoryPart, ...]:
    """Return the parts of a swimmer's story, in order of time.

    Parameters
    ----------
    known
        Links of the flat stretches, worked out already.
    present
        The link of the present span.
    linked
        Works out the link of any other span.
    """
    if verdict is None:
        return ()
    by_onset = {stretch.start: link for stretch, link in known.items()}
    return tuple(StoryPart(span, _link(span, by_onset, present, linked)) for span in verdict.story)


def _link(
    span: StorySpan,
    by_onset: Mapping[dt.date, Link],
    present: Link | None,
    linked: Callable[[DatedStretch], Link],
) -> Link | None:
    if not span.word.calls_for_a_look:
        return None
    if span.current:
        return present
    return by_onset.get(span.start) or linked(span)


def with_changes(
    parts: Sequence[StoryPart], swimmer: str, known: Iterable[FaultTimeline], work: Iterable[Work]
) -> tuple[StoryPart, ...]:
    """Return the parts with what was corrected, and which cues and drills began, near each restart."""
    made = sorted((*corrections(swimmer, known), *works(swimmer, work)), key=lambda change: change.date)
    found = []
    before: Word | None = None
    for part in parts:
        near = tuple(change for change in made if _restarts(before, part.span) and _near(change, part.span))
        found.append(replace(part, changes=near))
        before = part.span.word
    return tuple(found)


def _restarts(before: Word | None, span: StorySpan) -> bool:
    """Return whether gaining, or what leans to it, begins after something else."""
    if before is None or before is Word.GAINING:
        return False
    match span.word:
        case Word.GAINING:
            return True
        case Word.UNDECIDED:
            return span.leaning is Word.GAINING
        case Word.PLATEAU | Word.SLIPPING | Word.SLOWED | Word.TOO_EARLY:
            return False
        case other:
            assert_never(other)


def _near(change: Change, span: StorySpan) -> bool:
    """Return whether a change came before the restart, and not long before."""
    return span.start - BEFORE_RESTART <= change.date <= span.start
