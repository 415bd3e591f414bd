"""The cautions on tests and drills, each shown once. They defer to local rules and licensed care."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final, assert_never

from tracker.remedies import Mend, Wording
from tracker.technique.practice_patterns import Caution

MAXIMAL_TEST: Final = (
    "caution: this is a maximal test. Have somebody watch; swim it only when well and warmed up, and never "
    "with fever or just after an illness. Stop at chest pain, dizziness or breathlessness out of proportion. "
    "If in doubt about your health, ask a doctor first. The rules of the pool or water come first."
)
MAXIMAL_EFFORT: Final = (
    "caution: swim all out only when well and warmed up, with somebody watching, and never with fever or "
    "just after an illness. Stop at chest pain, dizziness or breathlessness out of proportion; in doubt ask "
    "a doctor first."
)
ALONE: Final = (
    "caution: never swim all out, hold your breath or go into open or cold water alone: a lifeguard or a "
    "trained observer is there, by the rules of the pool or water."
)
BREATH: Final = (
    "caution: holding the breath, or breathing fast and deep before a swim, can kill at any depth. Keep "
    "breathing comfortable, never do it alone, and follow the rules of the pool."
)
SHOULDER: Final = (
    "caution: with a sore shoulder leave paddles and hard pulling out, don't test, and have it looked at."
)
OPEN_WATER: Final = (
    "caution: open or cold water never alone: only with cover on the water, a bright cap and by the local "
    "and event rules. Below 15 C expect cold shock: float until it passes; dry and dress at once afterwards."
)
NECK: Final = "caution: turn the head only as far as is easy; with a sore neck leave the drill out."
PROFESSIONAL: Final = (
    "caution: an injury or illness is logged: no maximal test and no hard loads before somebody licensed to "
    "judge it has said so."
)
AFTER_ILLNESS: Final = (
    "caution: after an illness come back step by step, watch for symptoms, and test only when fully well."
)
MINOR_CLIP: Final = (
    "caution: a clip of somebody under 18: film only with a reason, with the parents' consent and the "
    "swimmer's own, delete it when done, and respect a refusal; local law and club rules come first."
)


def cautions(codes: Iterable[Caution]) -> tuple[str, ...]:
    """Return the cautions of some codes, each once, in order."""
    return tuple(dict.fromkeys(_words(code) for code in codes))


def _words(code: Caution) -> str:  # noqa: C901 - one case a caution
    match code:
        case Caution.SEE_A_PROFESSIONAL:
            return PROFESSIONAL
        case Caution.AFTER_ILLNESS:
            return AFTER_ILLNESS
        case Caution.MAXIMAL_TEST:
            return MAXIMAL_TEST
        case Caution.MAXIMAL_EFFORT:
            return MAXIMAL_EFFORT
        case Caution.ALONE:
            return ALONE
        case Caution.BREATH:
            return BREATH
        case Caution.SHOULDER | Caution.PADDLES:
            return SHOULDER
        case Caution.NECK:
            return NECK
        case Caution.OPEN_WATER:
            return OPEN_WATER
        case other:
            assert_never(other)


def minor_consent(wording: Wording) -> str:
    """Return what is said where a swimmer who may be under 18 gave a consent alone."""
    said = "caution: this swimmer may be under 18: a guardian's consent may be needed too"
    later = "the age from which somebody decides alone differs by country."
    return f"{wording.after(said, Mend.BY_GUARDIAN)}; {later}"
