"""``slackwater scan`` and ``board``: the roster with its verdicts, and every fault in work."""

from __future__ import annotations

from argparse import Namespace
from collections import Counter
from functools import partial
from itertools import chain
from typing import TYPE_CHECKING

from tracker.cli.parsing import Parser, meant
from tracker.cli.progress import progress_of
from tracker.cli.wiring import Context
from tracker.engine.verdict.verdict import Word
from tracker.errors import UsageError
from tracker.output.sorted_output import SortedOutput

if TYPE_CHECKING:
    from collections.abc import Container, Iterable

    from tracker.app.executor import Executor
    from tracker.output.rendered_row import RenderedRow


def print_roster(
    lines: Iterable[RenderedRow],
    ctx: Context,
    among: Container[str] | None = None,
    nobody: str | None = None,
) -> None:
    """Print a line for each swimmer and, as a message, what the whole roster comes to.

    `among` are the verdicts whose lines are printed, None for all; `nobody` is said if there is no line.
    """
    from tracker.engine.verdict.false_plateaus import expected_false_among
    from tracker.output.sentences.roster import RowSummary, expected_false_sentence, summary_sentence
    from tracker.output.text import left_out_sentence, roster_table

    flat, summaries = list[float](), Counter[RowSummary]()
    with SortedOutput() as texts:
        for line in lines:
            if among is None or line.word in among:
                texts.add(line.need, line.row)
            summaries[RowSummary(line.word, line.new, line.grounds)] += 1
            if line.flat is not None:
                flat.append(line.flat)
        table = roster_table((text.split("\t") for text in texts), ctx.say.width)
        for row in table.lines:
            ctx.say.lines(row)
    if ctx.say.quiet:
        return
    ctx.say.said(nobody if nobody and not summaries else summary_sentence(summaries))
    for sentence in (
        expected_false_sentence(expected_false_among(flat)),
        left_out_sentence(table, ctx.say.width),
    ):
        if sentence:
            ctx.say.said(sentence)


def print_roster_json(
    lines: Iterable[RenderedRow], ctx: Context, among: Container[str] | None = None
) -> None:
    """Print the same as JSON; its counts are of the lines printed."""
    from tracker.engine.verdict.false_plateaus import expected_false_among
    from tracker.output.as_json import scan_json

    flat = list[float]()
    with SortedOutput() as texts:
        for line in lines:
            if among is not None and line.word not in among:
                continue
            texts.add(line.need, line.json)
            if line.flat is not None:
                flat.append(line.flat)
        false = expected_false_among(flat)
        head = scan_json((), ctx.as_of) | {"expected_false_plateaus": round(false.called * false.share, 4)}
        ctx.say.json_list(head, "swimmers", texts)


def add_executor_flags(parser: Parser) -> None:
    """Add them."""
    parser.add_argument("--workers", type=int, metavar="N", help="processes (default: one a core)")
    parser.add_argument(
        "--cluster", metavar="ADDRESS", help="the scheduler of a Dask cluster, tls://host:8786"
    )


def executor_of(args: Namespace) -> Executor:
    """Return who is to do it; raises `UsageError`."""
    from tracker.app.executor import Executor, all_cores

    if args.workers is not None and args.workers < 1:
        raise UsageError("--workers: at least 1")
    if args.cluster is not None and args.workers is not None:
        raise UsageError("--workers is for this machine, --cluster for others; give one of them")
    if args.workers is None and args.cluster is None:
        return all_cores()
    return Executor(args.workers or 1, args.cluster)


SCAN_EXAMPLE = """slackwater scan
slackwater scan --group Masters --only plateau,slipping --json"""

_VERDICTS = (*(word.replace(" ", "-") for word in Word), "no-tests")


def scan_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("--group", metavar="G", help="only this group")
    add_executor_flags(parser)
    parser.add_argument("--anew", action="store_true", help="judge everybody, also those nothing changed for")
    parser.add_argument("--only", metavar="V[,V...]", help=f"only these verdicts: {', '.join(_VERDICTS)}")


def run_scan(args: Namespace, ctx: Context) -> int:
    """Print the roster."""
    from tracker.app.render_roster import render_changed_rows, render_roster

    wanted = None if args.only is None else _wanted(args.only)
    told = render_roster if args.anew else partial(render_changed_rows, cache=ctx.dirs.cache)
    lines = told(
        ctx.session_to_read,
        group=args.group,
        executor=executor_of(args),
        progress=progress_of("swimmers", ctx),
    )
    first = next(lines, None)
    nobody = None
    if first is None and args.group is not None:
        check_group(args.group, ctx)
        nobody = f"Everybody in {args.group} is archived; 'slackwater swimmer list --archived' shows them."
    lines = chain([] if first is None else [first], lines)
    if ctx.json:
        print_roster_json(lines, ctx, wanted)
    else:
        print_roster(lines, ctx, wanted, nobody)
    return 0


def _wanted(text: str) -> set[str]:
    wanted = {part.strip().lower().replace(" ", "-") for part in text.split(",") if part.strip()}
    for part in sorted(wanted - set(_VERDICTS)):
        near = meant(part, _VERDICTS) or f"; use {', '.join(_VERDICTS)}"
        raise UsageError(f"--only: no verdict is called {part!r}{near}")
    return {part.replace("-", " ") for part in wanted}


def check_group(group: str, ctx: Context) -> None:
    """Say so if nobody has ever been in a group of that name."""
    from tracker.app.swimmers import list_swimmers

    groups = {who.group for who in list_swimmers(ctx.session_to_read, archived=True) if who.group}
    if group not in groups:
        near = meant(group, groups) or "; 'slackwater swimmer list' shows the groups"
        raise UsageError(f"no group is called {group!r}{near}")


BOARD_EXAMPLE = """slackwater board
slackwater board --group Masters --json"""


def board_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("--group", metavar="G", help="only this group")


def run_board(args: Namespace, ctx: Context) -> int:
    """Print the faults, what waits for somebody first."""
    from tracker.app.faults import faults_in_hand

    found = faults_in_hand(ctx.session_to_read)
    found = [one for one in found if args.group in {None, one.group}]
    if ctx.json:
        faults = [
            {
                "swimmer": one.swimmer,
                "group": one.group,
                "fault": one.fault,
                "side": one.side,
                "state": one.state,
                "severity": one.severity,
                "since": one.since.isoformat(),
                "days": one.days,
                "in_use": list(one.in_use),
                "reason": one.reason,
            }
            for one in found
        ]
        ctx.say.json({"schema": 1, "as_of": ctx.as_of.isoformat(), "faults": faults})
        return 0
    rows = [
        (
            one.state,
            one.swimmer,
            f"{one.fault}{f' ({one.side})' if one.side else ''}",
            str(one.severity or ""),
            one.since.isoformat(),
            str(one.days),
            "; ".join(one.in_use),
            " ".join(one.reason.split()),
        )
        for one in found
    ]
    ctx.say.table(("state", "swimmer", "fault", "severity", "since", "days", "in use", "reason"), rows)
    return 0
