"""``slackwater fault steps|delete``: the steps that are written down, and one taken out."""

from __future__ import annotations

from argparse import Namespace
from typing import TYPE_CHECKING

from tracker.cli.entries import delete_one, needed, number_of, print_entries
from tracker.cli.wiring import Context

if TYPE_CHECKING:
    from tracker.records.fault import FaultStep

_HEADER = ("date", "fault", "side", "step", "severity", "reviewer", "note")


def run_steps(args: Namespace, ctx: Context) -> int:
    """List the steps of a swimmer's faults with their numbers, or delete one."""
    from tracker.records.fault import FaultStep
    from tracker.usecases.list_entries import find_entry, list_entries

    if args.name == "steps":
        kept = list_entries(ctx.store_to_read, FaultStep, needed(args.step, "NAME", "fault"))
        return print_entries(ctx, "steps", kept, _HEADER, _cells)
    old = find_entry(ctx.store_to_read, FaultStep, number_of(args.step, "fault"))
    return delete_one(ctx, old, _words(old.record), yes=args.yes)


def _cells(step: FaultStep) -> tuple[str, ...]:
    severity = str(step.severity or "")
    return str(step.date), step.fault, step.side, step.step, severity, step.reviewer, step.note


def _words(step: FaultStep) -> str:
    side = f" ({step.side})" if step.side else ""
    return f"{step.date}: {step.fault}{side} {step.step}"
