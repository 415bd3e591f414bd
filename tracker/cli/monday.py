"""The Monday list above a scan: what needs somebody, each with the command that deals with it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from operator import attrgetter
from shlex import quote
from typing import assert_never

from tracker.cli.wiring import Context
from tracker.output.sentences.monday import by_swimmer_words, ground_words, needs_words
from tracker.technique.monday import Matter, MondayLine

MOST = 12
"""Swimmers that are named above the table; JSON has all."""


def accept_command(line: MondayLine) -> str:
    """Return the command that deals with a line."""
    name = quote(line.swimmer)
    match line.matter:
        case Matter.VERDICT:
            return f"seen {name}"
        case Matter.FAULT:
            return f"fault {name}"
        case Matter.TEST:
            return f"log {name}"
        case Matter.LOOK:
            return f"review {name}"
        case other:
            assert_never(other)


def put_off_command(line: MondayLine) -> str:
    """Return the command that puts a line off, but for the date."""
    name = quote(line.swimmer)
    due = line.matter in {Matter.TEST, Matter.LOOK}
    return f"leave {name} --what {line.matter}" if due else f"leave {name}"


def say_monday(lines: Sequence[MondayLine], ctx: Context) -> None:
    """Say, as a message above the table, what needs somebody and how each is dealt with."""
    if ctx.say.quiet:
        return
    swimmers = [
        list(mine) for _, mine in groupby(sorted(lines, key=attrgetter("place")), attrgetter("swimmer"))
    ]
    ctx.say.said(needs_words(len(lines), len(swimmers)))
    for mine in swimmers[:MOST]:
        ctx.say.said(f"  {by_swimmer_words(mine)}  [{accept_command(mine[0])}]")
    if len(swimmers) > MOST:
        ctx.say.said(f"  and {len(swimmers) - MOST} more; 'slackwater scan --json' has all of them")
    if swimmers:
        ctx.say.said(
            "  to put off or leave: slackwater leave NAME --until D [--what test|look] [--reason T]; "
            "to open: slackwater why NAME"
        )


def monday_json(lines: Sequence[MondayLine]) -> list[dict[str, str]]:
    """Return each line with its commands; those that need a date lack it."""
    return list(_json(lines))


def _json(lines: Sequence[MondayLine]) -> Iterator[dict[str, str]]:
    for line in sorted(lines, key=attrgetter("place")):
        yield {
            "swimmer": line.swimmer,
            "matter": line.matter,
            "why": ground_words(line.ground),
            "accept": accept_command(line),
            "put_off": put_off_command(line),
        }
