"""``slackwater fault``: a fault's life in a swimmer, and the catalogue."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING

from tracker.cli.consents import say_archived
from tracker.cli.entries import delete_one, needed, number_of, print_entries
from tracker.cli.parsing import Parser, meant
from tracker.cli.wiring import Context
from tracker.errors import UsageError
from tracker.model.catalogue import NOT_KNOWN, Fault, fault
from tracker.output.cautions import cautions
from tracker.technique.cautions import codes_in

if TYPE_CHECKING:
    from tracker.model.fault import FaultStep


_LINES = (
    ("name", "T", "name", "plain name; needed"),
    ("area", "AREA", "area", "where it belongs (see 'slackwater review areas')"),
    ("view", "T", "view", "from where it is seen"),
    ("look", "T", "measure", "what to look at"),
    ("norm", "T", "norm", "how it should be"),
    ("cost", "T", "cost", "what it costs"),
    ("answers", "quick|medium|slow", "answers", "how fast it answers as a rule"),
    ("caution", "T", "caution", "what to take care of"),
)
_SEVERAL = (
    ("cue", "cues", "a cue that answers it; may be repeated"),
    ("drill", "drills", "a drill that answers it; may be repeated"),
    ("provoked-by", "provoked_by", "a cue overdone that can bring it about; may be repeated"),
)


def add_flags(parser: Parser) -> None:
    """Add what describes a fault, for the verb add."""
    for flag, metavar, field, text in _LINES:
        parser.add_argument(f"--{flag}", dest=f"own_{field}", metavar=metavar, help=f"for add: {text}")
    for flag, field, text in _SEVERAL:
        parser.add_argument(
            f"--{flag}", dest=f"own_{field}", metavar="T", action="append", help=f"for add: {text}"
        )


def refuse_flags(args: Namespace) -> None:
    """Raise `UsageError` where a flag of the verb add stands without it."""
    flags = [(flag, field) for flag, _, field, _ in _LINES] + [(flag, field) for flag, field, _ in _SEVERAL]
    given = [flag for flag, field in flags if getattr(args, f"own_{field}") is not None]
    if given:
        raise UsageError(f"--{given[0]} goes with 'fault add' only (see 'slackwater fault --help')")


def run_add(args: Namespace, ctx: Context) -> Fault:
    """Add the fault; return its entry."""
    from tracker.app.faults import add_fault

    form = {"fault": needed(args.step, "short name", "fault")}
    form |= {field: getattr(args, f"own_{field}") or "" for _, _, field, _ in _LINES}
    form |= {field: "\n".join(getattr(args, f"own_{field}") or ()) for _, field, _ in _SEVERAL}
    return add_fault(ctx.session, form)


_HEADER = ("date", "fault", "side", "step", "severity", "reviewer", "note")


def run_steps(args: Namespace, ctx: Context) -> int:
    """List the steps of a swimmer's faults with their numbers, or delete one."""
    from tracker.app.entries import find_entry, list_entries
    from tracker.model.fault import FaultStep

    if args.name == "steps":
        kept = list_entries(ctx.session_to_read, FaultStep, needed(args.step, "NAME", "fault"))
        return print_entries(ctx, "steps", kept, _HEADER, _cells)
    old = find_entry(ctx.session_to_read, FaultStep, number_of(args.step, "fault"))
    return delete_one(ctx, old, _words(old.record), yes=args.yes)


def _cells(step: FaultStep) -> tuple[str, ...]:
    severity = str(step.severity or "")
    return str(step.date), step.fault, step.side, step.step, severity, step.reviewer, step.note


def _words(step: FaultStep) -> str:
    side = f" ({step.side})" if step.side else ""
    return f"{step.date}: {step.fault}{side} {step.step}"


FAULT_EXAMPLE = '''slackwater fault list
slackwater fault list breath-late
slackwater fault "Ines Aalto" open breath-late --side left --severity 2 --by Maud
slackwater fault "Ines Aalto" park kick-knees --reason "race in three weeks"
slackwater fault steps "Ines Aalto"
slackwater fault delete 12 --yes
slackwater fault add own-wall-glide --name "glides into the wall" --area rhythm --cue "one more stroke"'''

_STEPS = ("open", "seen", "work", "corrected", "park", "back")


def fault_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument(
        "name", metavar="NAME", help="the swimmer's label; or list (the catalogue), steps, delete, add"
    )
    parser.add_argument("step", nargs="?", metavar="STEP", help="open, seen, work, corrected, park or back")
    parser.add_argument("fault", nargs="?", metavar="FAULT", help="its short name")
    parser.add_argument("--side", metavar="S", default="", help="left or right")
    parser.add_argument("--severity", metavar="1-3", default="", help="how bad")
    parser.add_argument("--date", metavar="D", default="", help="day (default: today)")
    parser.add_argument("--by", metavar="WHO", default="", help="the reviewer who saw it; without: hearsay")
    parser.add_argument("--reason", metavar="T", default="", help="why; needed to park")
    parser.add_argument("--yes", action="store_true", help="for delete: don't ask")
    add_flags(parser)


def run_fault(args: Namespace, ctx: Context) -> int:
    """Take the step, or print the catalogue."""
    if args.name == "add" and args.fault is None:
        _print_entries([run_add(args, ctx)], ctx, whole=True)
        return 0
    refuse_flags(args)
    if args.name == "list" and args.fault is None:
        return _list(args.step, ctx)
    if args.name in {"steps", "delete"} and args.fault is None:
        return run_steps(args, ctx)
    if args.step is None or args.fault is None:
        raise UsageError("give NAME STEP FAULT, or 'fault list' (see 'slackwater fault --help')")
    if args.step not in _STEPS:
        near = meant(args.step, _STEPS) or f"; use one of {', '.join(_STEPS)}"
        raise UsageError(f"{args.step!r} is no step in a fault's life{near}")
    return _change(args, ctx)


def _list(slug: str | None, ctx: Context) -> int:
    if ctx.has_store:
        from tracker.app.faults import list_faults

        entries = list_faults(ctx.session_to_read)
    else:
        from tracker.model.catalogue import catalogue

        entries = catalogue()
    if slug is not None:
        known = {entry.slug: entry for entry in entries}
        entries = (known[slug] if slug in known else fault(slug),)
    _print_entries(entries, ctx, whole=slug is not None)
    return 0


def _print_entries(entries: Sequence[Fault], ctx: Context, *, whole: bool) -> None:
    if ctx.json:
        ctx.say.json({"schema": 1, "faults": [asdict(entry) for entry in entries]})
    elif whole:
        _print_entry(entries[0], ctx)
    else:
        header = ("fault", "name", "area", "view", "answers")
        ctx.say.table(header, [(e.slug, e.name, e.area, e.view, e.answers or "not known") for e in entries])


def _print_entry(entry: Fault, ctx: Context) -> None:
    cost = f"{entry.cost} ({entry.cost_source})" if entry.cost_source else entry.cost
    lines = [
        f"{entry.slug}: {entry.name}",
        f"area: {entry.area or NOT_KNOWN}; seen from: {entry.view or NOT_KNOWN}",
        f"look at: {entry.look}" if entry.look else "",
        f"measures: {', '.join(entry.measures)}" if entry.measures else "",
        f"norm: {entry.norm} ({entry.norm_source})"
        if entry.norm != entry.norm_source
        else f"norm: {entry.norm}",
        f"costs: {cost}",
        *(f"cue: {cue}" for cue in entry.cues),
        *(f"drill: {drill}" for drill in entry.drills),
        *(f"a cue overdone that can bring it about: {cue}" for cue in entry.provoked_by),
        f"usually answers: {entry.answers} (common practice)"
        if entry.answers
        else "usually answers: not known",
        f"as a rule left alone: {entry.park_why}" if entry.park else "",
        entry.caution and f"caution: {entry.caution}",
        *cautions(codes_in([*entry.cues, *entry.drills], entry.care)),
    ]
    for line in lines:
        if line:
            ctx.say.line(line)


def _change(args: Namespace, ctx: Context) -> int:
    from tracker.app.faults import TypedStep, change_fault
    from tracker.app.work import find_provoking
    from tracker.output.sentences.evidence import provoked_note

    typed = TypedStep(
        args.name, args.step, args.fault, args.side, args.severity, args.date, args.by, args.reason
    )
    changed = change_fault(ctx.session, typed)
    step = changed.step
    say_archived([step.swimmer], ctx)
    if ctx.json:
        ctx.say.json(
            {"schema": 1, **step.model_dump(mode="json"), "before": changed.before, "state": changed.after}
        )
        return 0
    side = f" ({step.side})" if step.side else ""
    before = f", was {changed.before}" if changed.before and changed.before != changed.after else ""
    ctx.say.line(f"{step.swimmer}, {step.date}: {step.fault}{side} is {changed.after}{before}")
    if not step.reviewer and step.step in {"open", "seen", "corrected", "back"}:
        ctx.say.warned("note: no reviewer is named (--by), so it stands as hearsay")
    for found in find_provoking(ctx.session, [step]):
        ctx.say.warned(provoked_note(step.fault, found.cue.text, found.cue.from_date, ctx.as_of))
    if step.step == "work":
        entry = changed.entry
        ctx.say.cautioned(cautions(codes_in([*entry.cues, *entry.drills], entry.care)))
    return 0
