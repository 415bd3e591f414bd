"""Practices that can hurt, and faults that a cue or drill can provoke.

What somebody wrote down calls for cautions by its words (`technique.practices`); what is logged about
health by its kind. Nothing here diagnoses: an injury or illness that somebody logged (only where health
events are switched on) holds back tests and loads, and sends to licensed care.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, assert_never

from tracker.model.event_kinds import Ailment, EventKind
from tracker.model.text import name_key
from tracker.model.vocabularies import WorkKind
from tracker.technique.practice_patterns import Caution
from tracker.technique.practices import Site, codes_of, site_of

if TYPE_CHECKING:
    from tracker.model.catalogue import Fault
    from tracker.model.event import Event
    from tracker.model.work import Work


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
    injuries: set[Site] = set()
    ill = False
    for event in known:
        match event.kind.about.health:
            case None:
                pass
            case Ailment.HURT:
                if event.to_date is None or event.to_date >= day:
                    injuries.add(site_of(event.note))
            case Ailment.ILL:
                ill = ill or event.to_date is None or event.to_date + back >= day
            case other:
                assert_never(other)
    return Health(frozenset(injuries), ill)


def safe(drill: str, health: Health) -> bool:
    """Return whether a drill may be proposed: none that loads the shoulder, unless only a leg is hurt."""
    return health.injuries <= {Site.LEG} or Caution.SHOULDER not in codes_of([drill])


def ordered(codes: Iterable[str]) -> tuple[Caution, ...]:
    """Return the known ones of `codes`, each once, the gravest first."""
    wanted = set(codes)
    if Caution.MAXIMAL_TEST in wanted:  # says all that is said of any other all-out swim
        wanted.discard(Caution.MAXIMAL_EFFORT)
    return tuple(code for code in Caution if code in wanted)


def codes_for(
    care: Sequence[str], practices: Sequence[str], health: Health, *, tests: bool
) -> tuple[Caution, ...]:
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
    codes = [*by_words, *(code for code in care if code != Caution.PADDLES or Caution.SHOULDER in by_words)]
    if health.injured:
        codes.append(Caution.SEE_A_PROFESSIONAL)
    if Site.SHOULDER in health.injuries:
        codes.append(Caution.SHOULDER)
    if health.ill:
        codes += [Caution.SEE_A_PROFESSIONAL, Caution.AFTER_ILLNESS]
    if tests:
        codes.append(Caution.MAXIMAL_TEST)
    return ordered(codes)


def codes_in(texts: Iterable[str], care: Iterable[str] = ()) -> tuple[Caution, ...]:
    """Return the cautions that somebody's words call for, with those of `care`, the gravest first."""
    return ordered([*codes_of(texts), *care])


def codes_of_event(kind: EventKind | None, note: str) -> tuple[Caution, ...]:
    """Return the cautions that an event calls for when it is logged: by its kind and by its words.

    No kind is one that is not typed yet.
    """
    codes: list[Caution] = []
    match kind.about.health if kind else None:
        case None:
            pass
        case Ailment.HURT:
            codes.append(Caution.SEE_A_PROFESSIONAL)
            if site_of(note) is Site.SHOULDER:
                codes.append(Caution.SHOULDER)
        case Ailment.ILL:
            codes += [Caution.SEE_A_PROFESSIONAL, Caution.AFTER_ILLNESS]
        case other:
            assert_never(other)
    return codes_in([note], codes)


_AGAINST: Final = frozenset(
    {"no", "not", "don't", "dont", "never", "without", "stop", "less", "avoid", "instead"}
)
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
    words = [word.strip(".,;:!?\"'()") for word in name_key(cue).split()]
    said = {_stem(word) for place, word in enumerate(words) if not _turned_round(words, place)}
    literally = {_stem(word) for word in words}
    return any(
        wanted <= (literally if wanted & _AGAINST else said) for wanted in map(_wanted, entry.provoked_by)
    )


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
