"""Kinds of test: how they are named, how they compare, and what pace one predicts for another."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tracker.engine.series.conditions import CONDITIONS, HOURS, as_column, varied, with_usual_hours
from tracker.engine.series.rows import Rows, numbered
from tracker.model.units import YARD_M

COURSES: Final = {"SCM": 2.0, "LCM": 0.0, "SCY": 2.4, "OW": -1.0}
"""Percent faster than in a 50 m pool. 25 m: Wolfrum et al. 2013, SpringerPlus 2:643. A yard pool turns as
often as a 25 m pool on 8.6 % less: a little faster, an assumption, as is open water."""
POOL_SD, OPEN_WATER_SD = 1.0, 3.0
"""Published is 0.6 between pools, widened since weak turners gain less (common practice, no source); of open
water an assumption."""
WETSUIT, WETSUIT_SD = 5.5, 2.0
"""Percent faster: mean 5.53, 3.1 to 8.9 (de Lucas et al. 2000, 12 swimmers)."""
PER_E_FOLD, DISTANCE_SD = 6.5, 2.5
"""Percent that pace grows by for each e-fold of distance, and its spread for each doubling: a choice between
two findings. Men's long-course records over 200, 400, 800 and 1500 m (106.6, 223.8, 466.0, 881.6 s) give
4.98; a 400 in 2.105 times the 200, as amateurs' pairs often are (common practice, no source), gives 7.4. One
exponent does not fit all (50 to 400 m give 12.3), so the spread grows with the gap (assumption)."""

_LENGTH = re.compile(r"\b(\d+) m\b", re.ASCII)
_DISTANCE = re.compile(r"^(?:t|css[- ]?)?\s*([1-9][0-9]{1,4})(?:\s*m)?$", re.ASCII | re.IGNORECASE)


def protocol_name(test: str, distance_m: float, *, start: str, first_of_set: bool) -> str:
    """Return the name under which a swim is comparable with others.

    A 400 that opens a CSS pair is swum rested, as a single 400 is: one protocol. The 200
    that follows within minutes is not the rested 200: a protocol of its own.

    Parameters
    ----------
    test
        Short name of the test definition; may be empty.
    distance_m
        Metres; a distance swum in yards keeps its metres.
    start
        "dive" makes another protocol: it is worth seconds (common practice, no source).
    first_of_set
        False for the swims of a set after the first.
    """
    metres = f"{round(distance_m)} m"
    if test == "t30":
        name = "30 min"
    elif test == "reps":
        name = f"repeats of {metres}"
    elif test == "css":
        name = metres if first_of_set else f"{metres} after the first"
    elif test and not re.fullmatch(r"t[0-9]+", test):
        name = f"{test} {metres}"
    else:
        name = metres
    return f"{name}, dive" if start == "dive" else name


def in_yards(name: str) -> str:
    """Return a protocol's name with its distance in yards, where the metres were whole 25 yards.

    A name keeps metres, so that it is the same in every pool; who swims 400 yards knows no 366 m.
    """

    def said(found: re.Match[str]) -> str:
        metres = int(found[1])
        yards = 25 * round(metres / (25 * YARD_M))
        # 800 and 1600 m happen to be whole 25 yards, too
        return f"{yards} yd" if metres % 25 and round(yards * YARD_M) == metres else found[0]

    return _LENGTH.sub(said, name)


def published_offset(feature: str, value: str, reference: str) -> tuple[float, float] | None:
    """Return mean and sd (percent of pace, + is faster) of `value` against `reference`, if known.

    Parameters
    ----------
    feature
        "protocol", "course" or "suit".
    value, reference
        Two values of that feature.

    Notes
    -----
    The values and their sources stand beside `COURSES`, `WETSUIT` and `PER_E_FOLD`.
    """
    if feature == "course":
        if value in COURSES and reference in COURSES:
            open_water = "OW" in {value, reference}
            return COURSES[value] - COURSES[reference], OPEN_WATER_SD if open_water else POOL_SD
    elif feature == "suit":
        sign = (value == "wetsuit") - (reference == "wetsuit")
        if sign:
            return sign * WETSUIT, WETSUIT_SD
    elif feature == "protocol":
        metres = [_metres(value), _metres(reference)]
        if metres[0] and metres[1]:
            gap = math.log(metres[0] / metres[1])
            return -PER_E_FOLD * gap, DISTANCE_SD * max(1.0, abs(gap) / math.log(2))
    return None


def _metres(protocol: str) -> float | None:
    """Return the distance that a protocol's name states, as far as its pace behaves like one swim."""
    name = protocol.removesuffix(", dive").removesuffix(" after the first")
    found = _DISTANCE.fullmatch(name)
    return float(found[1]) if found else None


def reference_penalty(protocol: str) -> float:
    """Return how ill a protocol suits as a series' scale; the least strange of the commonest is it.

    A rested swim before one that follows another, then the nearest to 400 m in log distance:
    a series of CSS pairs is put on the scale of its 400.
    """
    metres = _metres(protocol)
    far = abs(math.log(metres / 400.0)) if metres else 5.0
    return far + (10.0 if protocol.endswith(" after the first") else 0.0)


class Reference(NamedTuple):
    """The kind of test that offsets are relative to."""

    protocol: str
    course: str
    suit: str


@dataclass(frozen=True)
class Kinds:
    """Kinds of test of R rows, the commonest first.

    Attributes
    ----------
    code
        (R,) each row's kind.
    design, features
        (K, P) what each kind is made of beside the reference, and the P names of its columns.
    offsets
        Feature -> (mean, sd) of its effect in percent, where a published value is known.
    noise
        Feature -> factor on the noise of tests with it, where one is believed.
    names
        K names for people ("400 m SCM", "200 m LCM in a wetsuit"); they leave the conditions out.
    plain
        (K,) each kind without its conditions, as a number; empty where no condition sets kinds apart.
    """

    code: NDArray[np.int64]
    design: NDArray[np.float64]
    features: tuple[str, ...]
    offsets: Mapping[str, tuple[float, float]]
    noise: Mapping[str, float]
    names: tuple[str, ...]
    plain: NDArray[np.int64]
    reference: Reference


def kinds_of(rows: Rows, reference: Reference | None = None) -> Kinds:
    """Return the kinds of the rows.

    Parameters
    ----------
    reference
        What features are named against, so that a swimmer alone has the same features as among
        the roster; None for the commonest kind of these rows.
    """
    kind, first = _coded(rows)
    parts = {"protocol": rows.protocol, "course": rows.course, "suit": rows.suit}
    own = [[str(values[row]) for row in first] for values in parts.values()]
    against = reference or Reference(own[0][0], own[1][0], own[2][0])
    columns: list[NDArray[np.float64]] = []
    features: list[str] = []
    offsets: dict[str, tuple[float, float]] = {}
    for name, values, base in zip(parts, own, against, strict=True):
        for value in sorted(set(values) - {base}):
            feature = f"{name} {value}".strip()
            features.append(feature)
            columns.append(np.array([float(other == value) for other in values]))
            known = published_offset(name, value, base)
            if known is not None:
                offsets[feature] = known
    plain = Kinds(
        kind,
        np.column_stack(columns) if columns else np.zeros((first.size, 0)),
        tuple(features),
        offsets,
        {},
        tuple(kind_name(*kind_of) for kind_of in zip(*own, strict=True)),
        np.zeros(0, np.int64),
        against,
    )
    return _with_conditions(plain, rows)


def _with_conditions(plain: Kinds, rows: Rows) -> Kinds:
    """Return the kinds, set apart by the conditions that some swimmer varies; as they are without any."""
    bounds = rows.bounds()
    known = with_usual_hours(rows.conditions, bounds)
    columns = varied(known, bounds)
    if not columns:
        return plain
    apart = plain.code
    for column in columns:
        apart = apart * HOURS + known[:, column].astype(np.int64)
    _, first, code = np.unique(apart, return_index=True, return_inverse=True)
    of = plain.code[first]
    conditions = [CONDITIONS[column] for column in columns]
    effects = [as_column(CONDITIONS[column], known[first, column]) for column in columns]
    return Kinds(
        code.astype(np.int64),
        np.column_stack([plain.design[of], *effects]),
        (*plain.features, *map(str, conditions)),
        {**plain.offsets, **{str(one): (one.traits.mean, one.traits.sd) for one in conditions}},
        {str(one): one.traits.noise for one in conditions if one.traits.noise != 1.0},
        tuple(plain.names[number] for number in of.tolist()),
        of,
        plain.reference,
    )


def _coded(rows: Rows) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return each row's kind (R,) and the first row of each kind (K,); common and plain kinds first."""
    combined = np.zeros(len(rows), np.int64)
    for values in (rows.protocol, rows.course, rows.suit):
        code, found = numbered(values)
        combined = combined * len(found) + code
    codes, first = np.unique(combined, return_index=True)
    plain = np.searchsorted(codes, combined)
    strange = np.array([reference_penalty(str(rows.protocol[row])) for row in first])
    order = np.lexsort((strange, -np.bincount(plain)))
    rank = np.empty_like(order)
    rank[order] = np.arange(order.size)
    return rank[plain].astype(np.int64), first[order].astype(np.int64)


def kind_name(protocol: str, course: str, suit: str) -> str:
    """Return how a kind of test is called where people read it ("400 m SCM in a wetsuit", "400 yd SCY")."""
    words = [word for word in (in_yards(protocol) if course == "SCY" else protocol, course) if word]
    return " ".join([*words, "in a wetsuit"] if suit == "wetsuit" else words)
