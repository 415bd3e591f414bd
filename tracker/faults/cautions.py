"""Which cautions apply to a swimmer now, as codes; their words stand in `output.safety`.

Nothing here diagnoses: an injury or illness that somebody logged (only where health events are
switched on) holds back tests and loads, and sends to licensed care.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from tracker.records.event import Event

Code = Literal[
    "maximal-test",
    "shoulder",
    "paddles",
    "breath",
    "neck",
    "open-water",
    "after-illness",
    "see-a-professional",
]

ORDER: tuple[Code, ...] = (
    "see-a-professional",
    "after-illness",
    "maximal-test",
    "shoulder",
    "paddles",
    "breath",
    "neck",
    "open-water",
)
RETURN_DAYS = 14
"""Days after a logged illness in which a maximal test is held back (assumption; licensed care decides)."""
LOADS_SHOULDER = ("paddle", "pull with buoy", "kickboard", "resistance", "band")
"""Words of drills that are left out with a sore shoulder: paddles, kickboard and resistance aggravated pain
(McMaster & Troup 1993)."""


@dataclass(frozen=True)
class Health:
    """What was logged that holds a swimmer back on one day; both False where health is switched off."""

    sore: bool = False
    ill: bool = False

    @property
    def may_test(self) -> bool:
        """Whether a maximal test may be proposed."""
        return not (self.sore or self.ill)


def health_on(events: Iterable[Event], day: dt.date, *, switched_on: bool) -> Health:
    """Return what a logged injury or illness means for `day`; an event without an end still lasts."""
    if not switched_on:
        return Health()
    known = [event for event in events if event.from_date <= day]
    back = dt.timedelta(days=RETURN_DAYS)
    return Health(
        sore=any(e.kind == "injury" and (e.to_date is None or e.to_date >= day) for e in known),
        ill=any(e.kind == "illness" and (e.to_date is None or e.to_date + back >= day) for e in known),
    )


def safe(drill: str, health: Health) -> bool:
    """Return whether a drill may be proposed."""
    return not (health.sore and any(word in drill.casefold() for word in LOADS_SHOULDER))


def ordered(codes: Iterable[str]) -> tuple[Code, ...]:
    """Return the known ones of `codes`, each once, the gravest first."""
    wanted = set(codes)
    return tuple(code for code in ORDER if code in wanted)


def codes_for(care: Sequence[str], drill: str, health: Health, *, tests: bool) -> tuple[Code, ...]:
    """Return the cautions of one proposal.

    Parameters
    ----------
    care
        The catalogue's codes of the fault.
    drill
        The drill proposed: paddles are cautioned against only where they are in it.
    tests
        Whether a maximal test is proposed.
    """
    codes = [code for code in care if code != "paddles" or "paddle" in drill.casefold()]
    if health.sore:
        codes += ["see-a-professional", "shoulder"]
    if health.ill:
        codes += ["see-a-professional", "after-illness"]
    if tests:
        codes.append("maximal-test")
    return ordered(codes)
