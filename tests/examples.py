"""How many examples a property gets: all with ``--hypothesis-profile=thorough``, fewer otherwise."""

from __future__ import annotations

from hypothesis import settings

THOROUGH = 100
QUICK = 40


def register_profiles() -> None:
    """Make the two profiles known, and load the quick one where nobody loaded another."""
    settings.register_profile("thorough", max_examples=THOROUGH)
    settings.register_profile("quick", max_examples=QUICK)
    if settings.get_current_profile_name() in {"default", "ci"}:  # the second is hypothesis's own
        settings.load_profile("quick")


def examples(thorough: int) -> int:
    """Return the share of a dear property's examples that the profile asks for."""
    return max(1, thorough * settings().max_examples // THOROUGH)
