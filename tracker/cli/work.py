"""``slackwater cue`` and ``slackwater drill``."""

from __future__ import annotations

from argparse import Namespace
from typing import assert_never

from tracker.cli.entries import delete_one, list_entries, number_of, print_entry, say_archived
from tracker.cli.parsing import Parser, Verbs, add_fields, typed_fields
from tracker.cli.wiring import Context
from tracker.errors import UsageError
from tracker.model.about import RecordField, fields_called, in_form_order
from tracker.model.vocabularies import WorkKind
from tracker.model.work import Work
from tracker.output.cautions import cautions
from tracker.technique.cautions import codes_in


def _starts(kind: WorkKind) -> tuple[RecordField, ...]:
    """Return the fields with a flag for what begins; a cue has no times a week."""
    shared = ("kind", "text", "to_date")
    match kind:
        case WorkKind.CUE:
            return in_form_order(Work, *shared, "per_week")
        case WorkKind.DRILL:
            return in_form_order(Work, *shared)
        case other:
            assert_never(other)


_STOPS = fields_called(Work, "to")


def add_verbs(parser: Parser, kind: WorkKind, example: str) -> None:
    """Add NAME and the verbs."""
    parser.add_argument("name", metavar="NAME", help="the swimmer's label")
    verbs = Verbs(parser, "NAME")
    start = verbs.add("start", f"start a {kind}", f'slackwater {kind} "Ines Aalto" start {example}')
    start.add_argument("text", metavar="TEXT", help=f"the {kind} in words")
    add_fields(start, _starts(kind))
    stop = verbs.add("stop", f"stop a {kind}", f'slackwater {kind} "Ines Aalto" stop {example}')
    stop.add_argument("text", metavar="TEXT", help="its words, or how they begin")
    add_fields(stop, _STOPS)
    verbs.add("list", f"list every {kind} there was", f'slackwater {kind} "Ines Aalto" list')
    delete = verbs.add(
        "delete", f"delete a {kind} logged by mistake", f'slackwater {kind} "Ines Aalto" delete 12 --yes'
    )
    delete.add_argument("number", metavar="ID", help=f"its number in '{kind} NAME list'")
    delete.add_argument("--yes", action="store_true", help="don't ask")


def run_work(args: Namespace, ctx: Context, kind: WorkKind) -> int:
    """Start, stop, list or delete."""
    from tracker.app.work import start_work, stop_work

    if args.verb == "list":
        return list_entries(ctx, Work, args.name, f"{kind}s", "kind", kind=kind)
    if args.verb == "delete":
        return _delete(args, ctx, kind)
    form = {"kind": kind, "text": args.text}
    if args.verb == "stop":
        print_entry(ctx, stop_work(ctx.session_to_read, args.name, form | typed_fields(args, _STOPS)))
        return 0
    form |= typed_fields(args, _starts(kind))
    work, answered = start_work(ctx.session_to_read, args.name, form)
    say_archived([work.swimmer], ctx)
    print_entry(ctx, work)
    ctx.say.cautioned(cautions(codes_in([work.text], answered.care if answered else ())))
    return 0


def _delete(args: Namespace, ctx: Context, kind: WorkKind) -> int:
    from tracker.app.entries import find_entry, list_entries

    old = find_entry(ctx.session_to_read, Work, number_of(args.number, kind))
    if old not in list_entries(ctx.session_to_read, Work, args.name, kind=kind):
        raise UsageError(f"{old.id} is no {kind} of {args.name}; see 'slackwater {kind} NAME list'")
    return delete_one(ctx, old, yes=args.yes)


CUE_EXAMPLE = '''slackwater cue "Ines Aalto" start "face back before the hand" --fault breath-late
slackwater cue "Ines Aalto" stop "face back"'''


def cue_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    add_verbs(parser, WorkKind.CUE, '"face back before the hand"')


def run_cue(args: Namespace, ctx: Context) -> int:
    """Start or stop a cue."""
    return run_work(args, ctx, WorkKind.CUE)


DRILL_EXAMPLE = '''\
slackwater drill "Ines Aalto" start "side kick to the left" --fault breath-late --per-week 3
slackwater drill "Ines Aalto" stop "side kick"'''


def drill_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    add_verbs(parser, WorkKind.DRILL, '"side kick to the left"')


def run_drill(args: Namespace, ctx: Context) -> int:
    """Start or stop a drill."""
    return run_work(args, ctx, WorkKind.DRILL)
