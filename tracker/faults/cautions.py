"""Which cautions apply to a swimmer now, as codes; their words stand in `output.safety`.

What somebody wrote down calls for cautions by its words (`faults.practices`); what is logged about
health by its kind. Nothing here diagnoses: an injury or illness that somebody logged (only where health
events are switched on) holds back tests and loads, and sends to licensed care.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from tracker.faults.practice_words import PracticeCode
from tracker.faults.practices import Site, codes_of, site_of
from tracker.records.event_kinds import HEALTH_KINDS

if TYPE_CHECKING:
    from tracker.records.event import Event

Code = PracticeCode | Literal["maximal-test", "paddles", "neck", "after-illness", "see-a-professional"]

ORDER: tuple[Code, ...] = (
    "see-a-professional",
    "after-illness",
    "maximal-test",
    "maximal-effort",
    "alone",
    "breath",
    "shoulder",
    "paddles",
    "neck",
    "open-water",
)
SAID_OF_SWIMS = ("course", "kit", "conditions", "note")
"""Fields of a swim whose words can call for a caution."""
RETURN_DAYS = 14
"""Days after a logged illness in which a maximal test is held back (assumption; licensed care decides)."""


@dataclass(frozen=True)
class Health:
    """What was logged that holds a swimmer back on one day; nothing where health is switched off.

    `injuries` are where the injuries of the day are, by the words of their notes.
    """

    injuries: frozenset[Site] = frozenset()
    ill: bool = False

    @property
    def injured(self) -> bool:
        """Whether an injury lasts."""
        return bool(self.injuries)

    @property
    def may_test(self) -> bool:
        """Whether a maximal test may be proposed."""
        return not (self.injured or self.ill)


def health_on(events: Iterable[Event], day: dt.date, *, switched_on: bool) -> Health:
    """Return what a logged injury or illness means for `day`; an event without an end still lasts."""
    if not switched_on:
        return Health()
    known = [event for event in events if event.from_date <= day]
    back = dt.timedelta(days=RETURN_DAYS)
    return Health(
        injuries=frozenset(
            site_of(e.note) for e in known if e.kind == "injury" and (e.to_date is None or e.to_date >= day)
        ),
        ill=any(e.kind == "illness" and (e.to_date is None or e.to_date + back >= day) for e in known),
    )


def safe(drill: str, health: Health) -> bool:
    """Return whether a drill may be proposed: none that loads the shoulder, unless only a leg is hurt."""
    return health.injuries <= {"leg"} or "shoulder" not in codes_of([drill])


def ordered(codes: Iterable[str]) -> tuple[Code, ...]:
    """Return the known ones of `codes`, each once, the gravest first."""
    wanted = set(codes)
    if "maximal-test" in wanted:  # says all that is said of any other all-out swim
        wanted.discard("maximal-effort")
    return tuple(code for code in ORDER if code in wanted)


def codes_for(
    care: Sequence[str], practices: Sequence[str], health: Health, *, tests: bool
) -> tuple[Code, ...]:
    """Return the cautions of one proposal.

    Parameters
    ----------
    care
        The catalogue's codes of the fault.
    practices
        The cue and the drill proposed, or what is in use: paddles are cautioned against only where
        the shoulder is loaded.
    tests
        Whether a maximal test is proposed.
    """
    by_words = codes_of(practices)
    codes = [*by_words, *(code for code in care if code != "paddles" or "shoulder" in by_words)]
    if health.injured:
        codes.append("see-a-professional")
    if "shoulder" in health.injuries:
        codes.append("shoulder")
    if health.ill:
        codes += ["see-a-professional", "after-illness"]
    if tests:
        codes.append("maximal-test")
    return ordered(codes)


def codes_in(texts: Iterable[str], care: Iterable[str] = ()) -> tuple[Code, ...]:
    """Return the cautions that somebody's words call for, with those of `care`, the gravest first."""
    return ordered([*codes_of(texts), *care])


def codes_of_event(kind: str, note: str) -> tuple[Code, ...]:
    """Return the cautions that an event calls for when it is logged: by its kind and by its words."""
    codes: list[str] = ["see-a-professional"] if kind in HEALTH_KINDS else []
    if kind == "injury" and site_of(note) == "shoulder":
        codes.append("shoulder")
    if kind == "illness":
        codes.append("after-illness")
    return codes_in([note], codes)
