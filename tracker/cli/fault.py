"""``slackwater fault``: a swimmer's faults, and the catalogue."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Sequence
from dataclasses import asdict

from tracker.cli.entries import delete_entry, list_entries, needed, say_archived
from tracker.cli.parsing import Parser, add_fields, meant, typed_fields
from tracker.cli.wiring import Context
from tracker.errors import UsageError
from tracker.model.about import in_form_order
from tracker.model.catalogue import NOT_KNOWN, Fault, drills, fault
from tracker.model.fault import FaultStep, OwnFault
from tracker.model.sources import named
from tracker.model.vocabularies import Step
from tracker.output.cautions import cautions, fault_cautions
from tracker.output.sentences.entries import side_words
from tracker.technique.cautions import codes_in

_OWN_DEST = "own_{}"
"""Where the flags of the verb add stand, beside arguments of the same names."""
_STEP = in_form_order(FaultStep, "fault", "step")
_OWN = in_form_order(OwnFault, "fault")


def _refuse_own(args: Namespace) -> None:
    """Raise `UsageError` where a flag of the verb add stands without it."""
    given = typed_fields(args, _OWN, dest=_OWN_DEST)
    flags = [field.flag for field in _OWN if field.name in given]
    if flags:
        raise UsageError(f"{flags[0]} goes with 'fault add' only (see 'slackwater fault --help')")


def _add(args: Namespace, ctx: Context) -> Fault:
    """Add the fault; return its entry."""
    from tracker.app.faults import add_fault

    form = {"fault": needed(args.step, "short name", "fault")}
    return add_fault(ctx.session, form | typed_fields(args, _OWN, dest=_OWN_DEST))


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
    add_fields(parser, _STEP)
    parser.add_argument("--yes", action="store_true", help="for delete: don't ask")
    add_fields(parser, _OWN, help_format="for add: {}", dest=_OWN_DEST)


def run_fault(args: Namespace, ctx: Context) -> int:
    """Take the step, or print the catalogue."""
    if args.name == "add" and args.fault is None:
        _print_entries([_add(args, ctx)], ctx, whole=True)
        return 0
    _refuse_own(args)
    if args.name == "list" and args.fault is None:
        return _list(args.step, ctx)
    if args.name == "steps" and args.fault is None:
        return list_entries(ctx, FaultStep, needed(args.step, "NAME", "fault"), "steps")
    if args.name == "delete" and args.fault is None:
        return delete_entry(ctx, FaultStep, args.step, "fault", yes=args.yes)
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
        found: dict[str, object] = {"schema": 1, "faults": [_entry_json(entry) for entry in entries]}
        if whole:
            found["sources"] = [asdict(one) for one in named(entries[0].sources)]
        ctx.say.json(found)
    elif whole:
        _print_entry(entries[0], ctx)
    else:
        header = ("fault", "name", "area", "view", "answers")
        ctx.say.table(header, [(e.slug, e.name, e.area, e.view, e.answers or "not known") for e in entries])


def _entry_json(entry: Fault) -> dict[str, object]:
    known = {drill.name: list(drill.provokes) for drill in drills()}
    return asdict(entry) | {"drills_provoke": {name: known.get(name, []) for name in entry.drills}}


def _print_entry(entry: Fault, ctx: Context) -> None:
    from tracker.output.sentences.sources import source_line

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
        *(line for drill in entry.drills for line in _drill_lines(drill)),
        *(f"a cue overdone that can bring it about: {cue}" for cue in entry.provoked_by),
        f"usually answers: {entry.answers} (common practice)"
        if entry.answers
        else "usually answers: not known",
        f"as a rule left alone: {entry.park_why}" if entry.park else "",
        *fault_cautions([entry.caution] if entry.caution else []),
        *cautions(codes_in([*entry.cues, *entry.drills], entry.care)),
        *(f"source: {source_line(one)}" for one in named(entry.sources)),
    ]
    for line in lines:
        if line:
            ctx.say.line(line)


def _drill_lines(drill: str) -> list[str]:
    """Return a drill with what it can bring about, and how it goes where its name doesn't say it."""
    known = next((one for one in drills() if one.name == drill), None)
    if known is None:
        return [f"drill: {drill}"]
    fed = ", ".join(known.provokes)
    brings = f" (overdone, it can bring about {fed}; common practice)" if fed else ""
    return [f"drill: {drill}{brings}", *([f"  {known.how}"] if known.how else [])]


def _change(args: Namespace, ctx: Context) -> int:
    from tracker.app.faults import change_fault
    from tracker.app.work import find_provoking
    from tracker.output.sentences.evidence import provoked_note

    form = {"step": args.step, "fault": args.fault, **typed_fields(args, _STEP)}
    changed = change_fault(ctx.session, args.name, form)
    step = changed.step
    say_archived([step.swimmer], ctx)
    if ctx.json:
        ctx.say.json(
            {"schema": 1, **step.model_dump(mode="json"), "before": changed.before, "state": changed.after}
        )
        return 0
    before = f", was {changed.before}" if changed.before and changed.before != changed.after else ""
    ctx.say.line(
        f"{step.swimmer}, {step.date}: {step.fault}{side_words(step.side)} is {changed.after}{before}"
    )
    if not step.reviewer and (step.step.sighting or step.step is Step.CORRECTED):
        ctx.say.warned("note: no reviewer is named (--by), so it stands as hearsay")
    for found in find_provoking(ctx.session, [step]):
        ctx.say.warned(provoked_note(step.fault, found.cue.text, found.cue.from_date, ctx.as_of))
    entry = changed.entry
    begun = [*entry.cues, *entry.drills] if step.step is Step.WORK else []
    ctx.say.cautioned(cautions(codes_in([step.note, *begun], entry.care if begun else ())))
    return 0
