"""What a command that logs says where the swimmer is archived."""

from __future__ import annotations

from collections.abc import Iterable

from tracker.cli.wiring import Context


def say_archived(names: Iterable[str], ctx: Context) -> None:
    """Say of each who is archived that the entry was made all the same, and how to take them back."""
    from tracker.output.archived_words import archived_note
    from tracker.usecases.archived_among import archived_among

    for who in archived_among(ctx.store, names):
        ctx.say.warned(f"note: {archived_note(who)}")
