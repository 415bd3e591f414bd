"""``slackwater swims``: what is logged for a swimmer."""

from __future__ import annotations

from argparse import Namespace
from typing import TYPE_CHECKING

from tracker.cli.parsing import Parser
from tracker.cli.wiring import Context
from tracker.output.css_words import distance_words
from tracker.records.units import format_time

if TYPE_CHECKING:
    from tracker.usecases.list_swims import ListedSwim

EXAMPLE = """slackwater swims "Ines Aalto"
slackwater swims "Ines Aalto" --doubtful"""

_HEADER = ("id", "date", "test", "distance", "course", "time", "pace", "suit", "counts", "remarks")


def add_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("name", metavar="NAME", help="the swimmer's label")
    parser.add_argument("--doubtful", action="store_true", help="only what is doubtful or set aside")


def run(args: Namespace, ctx: Context) -> int:
    """Print the swims, oldest first."""
    from tracker.usecases.list_swims import list_swims

    listed = list_swims(ctx.store_to_read, args.name, as_of=ctx.as_of, settings=ctx.settings)
    if args.doubtful:
        listed = [one for one in listed if one.standing.doubts or not one.standing.counts]
    if ctx.json:
        ctx.say.json({"schema": 1, "swims": [_json(one) for one in listed]})
        return 0
    ctx.say.table(_HEADER, [_cells(one) for one in listed])
    return 0


def _cells(one: ListedSwim) -> tuple[str, ...]:
    from tracker.output.reason_words import remarks

    swim = one.kept.record
    return (
        str(one.kept.id),
        swim.date.isoformat(),
        swim.test,
        distance_words(swim.distance_m, swim.course),
        swim.course,
        format_time(swim.time_s),
        format_time(swim.pace, 1),
        "" if swim.suit == "none" else swim.suit,
        f"{'yes' if one.standing.counts else 'no'}{f' ({swim.decision})' if swim.decision else ''}",
        "; ".join(remarks(one.standing)),
    )


def _json(one: ListedSwim) -> dict[str, object]:
    from tracker.output.reason_words import remarks

    return {
        "id": one.kept.id,
        **one.kept.record.model_dump(mode="json"),
        "pace": round(one.kept.record.pace, 3),
        "counts": one.standing.counts,
        "remarks": remarks(one.standing),
    }
