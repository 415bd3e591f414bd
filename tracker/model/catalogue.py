"""The catalogue: areas with words for each score, measures with norms, faults with what answers them.

The entries stand in ``faults.toml`` beside this file, each figure with its source. A coach's own
faults (short name ``own-...``) are merged beside it. No sqlmodel here: calculators read it too.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from tracker.errors import UnknownNameError
from tracker.model.vocabularies import Answers, CostKnown, Depends

if TYPE_CHECKING:
    from tracker.model.fault import OwnFault

NO_NORM = "no norm known"
NOT_KNOWN = "not known"


@dataclass(frozen=True)
class Area:
    """One of the areas of a review; `steps` says in words what the scores 1 to 5 look like."""

    slug: str
    name: str
    steps: tuple[str, ...]


HALF_TURN_DEG = 180.0


@dataclass(frozen=True)
class Measure:
    """A number read off a clip.

    Attributes
    ----------
    unit
        "deg", "cm" or "%".
    how
        What is measured and when, with the sign.
    norm, source
        What is usual in words, and "common practice", "no norm known" or a published source. No limit: no
        published value was found that a reading could be judged by.
    sources
        Ids of the ledger of sources (`model.sources`) that its figures come from.
    """

    slug: str
    name: str
    unit: str
    view: str
    how: str
    sided: bool
    norm: str
    source: str
    sources: tuple[str, ...] = ()

    @property
    def has_published_norm(self) -> bool:
        """Whether its norm rests on more than common practice."""
        return self.source not in {NO_NORM, "common practice"}

    def possible(self, value: float) -> bool:
        """Return whether a reading can be so: no angle exceeds half a turn."""
        return self.unit != "deg" or abs(value) <= HALF_TURN_DEG


@dataclass(frozen=True)
class Drill:
    """A drill of the catalogue.

    Attributes
    ----------
    provokes
        The faults it can bring about or feed (common practice).
    how
        What to do, where the name doesn't say it.
    earlier
        Names that it had before; records may hold them.
    """

    name: str
    provokes: tuple[str, ...]
    how: str = ""
    earlier: tuple[str, ...] = ()


@dataclass(frozen=True)
class Dependency:
    """Two faults, `fault` to be worked on before `then`; how they hang together, and who says so."""

    fault: str
    then: str
    how: Depends
    source: str


@dataclass(frozen=True)
class Fault:
    """An entry of the catalogue.

    Attributes
    ----------
    view, look
        From where it is seen, and what to look at.
    measures
        Short names of the measures that show it.
    sided
        Whether left and right can be recorded apart.
    norm_source
        "common practice", "no norm known" or a published source.
    cost, cost_source, cost_known
        What it costs in words, who measured it, and how near the measurement is to the fault.
    sources
        Ids of the ledger of sources (`model.sources`) that its figures come from.
    provoked_by
        Wordings of cues that can bring it about when overdone.
    answers
        How fast a swimmer usually takes it up (common practice); "" where not known.
    care
        Codes of the cautions that go with its drills.
    park, park_why
        Whether leaving it is proposed as a rule, and why.
    """

    slug: str
    name: str
    area: str
    view: str
    look: str
    norm: str
    norm_source: str
    cost: str
    cost_known: CostKnown
    cues: tuple[str, ...]
    drills: tuple[str, ...]
    provoked_by: tuple[str, ...]
    answers: Answers
    measures: tuple[str, ...] = ()
    sided: bool = False
    cost_source: str = ""
    sources: tuple[str, ...] = ()
    care: tuple[str, ...] = ()
    caution: str = ""
    park: bool = False
    park_why: str = ""

    @property
    def own(self) -> bool:
        """Whether a coach added it."""
        return self.slug.startswith("own-")

    def takes(self, side: str) -> bool:
        """Return whether it can be recorded for `side`; a coach's own fault can be for either."""
        return not side or self.sided or self.own


@cache
def _file() -> Mapping[str, list[dict[str, Any]]]:
    return tomllib.loads(files("tracker.model").joinpath("faults.toml").read_text("utf-8"))


def _entry(raw: Mapping[str, Any]) -> dict[str, Any]:
    return {key: tuple(value) if isinstance(value, list) else value for key, value in raw.items()}


@cache
def areas() -> tuple[Area, ...]:
    """Return the areas in their order."""
    return tuple(Area(**_entry(raw)) for raw in _file()["area"])


@cache
def measures() -> tuple[Measure, ...]:
    """Return the twelve measures in their order."""
    return tuple(Measure(**_entry(raw)) for raw in _file()["measure"])


@cache
def drills() -> tuple[Drill, ...]:
    """Return every drill that answers a built-in fault."""
    return tuple(Drill(**_entry(raw)) for raw in _file()["drill"])


@cache
def dependencies() -> tuple[Dependency, ...]:
    """Return which fault is to be worked on before which."""
    return tuple(
        Dependency(raw["fault"], then, how, raw["source"])
        for raw in _file()["dependency"]
        for key, how in (("leads_to", Depends.LEADS_TO), ("comes_before", Depends.COMES_BEFORE))
        for then in raw.get(key, ())
    )


@cache
def catalogue() -> tuple[Fault, ...]:
    """Return the built-in faults in the order of the catalogue."""
    return tuple(_fault(**_entry(raw)) for raw in _file()["fault"])


def _fault(cost_known: str, answers: str, **rest: Any) -> Fault:  # noqa: ANN401 - as the file has it
    return Fault(cost_known=CostKnown(cost_known), answers=Answers(answers), **rest)


@cache
def catalogue_order() -> Mapping[str, int]:
    """Return the place of every built-in fault; own ones come after all of them."""
    return {entry.slug: place for place, entry in enumerate(catalogue())}


def _lines(text: str) -> tuple[str, ...]:
    return tuple(line.strip() for line in text.splitlines() if line.strip())


def own_fault(own: OwnFault) -> Fault:
    """Return a coach's own fault as an entry; what was left empty is "not known"."""
    return Fault(
        slug=own.fault,
        name=own.name,
        area=own.area,
        view=own.view,
        look=own.measure,
        norm=own.norm or NO_NORM,
        norm_source="the coach's own" if own.norm else NO_NORM,
        cost=own.cost or NOT_KNOWN,
        cost_known=CostKnown.NONE,
        cues=_lines(own.cues),
        drills=_lines(own.drills),
        provoked_by=_lines(own.provoked_by),
        answers=own.answers,
        caution=own.caution,
    )


def full_catalogue(own: Iterable[OwnFault] = ()) -> tuple[Fault, ...]:
    """Return the built-in faults, then the coach's own in the order given."""
    return (*catalogue(), *(own_fault(entry) for entry in own))


def fault(slug: str, own: Iterable[OwnFault] = ()) -> Fault:
    """Return the entry called `slug`.

    Raises
    ------
    UnknownNameError
        If there is none; carries the nearest names.
    """
    entries = {entry.slug: entry for entry in full_catalogue(own)}
    if slug in entries:
        return entries[slug]
    raise UnknownNameError("fault", slug, _nearest(slug, {e.slug: e.name for e in entries.values()}))


def area(slug: str) -> Area:
    """Return the area called `slug`; raises UnknownNameError."""
    for entry in areas():
        if entry.slug == slug:
            return entry
    raise UnknownNameError("area", slug, _nearest(slug, {e.slug: e.name for e in areas()}))


def measure(slug: str) -> Measure:
    """Return the measure called `slug`; raises UnknownNameError."""
    for entry in measures():
        if entry.slug == slug:
            return entry
    raise UnknownNameError("measure", slug, _nearest(slug, {e.slug: e.name for e in measures()}))


def _nearest(typed: str, names: Mapping[str, str]) -> tuple[str, ...]:
    """Return up to three short names that look like `typed`, or whose plain name holds its words."""
    import difflib

    close = difflib.get_close_matches(typed, names, n=3, cutoff=0.6)
    words = typed.replace("-", " ").casefold().split()
    holding = [
        slug for slug, name in names.items() if words and all(word in f"{slug} {name}" for word in words)
    ]
    return tuple(dict.fromkeys([*close, *holding]))[:3]
