"""Rows and columns of a list, as values."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Column:
    """A column: its title, its cells' width, and its share of the width that is left over."""

    title: str
    width: int
    grow: int = 0


@dataclass(frozen=True)
class Row:
    """One row: what it stands for, its texts, and for some of them a role (a style's name)."""

    key: str
    texts: tuple[str, ...]
    roles: tuple[str, ...] = ()
