"""``slackwater next``: what to work on, what to leave, when to test and look again."""

from __future__ import annotations

from argparse import Namespace

from tracker.app.next_step import NextStepView
from tracker.cli.parsing import Parser, add_fields
from tracker.cli.wiring import Context
from tracker.errors import UsageError
from tracker.model.about import fields_called
from tracker.model.css import SET_DISTANCES, SET_RESTS_S, set_paces
from tracker.model.swimmer import Choice
from tracker.output.as_json import next_json, reason_json
from tracker.output.cautions import cautions, step_cautions
from tracker.output.sentences.age import age_line
from tracker.output.sentences.data import CAVEAT, css_sentence, set_rows
from tracker.output.sentences.link import link_lines
from tracker.output.sentences.next_step import next_lines, no_sets, power_words, test_title
from tracker.output.sentences.numbers import count, full_day
from tracker.output.sentences.verdict import line_headline
from tracker.technique.cautions import codes_in

NEXT_EXAMPLE = """slackwater next "Ines Aalto"
slackwater next "Ines Aalto" --choose kick-knees --reason "race in three weeks"
slackwater next --stagger"""


def next_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("name", nargs="?", metavar="NAME", help="the swimmer's label")
    add_fields(parser, fields_called(Choice, "fault"))
    add_fields(parser, fields_called(Choice, "side", "reason"), help_format="{}, with --choose")
    parser.add_argument(
        "--stagger",
        action="store_true",
        help="draw by lot who starts now and who in twelve weeks, and store it (undo takes it back); "
        "a fault of severity 3 is never drawn",
    )
    parser.add_argument("--seed", metavar="N", type=int, help="repeat a draw, with --stagger")


def run_next(args: Namespace, ctx: Context) -> int:
    """Print the proposal; keep a choice or a draw first."""
    if args.stagger:
        if args.fault:
            raise UsageError("--stagger draws by lot and --choose is yours; give one of them")
        return _stagger(args, ctx)
    if not args.name:
        raise UsageError("give the swimmer's NAME, or --stagger for the whole roster")
    if args.fault:
        from tracker.app.choices import choose_fault

        why = args.reason or ""
        choose_fault(ctx.session_to_read, args.name, args.fault, side=args.side or "", reason=why)
        ctx.say.cautioned(cautions(codes_in([why])))
    elif args.reason or args.side:
        raise UsageError("--reason and --side go with --choose")
    return _propose(args.name, ctx)


def _propose(name: str, ctx: Context) -> int:
    from tracker.app.faults import fault_names
    from tracker.app.next_step import propose_next

    found = propose_next(ctx.session_to_read, name)
    if ctx.json:
        from tracker.output.as_json import line_json

        ctx.say.json(
            {
                "schema": 1,
                "as_of": ctx.as_of.isoformat(),
                **line_json(found.line, ctx.as_of),
                "link_grounds": [reason_json(ground) for ground in found.line.link.grounds]
                if found.line.link
                else [],
                "next": next_json(found.step),
                "css_pace": round(found.css.pace, 3) if found.css else None,
            }
        )
        return 0
    names = fault_names(ctx.session_to_read)
    ctx.say.line(found.line.swimmer)
    look_due = found.line.due.look_due(ctx.as_of)
    link = link_lines(found.line.link, names, ctx.as_of, look_due=look_due)
    lines = [line_headline(found.line), *filter(None, [age_line(found.line.age)]), *link]
    for line in (*lines, "", *next_lines(found.step, names, ctx.as_of)):
        ctx.say.line(f"  {line}" if line else "")
    _print_test(found, ctx)
    ctx.say.cautioned(step_cautions(found.step))
    return 0


def _print_test(found: NextStepView, ctx: Context) -> None:
    """Print the protocol step by step, and set paces from the latest critical swim speed."""
    if found.test is not None and found.step.due.may_plan_test:
        ctx.say.line(f"  {test_title(found.test.name or found.test.test, shorter=found.shorter)}")
        for number, step in enumerate(found.test.protocol.splitlines(), 1):
            ctx.say.line(f"    {number} {step}")
    if found.css is not None and found.css_date is not None:
        own = found.line.verdict.own_noise if found.line.verdict else None
        ctx.say.line(f"  Sets: {css_sentence(found.css, own=own)}, on {full_day(found.css_date)}.")
        if why := no_sets(found.step.due):
            ctx.say.line(f"  Set paces: {why}")
            return
        rows = set_rows(set_paces(found.css.pace, SET_DISTANCES, SET_RESTS_S))
        ctx.say.table(("distance", "at CSS", *(f"{rest:g} s rest" for rest in SET_RESTS_S)), rows)
        ctx.say.said(CAVEAT)


def _stagger(args: Namespace, ctx: Context) -> int:
    import numpy as np

    from tracker.app.choices import draw_starts, plan_draw

    planned = plan_draw(ctx.session_to_read, name=args.name)
    ctx.say.said(power_words(len(planned.proposed), planned.smallest))
    if ctx.may_ask and not ctx.agreed(f"Draw for {count(len(planned.proposed), 'swimmer')} and keep it?"):
        ctx.say.said("nothing drawn")
        return 0
    generator = np.random.default_rng(args.seed)
    drawn = draw_starts(ctx.session_to_read, planned.proposed, generator)
    ctx.say.said("the draw is stored; slackwater undo takes it back")
    if ctx.json:
        smallest = None if planned.smallest is None else round(planned.smallest, 4)
        ctx.say.json(
            {
                "schema": 1,
                "as_of": ctx.as_of.isoformat(),
                "smallest_effect_pct_per_month": smallest,
                "drawn": [
                    {
                        "swimmer": one.swimmer,
                        "fault": one.fault,
                        "side": one.side,
                        "arm": one.arm,
                        "starts": one.starts.isoformat(),
                    }
                    for one in drawn
                ],
            }
        )
        return 0
    rows = [
        (one.swimmer, f"{one.fault}:{one.side}" if one.side else one.fault, one.arm, one.starts.isoformat())
        for one in drawn
    ]
    ctx.say.table(("swimmer", "fault", "start", "on"), rows)
    return 0
