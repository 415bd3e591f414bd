"""Practices that can hurt, and faults that a cue or drill can provoke.

What somebody wrote down calls for cautions by its words (`technique.practices`); what is logged about
health by its kind and body part. What that holds back, `technique.held_back` says.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Final, assert_never

from tracker.model.catalogue import drills
from tracker.model.event_kinds import Ailment, EventKind
from tracker.model.practices import Caution, practices
from tracker.model.text import name_key
from tracker.model.vocabularies import BodyPart, WorkKind
from tracker.technique.held_back import HeldBack, hurt_parts
from tracker.technique.practices import codes_of

if TYPE_CHECKING:
    from tracker.model.catalogue import Fault
    from tracker.model.work import Work


FREE_TEXT: Final = (
    *("text", "cue", "drill", "cues", "drills", "note", "reason"),
    *("course", "kit", "conditions", "test", "name", "protocol"),
)
"""Fields of any record or form in which people write what is done; their words can call for a caution.

What a cue can provoke, or a fault's own caution, names what is not to be done: neither is one of them.
"""


def ordered(codes: Iterable[str]) -> tuple[Caution, ...]:
    """Return the known ones of `codes`, each once, the gravest first."""
    wanted = set(codes)
    return tuple(
        code for code, practice in practices().items() if code in wanted and practice.covered_by not in wanted
    )


def codes_for(
    care: Sequence[str], texts: Sequence[str], held: HeldBack, *, tests: bool
) -> tuple[Caution, ...]:
    """Return the cautions of one proposal.

    Parameters
    ----------
    care
        The catalogue's codes of the fault, beside what its words bring.
    texts
        The cue and the drill proposed, or what is in use.
    tests
        Whether a maximal test is proposed.
    """
    codes = [*codes_of(texts), *care]
    if held.injured:
        codes.append(Caution.SEE_A_PROFESSIONAL)
    if BodyPart.SHOULDER in held.injuries:
        codes.append(Caution.SHOULDER)
    if held.ill:
        codes += [Caution.SEE_A_PROFESSIONAL, Caution.AFTER_ILLNESS]
    if held.pregnant:
        codes.append(Caution.PREGNANCY)
    if held.child:
        codes.append(Caution.CHILD)
    if held.open_water:
        codes.append(Caution.OPEN_WATER)
    if tests:
        codes.append(Caution.MAXIMAL_TEST)
    return ordered(codes)


def codes_in(texts: Iterable[str], care: Iterable[str] = ()) -> tuple[Caution, ...]:
    """Return the cautions that somebody's words call for, with those of `care`, the gravest first."""
    return ordered([*codes_of(texts), *care])


def codes_of_record(record: object) -> tuple[Caution, ...]:
    """Return the cautions that what somebody wrote in a record calls for."""
    return codes_in(getattr(record, field, "") for field in FREE_TEXT)


def codes_of_event(
    kind: EventKind | None, note: str, part: BodyPart = BodyPart.UNKNOWN
) -> tuple[Caution, ...]:
    """Return the cautions that an event calls for when it is logged: by kind, body part and words.

    No kind is one that is not typed yet.
    """
    codes: list[Caution] = []
    match kind.about.health if kind else None:
        case None:
            pass
        case Ailment.HURT:
            codes.append(Caution.SEE_A_PROFESSIONAL)
            if BodyPart.SHOULDER in hurt_parts(part, note):
                codes.append(Caution.SHOULDER)
        case Ailment.ILL:
            codes += [Caution.SEE_A_PROFESSIONAL, Caution.AFTER_ILLNESS]
        case other:
            assert_never(other)
    return codes_in([note], codes)


_AGAINST: Final = frozenset(
    {"no", "not", "don't", "dont", "never", "without", "stop", "less", "avoid", "instead"}
)
_PARTED: Final = re.compile("[-/]")
"""What may stand between two words of a drill: "catch-up" is "catch up"."""
_EMPTY: Final = frozenset({"a", "an", "the", "to", "in", "of", "with", "your", "every", "at"})


def in_use(work: Work, day: dt.date) -> bool:
    """Return whether the cue or drill was in use on `day`."""
    return work.from_date <= day and (work.to_date is None or work.to_date >= day)


def provoking(entry: Fault, work: Iterable[Work], opened: dt.date) -> tuple[Work, ...]:
    """Return the cues in use on the day the fault was opened that can provoke it.

    A cue meant against this very fault doesn't count, unless its words say otherwise to the body:
    only its words are read.
    """
    return tuple(
        cue for cue in work if is_thought(cue) and in_use(cue, opened) and can_provoke(entry, cue.text)
    )


def is_thought(work: Work) -> bool:
    """Return whether its words are what the swimmer thinks; only such words can provoke a fault."""
    match work.kind:
        case WorkKind.CUE:
            return True
        case WorkKind.DRILL:
            return False
        case other:
            assert_never(other)


def can_provoke(entry: Fault, cue: str) -> bool:
    """Return whether a cue's words hold one of the wordings that can provoke the fault.

    A wording matches where all its words stand in the cue, in any order and apart from endings, and
    none of them is turned round by a "not", "less" or the like before it (but "kick less" is itself
    a wording).
    """
    words = _words(cue)
    said = _meant(words)
    literally = {_stem(word) for word in words}
    return any(
        wanted <= (literally if wanted & _AGAINST else said) for wanted in map(_wanted, entry.provoked_by)
    )


def can_feed(entry: Fault, kind: WorkKind, text: str) -> bool:
    """Return whether a cue or drill, as `kind` says, can bring the fault about or feed it."""
    return can_provoke(entry, text) if kind is WorkKind.CUE else drill_can_provoke(entry, text)


def drill_can_provoke(entry: Fault, drill: str) -> bool:
    """Return whether a drill can bring the fault about or feed it.

    A drill of the catalogue goes by what stands there. Other words go by the drills of the catalogue
    that they name, whatever stands beside them, and by the wordings of cues.
    """
    known = {name: one.provokes for one in drills() for name in (one.name, *one.earlier)}
    if drill in known:
        return entry.slug in known[drill]
    meant = _meant(_words(_PARTED.sub(" ", drill)))
    named = (re.split("[,:]", name)[0] for name, provokes in known.items() if entry.slug in provokes)
    return can_provoke(entry, drill) or any(_wanted(_PARTED.sub(" ", name)) <= meant for name in named)


def _words(text: str) -> list[str]:
    return [word.strip(".,;:!?\"'()") for word in name_key(text).split()]


def _meant(words: list[str]) -> set[str]:
    """Return the words that are not turned round, without their endings."""
    return {_stem(word) for place, word in enumerate(words) if not _turned_round(words, place)}


def _wanted(phrase: str) -> set[str]:
    return {_stem(word) for word in name_key(phrase).split() if word not in _EMPTY}


def _turned_round(words: list[str], place: int) -> bool:
    """Return whether one of the two words before says the opposite."""
    return any(word in _AGAINST for word in words[max(0, place - 2) : place])


def _stem(word: str) -> str:
    """Return the word without the commonest endings ("longer", "gliding", "earlier")."""
    for ending in ("ing", "er", "es", "s"):
        if word.endswith(ending) and len(word) - len(ending) >= 4:
            word = word[: -len(ending)]
            break
    return word[:-1] if len(word) > 4 and word[-1] in "eiy" else word
