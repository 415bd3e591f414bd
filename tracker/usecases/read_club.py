"""Read from the store all that the pipeline looks at, in one snapshot."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TypeVar

from tracker.faults.evidence import Roster
from tracker.pipeline import Club, by_swimmer
from tracker.records.base import Record
from tracker.records.catalogue import catalogue_order
from tracker.records.event import Event, Load
from tracker.records.fault import FaultStep, OwnFault
from tracker.records.review import ReviewItem
from tracker.records.swim import Swim
from tracker.records.swimmer import Choice, Swimmer
from tracker.series.from_swims import COLUMNS
from tracker.store.reading import Reader

R = TypeVar("R", bound=Record)


def read_club(
    reader: Reader,
    *,
    group: str | None = None,
    swimmer: str | None = None,
    among: Sequence[str] | None = None,
    weighed: Mapping[str, Roster] | None = None,
) -> Club:
    """Return the record of all active swimmers, of a group, of some, or of one (also an archived one).

    Parameters
    ----------
    among
        Labels of those to read.
    weighed
        What the whole roster says of each fault, by which links are graded; None grades by time alone.
    """
    if swimmer is not None:
        among = (swimmer,)
    whose = {} if among is None else {"swimmer": tuple(among)}
    active = {} if swimmer is not None else {"archived": None}
    people = [kept.record for kept in reader.all(Swimmer, **whose, **active)]
    people = [person for person in people if group in {None, person.group}]
    wanted = {person.swimmer for person in people}

    def grouped(kind: type[R]) -> dict[str, list[R]]:
        kept = reader.all(kind, **whose)
        groups: dict[str, list[R]] = by_swimmer(one.record for one in kept)
        return {name: records for name, records in groups.items() if name in wanted}

    own = sorted(kept.record.fault for kept in reader.all(OwnFault))
    order = dict(catalogue_order())
    order.update((slug, len(order) + place) for place, slug in enumerate(own))
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
        weighed=weighed or {},
    )
