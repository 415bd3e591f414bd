"""Grounds of a link's grade: each a small record; JSON prints its `code` and its fields."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

if TYPE_CHECKING:
    from tracker.technique.stroke_reading import Stroke, Witness


@dataclass(frozen=True)
class SeverityChanged:
    """The severity that one and the same reviewer noted up to the onset, and when last."""

    before: int
    after: int
    date: dt.date

    @property
    def code(self) -> str:
        """Its name in JSON."""
        return "severity_rose" if self.after > self.before else "severity_fell"


@dataclass(frozen=True)
class RosterOdds:
    """Swimmers on a plateau among those with and without the fault; the odds ratio with its 90 % interval."""

    code: ClassVar = "roster_odds"
    with_flat: int
    with_all: int
    without_flat: int
    without_all: int
    ratio: float
    low: float
    high: float


@dataclass(frozen=True)
class _Gain:
    """A difference of rates, percent a month, with its 90 % interval and the size of both arms."""

    gain: float
    low: float
    high: float
    changed: int
    compared: int
    alike_before: bool


@dataclass(frozen=True)
class CorrectionEffect(_Gain):
    """What the swimmers corrected of it gained against like ones."""

    code: ClassVar = "correction_effect"


@dataclass(frozen=True)
class DrawEffect(_Gain):
    """What those drawn to begin at once gained against those who began later."""

    code: ClassVar = "draw_effect"


@dataclass(frozen=True)
class _Unknown:
    """So many tried it; too few of them changed it with tests enough around."""

    tried: int
    changed: int


@dataclass(frozen=True)
class CorrectionUnknown(_Unknown):
    """Whether correcting it helps is not known."""

    code: ClassVar = "correction_unknown"


@dataclass(frozen=True)
class DrawUnknown(_Unknown):
    """Randomised starts that cannot be read yet."""

    code: ClassVar = "draw_unknown"


@dataclass(frozen=True)
class Provoked:
    """A cue that can bring the fault about was in use when it was first seen."""

    code: ClassVar = "provoked"
    cue: str
    since: dt.date


@dataclass(frozen=True)
class StrokesMoved:
    """What stroke rate or count did over the stretch, percent, with its 90 % interval."""

    code: ClassVar = "strokes"
    witness: Witness
    by: Stroke
    swims: int
    change: float
    low: float
    high: float


EffectGround = CorrectionEffect | CorrectionUnknown | DrawEffect | DrawUnknown
LinkGround = SeverityChanged | RosterOdds | EffectGround | Provoked | StrokesMoved
"""What a link's grade rests on, or what else bears on it; `output.sentences.evidence` says each."""
