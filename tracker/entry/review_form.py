"""Read a typed review: its items and the faults seen in it."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from tracker.entry.dates import checked_past
from tracker.entry.forms import read_record
from tracker.entry.times import parse_number, parse_whole, shown
from tracker.errors import EntryError, Problem, UnknownNameError, remedy_of
from tracker.model.catalogue import area, fault, measure
from tracker.model.fault import OwnFault
from tracker.model.geometry import BadPointsError, measured
from tracker.model.review import ReviewItem
from tracker.model.swimmer import Swimmer
from tracker.model.text import clean_line
from tracker.model.vocabularies import ItemKind

_SIDED = re.compile(r"(?P<slug>[^:=\s]+)(?::(?P<side>[^:=]*))?(?:=(?P<value>.*))?", re.DOTALL)
_SIDES = ("", "left", "right")


@dataclass(frozen=True)
class TypedReview:
    """A look at a swimmer's technique as somebody typed it.

    Attributes
    ----------
    name, by
        The swimmer's label; the reviewer.
    date
        Empty for today.
    scores
        "breathing=3" (area and 1 to 5).
    measures
        "shoulder-roll:left=58".
    points
        "shoulder-roll:x,y;x,y;x,y;x,y", optionally with a side: "shoulder-roll:left:x,y;...".
    faults
        "breath-late:left=2" (fault, side, severity 1 to 3; the last two may lack).
    corrected
        "breath-late:left".
    """

    name: str
    by: str
    date: str = ""
    scores: tuple[str, ...] = ()
    measures: tuple[str, ...] = ()
    points: tuple[str, ...] = ()
    faults: tuple[str, ...] = ()
    corrected: tuple[str, ...] = ()
    clip: str = ""
    note: str = ""


class SeenFault(NamedTuple):
    """A fault named in a review."""

    fault: str
    side: str
    severity: int | None


@dataclass(frozen=True)
class ReadReview:
    """A review as records and sightings."""

    items: tuple[ReviewItem, ...]
    seen: tuple[SeenFault, ...]
    corrected: tuple[SeenFault, ...]
    date: dt.date
    reviewer: str


def read_review(
    typed: TypedReview, swimmer: Swimmer, *, own: Iterable[OwnFault], as_of: dt.date
) -> ReadReview:
    """Return what a review says.

    Parameters
    ----------
    own
        The coach's own faults.
    as_of
        Today.

    Raises
    ------
    EntryError
        With every problem of every field.
    """
    problems: list[Problem] = []
    shared = {
        "date": typed.date.strip() or as_of.isoformat(),
        "swimmer": swimmer.swimmer,
        "reviewer": typed.by,
        "clip": typed.clip,
        "note": typed.note,
    }
    look = _record({**shared, "kind": ItemKind.LOOK}, "", problems)
    if look is not None:
        try:
            checked_past(look.date, as_of, swimmer.born)
        except ValueError as wrong:
            problems.append(Problem("date", typed.date, str(wrong)))
    base = (
        {name: value for name, value in shared.items() if name != "note"} if look else _sound(swimmer, as_of)
    )
    items = [
        *_scores(typed, base, problems),
        *_measures(typed, base, problems),
        *_points(typed, base, problems),
    ]
    _check_one_score(items, problems)
    own = tuple(own)
    seen = [_seen(text, "faults", own, problems, graded=True) for text in typed.faults]
    corrected = [_seen(text, "corrected", own, problems, graded=False) for text in typed.corrected]
    _check_twice([one for one in (*seen, *corrected) if one], problems)
    if problems or look is None:
        raise EntryError(tuple(problems))
    if typed.note.strip() and items:
        items[0] = items[0].model_copy(update={"note": look.note})
    return ReadReview(
        tuple(items) or (look,),
        tuple(one for one in seen if one),
        tuple(one for one in corrected if one),
        look.date,
        look.reviewer,
    )


def _sound(swimmer: Swimmer, as_of: dt.date) -> dict[str, str]:
    """Return fields that are right, to try the items on where the shared ones are wrong."""
    return {"date": as_of.isoformat(), "swimmer": swimmer.swimmer, "reviewer": "-"}


def _record(form: Mapping[str, str], field: str, problems: list[Problem]) -> ReviewItem | None:
    try:
        return read_record(ReviewItem, form)
    except EntryError as wrong:
        problems += [replace(problem, field=field or problem.field) for problem in wrong.problems]
        return None


def _scores(typed: TypedReview, base: Mapping[str, str], problems: list[Problem]) -> list[ReviewItem]:
    return _each(typed.scores, "scores", _score, base, problems)


def _measures(typed: TypedReview, base: Mapping[str, str], problems: list[Problem]) -> list[ReviewItem]:
    return _each(typed.measures, "measures", _measure, base, problems)


def _points(typed: TypedReview, base: Mapping[str, str], problems: list[Problem]) -> list[ReviewItem]:
    return _each(typed.points, "points", _from_points, base, problems)


def _each(
    texts: Iterable[str],
    field: str,
    read: Callable[[str], dict[str, str]],
    base: Mapping[str, str],
    problems: list[Problem],
) -> list[ReviewItem]:
    """Return the items of some texts; what is wrong is added to `problems`."""
    found = []
    for text in texts:
        try:
            fields = read(text)
        except (ValueError, UnknownNameError, BadPointsError) as wrong:
            problems.append(Problem(field, clean_line(text), str(wrong), remedy=remedy_of(wrong)))
            continue
        item = _record({**base, **fields}, field, problems)
        found += [item] if item else []
    return found


def _score(text: str) -> dict[str, str]:
    slug, equals, value = text.partition("=")
    if not equals:
        raise ValueError(f"{shown(text)} is no score; write it as breathing=3")
    known = area(slug.strip()).slug
    score = parse_whole(value)
    if not 1 <= score <= 5:
        raise ValueError(f"{shown(text)}: a score is 1 to 5")
    return {"kind": ItemKind.SCORE, "item": known, "value": str(score)}


def _measure(text: str) -> dict[str, str]:
    slug, side, value = _sided(text, "shoulder-roll:left=58")
    known = measure(slug)
    if value is None:
        raise ValueError(f"{shown(text)} has no value; write it as shoulder-roll:left=58")
    if side and not known.sided:
        raise ValueError(f"{shown(text)}: {slug} has no side")
    number = parse_number(value)
    if not known.possible(number):
        raise ValueError(f"{shown(text)}: an angle is at most 180 deg")
    return {"kind": ItemKind.MEASURE, "item": slug, "side": side, "value": repr(number)}


def _from_points(text: str) -> dict[str, str]:
    kind, _, rest = text.partition(":")
    side, colon, after = rest.partition(":")
    side, rest = (side.strip().lower(), after) if colon else ("", rest)
    if side not in _SIDES:
        raise ValueError(f"{shown(side)} is no side; write left or right")
    slug, value = measured(f"{kind}:{rest}")
    kept = f"{slug}:{rest}"
    return {"kind": ItemKind.MEASURE, "item": slug, "side": side, "value": repr(value), "points": kept}


def read_fault(text: str, own: Iterable[OwnFault], *, graded: bool) -> SeenFault:
    """Return a fault from "slug[:side][=severity]".

    Raises
    ------
    ValueError
        If it is not written so.
    UnknownNameError
        If the catalogue has no such fault; with the nearest names.
    """
    slug, side, value = _sided(text, "breath-late:left=2" if graded else "breath-late:left")
    known = fault(slug, own).slug
    if value is not None and not graded:
        raise ValueError(f"{shown(text)}: no severity here; write breath-late:left")
    severity = parse_whole(value) if value is not None else None
    if severity is not None and not 1 <= severity <= 3:
        raise ValueError(f"{shown(text)}: a severity is 1 to 3")
    return SeenFault(known, side, severity)


def _seen(
    text: str, field: str, own: Sequence[OwnFault], problems: list[Problem], *, graded: bool
) -> SeenFault | None:
    try:
        return read_fault(text, own, graded=graded)
    except (ValueError, UnknownNameError) as wrong:
        problems.append(Problem(field, clean_line(text), str(wrong), remedy=remedy_of(wrong)))
        return None


def _sided(text: str, example: str) -> tuple[str, str, str | None]:
    match = _SIDED.fullmatch(text.strip())
    if match is None:
        raise ValueError(f"{shown(text)} is not written right; write {example}")
    side = (match["side"] or "").strip().lower()
    if side not in _SIDES:
        raise ValueError(f"{shown(side)} is no side; write left or right")
    return match["slug"], side, match["value"]


def _check_one_score(items: Sequence[ReviewItem], problems: list[Problem]) -> None:
    scored = [item.item for item in items if item.kind == ItemKind.SCORE]
    twice = dict.fromkeys(one for one in scored if scored.count(one) > 1)
    problems += [Problem("scores", slug, f"{slug} is scored twice in this review") for slug in twice]


def _check_twice(named: Sequence[SeenFault], problems: list[Problem]) -> None:
    places = [(one.fault, one.side) for one in named]
    for fault_, side in dict.fromkeys(place for place in places if places.count(place) > 1):
        where = f" ({side})" if side else ""
        problems.append(Problem("faults", fault_, f"{fault_}{where} is named twice in this review"))
