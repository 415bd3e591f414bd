"""The kinds of event, each with its properties; loads nothing but the standard library."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, StrEnum, auto
from typing import Final


class Ailment(Enum):
    """What an event says about a swimmer's health."""

    ILL = auto()
    HURT = auto()


@dataclass(frozen=True)
class KindTraits:
    """What there is to know of a kind of event.

    Attributes
    ----------
    plain
        Its name in a sentence: "a lay-off".
    label
        Its name in a list: "other pool".
    rank
        Its place among what may have moved the line, likeliest first; `technique.link.Finding` has the
        other places.
    mark
        Its name below a chart; empty for the word that is stored.
    jump
        Whether form may have jumped when it is over.
    away
        Whether the swimmer is not there: nothing is asked of them on such a day.
    one_day
        Whether it lasts a day where no end is given; any other kind then still lasts.
    health
        What it says about the swimmer's health; None for nothing. Such a kind is private: it is offered,
        shown and exported only where health is switched on.
    """

    plain: str
    label: str
    rank: int
    mark: str = ""
    jump: bool = False
    away: bool = False
    one_day: bool = False
    health: Ailment | None = None


class EventKind(StrEnum):
    """The kinds of event; one line here, and a migration for the table's rule, make another.

    Pools and suits say by themselves in the swims what they do, and a race or a camp moves the line as
    training does: after none of them form jumps (assumption).
    """

    about: KindTraits

    def __new__(cls, word: str, about: KindTraits) -> EventKind:
        """Return a kind that is its stored word."""
        kind = str.__new__(cls, word)
        kind._value_ = word
        kind.about = about
        return kind

    LAYOFF = "layoff", KindTraits("a lay-off", "lay-off", rank=20, mark="lay-off", jump=True, away=True)
    ILLNESS = "illness", KindTraits("an illness", "illness", rank=30, jump=True, health=Ailment.ILL)
    INJURY = "injury", KindTraits("an injury", "injury", rank=30, jump=True, health=Ailment.HURT)
    POOL = "pool", KindTraits("another pool", "other pool", rank=40)
    SUIT = "suit", KindTraits("another suit", "other suit", rank=50)
    RACE = "race", KindTraits("a race", "race", rank=90, one_day=True)
    CAMP = "camp", KindTraits("a camp", "camp", rank=80, away=True)
    OTHER = "other", KindTraits("an event", "event", rank=100)


HEALTH_KINDS: Final = frozenset(kind for kind in EventKind if kind.about.health)
JUMP_KINDS: Final = frozenset(kind for kind in EventKind if kind.about.jump)


def kind_of(text: str) -> EventKind | None:
    """Return the kind that a text names; None where it names none."""
    return next((kind for kind in EventKind if kind == text), None)


def offered_kinds(*, health: bool) -> tuple[EventKind, ...]:
    """Return the kinds that forms, help and completion offer: those about health only where it is on."""
    return tuple(kind for kind in EventKind if health or not kind.about.health)
