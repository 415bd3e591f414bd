"""``slackwater swims`` and ``slackwater swim``: what is logged, and corrections."""

from __future__ import annotations

from argparse import Namespace
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from tracker.cli.entries import changes, delete_one, number_of, print_changed, with_number
from tracker.cli.parsing import Parser, Verbs, add_fields
from tracker.cli.wiring import Context
from tracker.errors import UsageError
from tracker.model.about import corrigible
from tracker.model.swim import Swim
from tracker.model.units import format_time
from tracker.model.vocabularies import Decision
from tracker.output.cautions import cautions
from tracker.output.sentences.data import distance_words
from tracker.technique.cautions import FREE_TEXT, codes_in

if TYPE_CHECKING:
    from tracker.app.swims import FoundSwim, ListedSwim
    from tracker.model.best_times import BestTimes


SWIM_EXAMPLE = """slackwater swim edit 12 --time 6:45
slackwater swim aside 12 --reason "counted one length too few"
slackwater swim keep 12"""


def swim_arguments(parser: Parser) -> None:
    """Add the verbs."""
    verbs = Verbs(parser)
    edit = verbs.add(
        "edit", "correct a logged swim; '' empties a field", "slackwater swim edit 12 --time 6:45"
    )
    add_fields(edit, corrigible(Swim), old=True)
    edit.add_argument("--accept-implausible", action="store_true", help="it is right although it looks wrong")
    delete = verbs.add("delete", "delete a logged swim", "slackwater swim delete 12 --yes")
    delete.add_argument("--yes", action="store_true", help="don't ask")
    keep = verbs.add("keep", "let a doubtful swim count", "slackwater swim keep 12")
    keep.add_argument("--reason", metavar="T", default="", help="why")
    aside = verbs.add("aside", "let a swim not count", 'slackwater swim aside 12 --reason "short pool"')
    aside.add_argument("--reason", metavar="T", default="", help="why; needed")
    for verb in (edit, delete, keep, aside):
        verb.add_argument("number", metavar="ID", help="its number in 'slackwater swims NAME'")


def run_swim(args: Namespace, ctx: Context) -> int:
    """Do what the verb says."""
    from tracker.app.swims import decide_swim, find_swim

    old = find_swim(ctx.session_to_read, number_of(args.number, "swim"))
    if args.verb == "edit":
        return _edit(args, ctx, old)
    if args.verb == "delete":
        return delete_one(ctx, old, yes=args.yes)
    decision: Literal[Decision.KEPT, Decision.ASIDE]
    decision = Decision.KEPT if args.verb == "keep" else Decision.ASIDE
    new = decide_swim(ctx.session_to_read, old, decision, args.reason)
    return print_changed(ctx, old.id, new, "counts" if decision is Decision.KEPT else "set aside")


def _edit(args: Namespace, ctx: Context, old: FoundSwim) -> int:
    from tracker.app.log_swims import ImplausibleError
    from tracker.app.swims import TypedEdit, edit_swim
    from tracker.output.sentences.doubts import doubt_sentence

    form = changes(args, corrigible(Swim), "swim edit")
    typed = TypedEdit(old, form, args.accept_implausible)
    try:
        new, found = edit_swim(ctx.session_to_read, typed)
    except ImplausibleError as doubtful:
        said = "; ".join(doubt_sentence(doubt) for doubt in doubtful.doubts)
        if not ctx.may_ask or not ctx.agreed(f"implausible: {said}. Keep it all the same?"):
            raise
        new, found = edit_swim(ctx.session_to_read, replace(typed, accepted=True))
    print_changed(ctx, old.id, new, "now")
    for doubt in found:
        ctx.say.warned(f"note: {doubt_sentence(doubt)}")
    ctx.say.cautioned(cautions(codes_in(form.get(field, "") for field in FREE_TEXT)))
    return 0


SWIMS_EXAMPLE = """slackwater swims "Ines Aalto"
slackwater swims "Ines Aalto" --doubtful
slackwater swims "Ines Aalto" --best"""

_HEADER = ("id", "date", "test", "distance", "course", "time", "pace", "suit", "counts", "remarks")


def swims_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("name", metavar="NAME", help="the swimmer's label")
    parser.add_argument("--doubtful", action="store_true", help="only what is doubtful or set aside")
    parser.add_argument(
        "--best", action="store_true", help="best times by distance and course: of all, the season, the year"
    )


def run_swims(args: Namespace, ctx: Context) -> int:
    """Print the swims, oldest first, or the best times."""
    if args.best:
        return _best(args, ctx)
    from tracker.app.swims import list_swims

    listed = list_swims(ctx.session_to_read, args.name)
    if args.doubtful:
        listed = [one for one in listed if one.status.doubts or not one.status.counts]
    if ctx.json:
        ctx.say.json({"schema": 1, "swims": [_json(one) for one in listed]})
        return 0
    ctx.say.table(_HEADER, [_cells(one) for one in listed])
    return 0


def _best(args: Namespace, ctx: Context) -> int:
    from tracker.app.best_times import best_of
    from tracker.output.sentences.best_times import NO_BEST, best_cells, best_header

    if args.doubtful:
        raise UsageError("--best counts what counts: leave --doubtful out")
    found = best_of(ctx.session_to_read, args.name)
    if ctx.json:
        ctx.say.json(
            {
                "schema": 1,
                "swimmer": found.swimmer,
                "as_of": ctx.as_of.isoformat(),
                "season": found.season.isoformat(),
                "best": [_best_json(one) for one in found.best],
            }
        )
    elif found.best:
        ctx.say.table(best_header(found.season), [best_cells(one) for one in found.best])
    else:
        ctx.say.line(NO_BEST)
    return 0


def _best_json(best: BestTimes) -> dict[str, object]:
    return {
        **best.raced._asdict(),
        "swims": best.swims,
        "ever": _time_json(best.ever),
        "season": _time_json(best.season),
        "year": _time_json(best.year),
    }


def _time_json(swim: Swim | None) -> dict[str, object] | None:
    return None if swim is None else {"date": swim.date.isoformat(), "time_s": swim.time_s}


def _cells(one: ListedSwim) -> tuple[str, ...]:
    from tracker.output.sentences.reasons import remarks

    swim = one.row.record
    return (
        str(one.row.id),
        swim.date.isoformat(),
        swim.test,
        distance_words(swim.distance_m, swim.course),
        swim.course,
        format_time(swim.time_s),
        format_time(swim.pace, 1),
        "" if swim.suit == "none" else swim.suit,
        f"{'yes' if one.status.counts else 'no'}{f' ({swim.decision})' if swim.decision else ''}",
        "; ".join(remarks(one.status)),
    )


def _json(one: ListedSwim) -> dict[str, object]:
    from tracker.output.sentences.reasons import remarks

    return {
        **with_number(one.row),
        "pace": round(one.row.record.pace, 3),
        "counts": one.status.counts,
        "remarks": remarks(one.status),
    }
