"""What ``slackwater cue`` and ``slackwater drill`` have in common."""

from __future__ import annotations

from argparse import Namespace
from typing import TYPE_CHECKING

from tracker.cli.archived import say_archived
from tracker.cli.entries import delete_one, number_of, print_entries
from tracker.cli.parsing import Parser, Verbs
from tracker.cli.wiring import Context
from tracker.errors import UsageError
from tracker.faults.cautions import codes_in
from tracker.output.safety import cautions
from tracker.records.units import plain_number

if TYPE_CHECKING:
    from tracker.records.work import Work


def add_verbs(parser: Parser, kind: str, example: str) -> None:
    """Add NAME and the verbs."""
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
    verbs.add("list", f"list every {kind} there was", f'slackwater {kind} "Ines Aalto" list')
    delete = verbs.add(
        "delete", f"delete a {kind} logged by mistake", f'slackwater {kind} "Ines Aalto" delete 12 --yes'
    )
    delete.add_argument("number", metavar="ID", help=f"its number in '{kind} NAME list'")
    delete.add_argument("--yes", action="store_true", help="don't ask")


def run_work(args: Namespace, ctx: Context, kind: str) -> int:
    """Start, stop, list or delete."""
    if args.verb == "list":
        return _list(args, ctx, kind)
    if args.verb == "delete":
        return _delete(args, ctx, kind)
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
    say_archived([work.swimmer], ctx)
    _print(work, ctx)
    ctx.say.cautioned(cautions(codes_in([work.text], answered.care if answered else ())))
    return 0


def _print(work: Work, ctx: Context) -> int:
    if ctx.json:
        ctx.say.json({"schema": 1, **work.model_dump(mode="json")})
        return 0
    ctx.say.line(f"{work.swimmer}, {_words(work)}")
    return 0


def _words(work: Work) -> str:
    fault = f" against {work.fault}" if work.fault else ""
    often = f", {plain_number(work.per_week)} a week" if work.per_week else ""
    ends = f" to {work.to_date}" if work.to_date else ""
    return f"{work.kind} from {work.from_date}{ends}: {work.text}{fault}{often}"


def _cells(work: Work) -> tuple[str, ...]:
    often = f"{work.per_week:g}" if work.per_week else ""
    return str(work.from_date), str(work.to_date or ""), work.fault, work.text, often


def _list(args: Namespace, ctx: Context, kind: str) -> int:
    from tracker.records.work import Work
    from tracker.usecases.list_entries import list_entries

    kept = list_entries(ctx.store_to_read, Work, args.name, kind=kind)
    return print_entries(ctx, f"{kind}s", kept, ("from", "to", "fault", "text", "a week"), _cells)


def _delete(args: Namespace, ctx: Context, kind: str) -> int:
    from tracker.records.work import Work
    from tracker.usecases.list_entries import find_entry, list_entries

    old = find_entry(ctx.store_to_read, Work, number_of(args.number, kind))
    if old not in list_entries(ctx.store_to_read, Work, args.name, kind=kind):
        raise UsageError(f"{old.id} is no {kind} of {args.name}; see 'slackwater {kind} NAME list'")
    return delete_one(ctx, old, _words(old.record), yes=args.yes)
