"""Which kinds of test a roster has, and what each is made of beside the kind the others are told against."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from tracker.series.protocols import in_yards, published_offset, strangeness
from tracker.series.rows import Rows, numbered


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
    names
        K names for people ("400 m SCM", "200 m LCM in a wetsuit").
    """

    code: NDArray[np.int64]
    design: NDArray[np.float64]
    features: tuple[str, ...]
    offsets: Mapping[str, tuple[float, float]]
    names: tuple[str, ...]
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
    return Kinds(
        kind,
        np.column_stack(columns) if columns else np.zeros((first.size, 0)),
        tuple(features),
        offsets,
        tuple(kind_name(*kind_of) for kind_of in zip(*own, strict=True)),
        against,
    )


def _coded(rows: Rows) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return each row's kind (R,) and the first row of each kind (K,); common and plain kinds first."""
    combined = np.zeros(len(rows), np.int64)
    for values in (rows.protocol, rows.course, rows.suit):
        code, found = numbered(values)
        combined = combined * len(found) + code
    codes, first = np.unique(combined, return_index=True)
    plain = np.searchsorted(codes, combined)
    strange = np.array([strangeness(str(rows.protocol[row])) for row in first])
    order = np.lexsort((strange, -np.bincount(plain)))
    rank = np.empty_like(order)
    rank[order] = np.arange(order.size)
    return rank[plain].astype(np.int64), first[order].astype(np.int64)


def kind_name(protocol: str, course: str, suit: str) -> str:
    """Return how a kind of test is called where people read it ("400 m SCM in a wetsuit", "400 yd SCY")."""
    words = [word for word in (in_yards(protocol) if course == "SCY" else protocol, course) if word]
    return " ".join([*words, "in a wetsuit"] if suit == "wetsuit" else words)
