"""How many examples a property gets: all with ``--hypothesis-profile=thorough``, fewer otherwise."""

from __future__ import annotations

from hypothesis import HealthCheck, settings

THOROUGH = 100
QUICK = 30


def register_profiles() -> None:
    """Make the two profiles known, and load the quick one where nobody loaded another."""
    busy = [HealthCheck.too_slow]  # measured by the clock on the wall: it blames an input for a busy machine
    settings.register_profile("thorough", max_examples=THOROUGH, suppress_health_check=busy)
    settings.register_profile("quick", max_examples=QUICK, suppress_health_check=busy)
    if settings.get_current_profile_name() in {"default", "ci"}:  # the second is hypothesis's own
        settings.load_profile("quick")


def examples(of_a_hundred: int) -> int:
    """Return a dear property's examples, where any other gets so many of a hundred as the profile says."""
    return max(1, of_a_hundred * settings().max_examples // 100)
