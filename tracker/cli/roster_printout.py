"""The roster as it is printed: line by line as they come, in the order of need when all are there."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from tracker.output.in_order import InOrder

if TYPE_CHECKING:
    from collections.abc import Container, Iterable

    from tracker.cli.wiring import Context
    from tracker.output.told_line import ToldLine


def print_roster(
    lines: Iterable[ToldLine],
    ctx: Context,
    among: Container[str] | None = None,
    nobody: str | None = None,
) -> None:
    """Print a line for each swimmer and, as a message, what the whole roster comes to.

    `among` are the verdicts whose lines are printed, None for all; `nobody` is said if there is no line.
    """
    from tracker.output.cut_words import expected_false_sentence
    from tracker.output.roster_table import left_out_sentence, roster_table
    from tracker.output.roster_words import Standing, standing_sentence
    from tracker.verdict.roster_error import expected_false_among

    flat, standings = list[float](), Counter[Standing]()
    with InOrder() as texts:
        for line in lines:
            if among is None or line.word in among:
                texts.add(line.need, line.row)
            standings[Standing(line.word, line.new, line.grounds)] += 1
            if line.flat is not None:
                flat.append(line.flat)
        table = roster_table((text.split("\t") for text in texts), ctx.say.width)
        for row in table.lines:
            ctx.say.lines(row)
    if ctx.say.quiet:
        return
    ctx.say.said(nobody if nobody and not standings else standing_sentence(standings))
    for sentence in (
        expected_false_sentence(expected_false_among(flat)),
        left_out_sentence(table, ctx.say.width),
    ):
        if sentence:
            ctx.say.said(sentence)


def print_roster_json(lines: Iterable[ToldLine], ctx: Context, among: Container[str] | None = None) -> None:
    """Print the same as JSON; its counts are of the lines printed."""
    from tracker.output.as_json import scan_json
    from tracker.verdict.roster_error import expected_false_among

    flat = list[float]()
    with InOrder() as texts:
        for line in lines:
            if among is not None and line.word not in among:
                continue
            texts.add(line.need, line.json)
            if line.flat is not None:
                flat.append(line.flat)
        false = expected_false_among(flat)
        head = scan_json((), ctx.as_of) | {"expected_false_plateaus": round(false.called * false.share, 4)}
        ctx.say.json_list(head, "swimmers", texts)
