"""What ``slackwater cue`` and ``slackwater drill`` have in common."""

from __future__ import annotations

from argparse import Namespace
from typing import TYPE_CHECKING

from tracker.cli.parsing import Parser, Verbs
from tracker.cli.wiring import Context
from tracker.output.safety import cautions

if TYPE_CHECKING:
    from tracker.records.work import Work


def add_verbs(parser: Parser, kind: str, example: str) -> None:
    """Add NAME and the verbs start and stop."""
    parser.add_argument("name", metavar="NAME", help="the swimmer's label")
    verbs = Verbs(parser, "NAME")
    start = verbs.add("start", f"start a {kind}", f'slackwater {kind} "Ines Aalto" start {example}')
    start.add_argument("text", metavar="TEXT", help=f"the {kind} in words")
    start.add_argument("--fault", metavar="FAULT", default="", help="short name of the fault it answers")
    start.add_argument("--date", metavar="D", default="", help="first day (default: today)")
    if kind == "drill":
        start.add_argument("--per-week", metavar="N", default="", help="times a week")
    stop = verbs.add("stop", f"stop a {kind}", f'slackwater {kind} "Ines Aalto" stop {example}')
    stop.add_argument("text", metavar="TEXT", help="its words, or how they begin")
    stop.add_argument("--date", metavar="D", default="", help="last day (default: today)")


def run_work(args: Namespace, ctx: Context, kind: str) -> int:
    """Start or stop it and print it."""
    from tracker.usecases.change_work import start_work, stop_work

    if args.verb == "stop":
        form = {"kind": kind, "text": args.text, "to": args.date}
        return _print(stop_work(ctx.store_to_read, args.name, form, as_of=ctx.as_of, **ctx.written_by), ctx)
    form = {
        "kind": kind,
        "text": args.text,
        "fault": args.fault,
        "from": args.date,
        "per_week": getattr(args, "per_week", ""),
    }
    work, answered = start_work(ctx.store_to_read, args.name, form, as_of=ctx.as_of, **ctx.written_by)
    _print(work, ctx)
    if answered is not None:
        for line in cautions(answered.care):
            ctx.say.warned(line)
    return 0


def _print(work: Work, ctx: Context) -> int:
    if ctx.json:
        ctx.say.json({"schema": 1, **work.model_dump(mode="json")})
        return 0
    fault = f" against {work.fault}" if work.fault else ""
    often = f", {work.per_week:g} times a week" if work.per_week else ""
    ends = f" to {work.to_date}" if work.to_date else ""
    ctx.say.line(f"{work.swimmer}, {work.kind} from {work.from_date}{ends}: {work.text}{fault}{often}")
    return 0
