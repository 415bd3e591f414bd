"""Scan the roster: read it in parts and judge them; fingerprints of what each row rests on."""

from __future__ import annotations

import json
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import astuple, dataclass
from functools import partial
from hashlib import sha256

from tracker.app.executor import IN_PROCESS, Executor, Progress
from tracker.app.habits import group_habits
from tracker.app.learned_priors import learned_priors
from tracker.app.read_club import read_club
from tracker.app.roster_evidence import learn_roster_evidence
from tracker.app.session import Session
from tracker.model.event import Event, Load
from tracker.model.fault import FaultStep
from tracker.model.review import ReviewItem
from tracker.model.swim import Swim
from tracker.model.swimmer import Choice, Swimmer
from tracker.store.reading import Reader
from tracker.technique.attention import RosterLine, need
from tracker.technique.evidence import FaultStatistics
from tracker.technique.pipeline import Club, roster
from tracker.technique.rhythm import Habits

PART = 200
"""Swimmers at a time."""


@dataclass(frozen=True)
class Part:
    """Some lines, and how many swimmers are done of how many."""

    done: int
    of: int
    lines: tuple[RosterLine, ...]


def scan_in_parts(
    session: Session,
    *,
    names: Collection[str] | None = None,
    group: str | None = None,
    detail: bool = False,
    executor: Executor = IN_PROCESS,
) -> Iterator[Part]:
    """Yield the lines of `scan`, part by part in the order of the swimmers' labels.

    Parameters
    ----------
    names, group
        Labels of those to judge; only this group. Neither: every active swimmer.
    detail
        Whether the verdicts carry the points and the curve of a chart.
    executor
        Who does it; the lines are the same.
    """
    with executor.sharing_workers() as shared:
        learned = learned_priors(session, executor=shared)
        roster_evidence = learn_roster_evidence(session, executor=shared)
        with session.store.read() as reader:
            habits = group_habits(reader, session.today)
            wanted = [name for name in reader.labels(group) if names is None or name in names]
            some = [wanted[first : first + PART] for first in range(0, len(wanted), PART)]
            judged = partial(
                roster, settings=session.settings, as_of=session.today, learned=learned, detail=detail
            )
            clubs = _clubs(reader, some, roster_evidence, habits)
            done = 0
            for lines in shared.for_parts(len(some)).each(judged, clubs):
                done += len(lines)
                yield Part(done, len(wanted), tuple(lines))


def _clubs(
    reader: Reader,
    some: Sequence[Sequence[str]],
    roster_evidence: Mapping[str, FaultStatistics],
    habits: Mapping[str, Habits],
) -> Iterator[Club]:
    """Yield the record of each part, read only when its turn comes."""
    for names in some:
        yield read_club(reader, among=names, roster_evidence=roster_evidence, habits=habits)


def scan(
    session: Session,
    *,
    group: str | None = None,
    detail: bool = False,
    executor: Executor = IN_PROCESS,
    progress: Progress | None = None,
) -> list[RosterLine]:
    """Return a line for every active swimmer, of one group if given.

    Parameters
    ----------
    detail
        Whether the verdicts carry the points and the curve of a chart.
    executor
        Who does it; the lines are the same.
    """
    lines: list[RosterLine] = []
    for part in scan_in_parts(session, group=group, detail=detail, executor=executor):
        lines += part.lines
        if progress is not None:
            progress(part.done, part.of)
    return sorted(lines, key=need)


KINDS = (Swimmer, Swim, FaultStep, ReviewItem, Event, Load, Choice)


def roster_fingerprints(session: Session, *, executor: Executor = IN_PROCESS) -> dict[str, str]:
    """Return a text for every active swimmer; where it is the same, so is their roster line.

    It holds the day, the settings, the learned priors, the roster evidence and the group's habits: every
    line rests on those too.

    Parameters
    ----------
    executor
        Who works out the priors and the evidence, where they are not known yet.
    """
    learned = learned_priors(session, executor=executor)
    roster_evidence = learn_roster_evidence(session, executor=executor)
    basis = json.dumps(
        [session.today.isoformat(), astuple(session.settings), repr(learned), repr(roster_evidence)]
    )
    common = sha256(basis.encode()).hexdigest()[:16]
    with session.store.read() as reader:
        found = [reader.fingerprints(kind) for kind in KINDS]
        groups = {row.record.swimmer: row.record.group for row in reader.all(Swimmer, archived=None)}
        habits = group_habits(reader, session.today)
    return {
        name: "|".join(
            (common, repr(habits.get(group)), *(fingerprints.get(name, "") for fingerprints in found))
        )
        for name, group in groups.items()
    }
