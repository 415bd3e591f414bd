"""Read the club out of the store, whole or as a sample."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TypeVar
from zlib import crc32

from tracker.engine.series.from_swims import COLUMNS
from tracker.model.base import Record
from tracker.model.catalogue import catalogue_order
from tracker.model.event import Event, Load
from tracker.model.fault import FaultStep, OwnFault
from tracker.model.review import ReviewItem
from tracker.model.swim import Swim
from tracker.model.swimmer import Choice, Swimmer
from tracker.store.reading import Reader
from tracker.technique.evidence import FaultStatistics
from tracker.technique.pipeline import Club, by_swimmer
from tracker.technique.rhythm import Habits

R = TypeVar("R", bound=Record)


def read_club(
    reader: Reader,
    *,
    group: str | None = None,
    swimmer: str | None = None,
    among: Sequence[str] | None = None,
    roster_evidence: Mapping[str, FaultStatistics] | None = None,
    habits: Mapping[str, Habits] | None = None,
) -> Club:
    """Return the record of all active swimmers, of a group, of some, or of one (also an archived one).

    Parameters
    ----------
    among
        Labels of those to read.
    roster_evidence
        What the whole roster says of each fault, by which links are graded; None grades by time alone.
    habits
        How often each group is tested and looked at (`app.habits`); None where nothing due is asked for.
    """
    if swimmer is not None:
        among = (swimmer,)
    whose = {} if among is None else {"swimmer": tuple(among)}
    active = {} if swimmer is not None else {"archived": None}
    people = [row.record for row in reader.all(Swimmer, **whose, **active)]
    people = [person for person in people if group in {None, person.group}]
    wanted = {person.swimmer for person in people}

    def grouped(kind: type[R]) -> dict[str, list[R]]:
        rows = reader.all(kind, **whose)
        groups: dict[str, list[R]] = by_swimmer(one.record for one in rows)
        return {name: records for name, records in groups.items() if name in wanted}

    own = sorted(row.record.fault for row in reader.all(OwnFault))
    order = dict(catalogue_order())
    order.update((slug, len(order) + number) for number, slug in enumerate(own))
    return Club(
        swimmers={person.swimmer: person for person in people},
        swims=reader.columns(
            Swim,
            COLUMNS,
            group=group,
            among=among,
            archived=swimmer is not None,
        ),
        steps=grouped(FaultStep),
        reviews=grouped(ReviewItem),
        events=grouped(Event),
        load=grouped(Load),
        choices=grouped(Choice),
        fault_order=order,
        roster_evidence=roster_evidence or {},
        habits=habits or {},
    )


def sample_roster(reader: Reader, size: int) -> list[str]:
    """Return the labels of at most `size` active swimmers, in order.

    The choice goes by a checksum of the label: as good as drawn, the same on every machine, and a
    swimmer who joins changes at most one of it.
    """
    labels = reader.labels()
    if len(labels) <= size:
        return labels
    return sorted(sorted(labels, key=lambda label: (crc32(label.encode()), label))[:size])
