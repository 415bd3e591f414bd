"""The cautions on tests and drills, each printed once. They defer to local rules and licensed care."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Final

from tracker.model.practices import Caution, practices
from tracker.output.sentences.numbers import count
from tracker.remedies import Mend, Wording
from tracker.technique.cautions import ordered

if TYPE_CHECKING:
    from tracker.technique.next_step import NextStep

MINOR_CLIP: Final = (
    "caution: a clip of somebody under 18: film only with a reason, with the parents' consent and the "
    "swimmer's own, delete it when done, and respect a refusal; local law and club rules come first."
)
NAMED: Final = 3
"""So many of those whom a caution concerns are named; the others are counted."""


def caution(code: Caution) -> str:
    """Return a caution in one line."""
    return f"caution: {practices()[code].line}"


def cautions(codes: Iterable[Caution]) -> tuple[str, ...]:
    """Return the cautions of some codes, each once, in order."""
    return tuple(dict.fromkeys(map(caution, codes)))


def fault_cautions(texts: Iterable[str]) -> tuple[str, ...]:
    """Return the cautions that faults carry in their own words, each once."""
    return tuple(dict.fromkeys(f"caution: {text}" for text in texts))


def step_cautions(step: NextStep) -> tuple[str, ...]:
    """Return the cautions of what is proposed: those of practices, then those of the faults."""
    return (*cautions(step.cautions), *fault_cautions(step.fault_cautions))


def cautions_of_many(found: Sequence[tuple[str, Sequence[Caution]]]) -> tuple[str, ...]:
    """Return the cautions of several swimmers, each once, the gravest first, with whom it concerns.

    One swimmer needs no name: it is clear who is meant.
    """
    alone = len({who for who, _ in found}) == 1
    said = []
    for code in ordered(code for _, own in found for code in own):
        who = tuple(dict.fromkeys(who for who, own in found if code in own))
        said.append(
            caution(code) if alone else f"{caution(code)} ({count(len(who), 'swimmer')}: {_named(who)})"
        )
    return tuple(said)


def _named(who: Sequence[str]) -> str:
    more = len(who) - NAMED
    return ", ".join(who[:NAMED]) + (f" and {more} more" if more > 0 else "")


def minor_consent(wording: Wording) -> str:
    """Return what is said where a swimmer who may be under 18 gave a consent alone."""
    said = "caution: this swimmer may be under 18: a guardian's consent may be needed too"
    later = "the age from which somebody decides alone differs by country."
    return f"{wording.after(said, Mend.BY_GUARDIAN)}; {later}"
