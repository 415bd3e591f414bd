"""``slackwater cue`` and ``slackwater drill``."""

from __future__ import annotations

from argparse import Namespace
from typing import TYPE_CHECKING

from tracker.cli.consents import say_archived
from tracker.cli.entries import delete_one, number_of, print_entries
from tracker.cli.parsing import Parser, Verbs
from tracker.cli.wiring import Context
from tracker.errors import UsageError
from tracker.model.units import plain_number
from tracker.output.cautions import cautions
from tracker.technique.cautions import codes_in

if TYPE_CHECKING:
    from tracker.model.work import Work


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
    from tracker.app.work import start_work, stop_work

    if args.verb == "stop":
        form = {"kind": kind, "text": args.text, "to": args.date}
        return _print(stop_work(ctx.session_to_read, args.name, form), ctx)
    form = {
        "kind": kind,
        "text": args.text,
        "fault": args.fault,
        "from": args.date,
        "per_week": getattr(args, "per_week", ""),
    }
    work, answered = start_work(ctx.session_to_read, args.name, form)
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
    from tracker.app.entries import list_entries
    from tracker.model.work import Work

    kept = list_entries(ctx.session_to_read, Work, args.name, kind=kind)
    return print_entries(ctx, f"{kind}s", kept, ("from", "to", "fault", "text", "a week"), _cells)


def _delete(args: Namespace, ctx: Context, kind: str) -> int:
    from tracker.app.entries import find_entry, list_entries
    from tracker.model.work import Work

    old = find_entry(ctx.session_to_read, Work, number_of(args.number, kind))
    if old not in list_entries(ctx.session_to_read, Work, args.name, kind=kind):
        raise UsageError(f"{old.id} is no {kind} of {args.name}; see 'slackwater {kind} NAME list'")
    return delete_one(ctx, old, _words(old.record), yes=args.yes)


CUE_EXAMPLE = '''slackwater cue "Ines Aalto" start "face back before the hand" --fault breath-late
slackwater cue "Ines Aalto" stop "face back"'''


def cue_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    add_verbs(parser, "cue", '"face back before the hand"')


def run_cue(args: Namespace, ctx: Context) -> int:
    """Start or stop a cue."""
    return run_work(args, ctx, "cue")


DRILL_EXAMPLE = '''\
slackwater drill "Ines Aalto" start "side kick to the left" --fault breath-late --per-week 3
slackwater drill "Ines Aalto" stop "side kick"'''


def drill_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    add_verbs(parser, "drill", '"side kick to the left"')


def run_drill(args: Namespace, ctx: Context) -> int:
    """Start or stop a drill."""
    return run_work(args, ctx, "drill")
