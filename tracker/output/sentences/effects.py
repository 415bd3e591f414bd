"""Sentences on effects of corrections, cues and drills; never a before and after alone."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import TYPE_CHECKING, Final, assert_never

from tracker.output.sentences.evidence import UNLIKE, rate_difference
from tracker.output.sentences.numbers import capital, count, day, listed
from tracker.technique.effect import LEAST_CASES, Effect, Shrunk, Spread
from tracker.technique.fault_timeline import ChangeKind

if TYPE_CHECKING:
    from tracker.output.sentences.link import FaultNames

HOW_COMPARED: Final = (
    "Each is compared with swimmers of the same slope before, over the same dates, who were not changed so. "
    "A before and after alone shows nothing: whoever is picked in a flat spell tends to move again by "
    "themselves. All this is association, not cause; only a start by lot tells more."
)


def effect_name(effect: Effect, names: FaultNames) -> str:
    """Return what was changed: "corrections of breath comes late", "all cues"."""
    many, link = _kind_words(effect.kind)
    return f"{many} {link} {names.get(effect.fault, effect.fault)}" if effect.fault else f"all {many}"


def _kind_words(kind: ChangeKind) -> tuple[str, str]:
    """Return what several of a kind are called, and how they go with a fault."""
    match kind:
        case ChangeKind.CORRECTION:
            return "corrections", "of"
        case ChangeKind.CUE:
            return "cues", "against"
        case ChangeKind.DRILL:
            return "drills", "against"
        case ChangeKind.DRAW:
            return "starts by lot", "on"
        case other:
            assert_never(other)


def effect_line(effect: Effect, names: FaultNames) -> str:
    """Return an effect in a sentence, with its counts and interval."""
    name = capital(effect_name(effect, names))
    gain = effect.gain
    if gain is None:
        return (
            f"{name}: not known ({effect.missing}). {effect.tried} on record, {effect.changed} with tests "
            f"enough around and a like swimmer, {effect.compared} to compare with; "
            f"it takes {LEAST_CASES} of each."
        )
    difference = rate_difference(gain.value, gain.low, gain.high)
    told = "" if gain.excludes_zero else ", which may be nothing"
    spread = f"; {_spread_words(effect.spread)}" if effect.spread else ""
    doubt = "" if effect.alike_before else UNLIKE
    return (
        f"{name}: {effect.changed} of {effect.tried} could be compared. They gained {difference} than "
        f"{_beside(effect)} (90 % interval){told}{spread}.{doubt}"
    )


def _beside(effect: Effect) -> str:
    """Return with whom the changed ones are compared."""
    others = count(effect.compared, "swimmer")
    match effect.kind:
        case ChangeKind.CORRECTION:
            return f"{others} of the same slope before, who had no correction"
        case ChangeKind.CUE:
            return f"{others} of the same slope before, who had no such cue"
        case ChangeKind.DRILL:
            return f"{others} of the same slope before, who had no such drill"
        case ChangeKind.DRAW:
            return f"{others} who began twelve weeks later by lot"
        case other:
            assert_never(other)


def _spread_words(spread: Spread) -> str:
    """Return how far an effect differs; an estimate of zero is no proof that it does not."""
    return (
        f"between swimmers it varies by {spread.value:.2f} % a month ({spread.low:.2f} to {spread.high:.2f})"
    )


def checked_lines(effect: Effect) -> list[str]:
    """Return the second opinion on the arithmetic, where there is one."""
    if effect.general is None:
        return []
    other = effect.general
    return [
        f"A general mixed model (statsmodels) says {rate_difference(other.value, other.low, other.high)}."
    ]


def unknown_line(effects: Sequence[Effect], names: FaultNames) -> str:
    """Return all that is not known in one sentence; empty where all is."""
    unknown = [effect for effect in effects if effect.gain is None]
    if not unknown:
        return ""
    listing = listed([f"{effect_name(effect, names)} ({effect.tried})" for effect in unknown])
    return (
        f"Not known yet: {listing}. It takes {LEAST_CASES} with tests enough around and as many like "
        "swimmers; in brackets, how many are on record."
    )


def each_lines(effect: Effect, as_of: dt.date) -> list[str]:
    """Return the changed swimmers' own effects, best first; shrunken, so never as far out as they look."""
    ordered = sorted(effect.each, key=lambda own: (-own.value, own.swimmer))
    return [
        f"{own.swimmer} ({day(own.date, as_of)}): {own.value:+.2f} % a month "
        f"({own.low:+.2f} to {own.high:+.2f})"
        for own in ordered
    ]


def shrunk_lines(effects: Sequence[Shrunk], names: FaultNames) -> list[str]:
    """Return the effects side by side, drawn towards none for how many were tried; empty with one alone."""
    if len(effects) < 2:
        return []
    head = f"Side by side, drawn towards none since {len(effects)} were tried and the luckiest looks best:"
    ordered = sorted(effects, key=lambda one: -one.value)
    return [
        head,
        *(
            f"{capital(effect_name(one.effect, names))}: {one.value:+.2f} % a month "
            f"({one.low:+.2f} to {one.high:+.2f})"
            for one in ordered
        ),
    ]


def effect_lines(
    effects: Sequence[Effect], side_by_side: Sequence[Shrunk], names: FaultNames, fault: str, as_of: dt.date
) -> list[str]:
    """Return the sentences on the effects of a roster.

    Parameters
    ----------
    fault
        One fault in full, each swimmer named; empty: what is known, then what is not.
    """
    if fault:
        if not effects:
            return [f"No correction, cue or drill against {names[fault]} is on record."]
        return [
            line
            for effect in effects
            for line in (
                effect_line(effect, names),
                *(f"  {one}" for one in (*checked_lines(effect), *each_lines(effect, as_of))),
            )
        ]
    known = [effect_line(effect, names) for effect in effects if effect.gain is not None]
    return [
        line for line in (*known, unknown_line(effects, names), *shrunk_lines(side_by_side, names)) if line
    ]
