"""The kinds of dated events, and what some of them have in common."""

from __future__ import annotations

from typing import Literal

EventKind = Literal["layoff", "illness", "injury", "pool", "suit", "race", "camp", "other"]
HEALTH_KINDS = frozenset({"illness", "injury"})
JUMP_KINDS = frozenset({"layoff", "illness", "injury"})
"""Kinds after which form may have jumped. Pools and suits are told by the swims themselves, a race or a
camp moves the line as training does (assumption)."""
