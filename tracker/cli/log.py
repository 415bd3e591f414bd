"""``slackwater log``: a test swim."""

from __future__ import annotations

from argparse import Namespace
from dataclasses import replace

from tracker.cli.logged import print_logged
from tracker.cli.parsing import Parser
from tracker.cli.wiring import Context
from tracker.errors import UsageError

EXAMPLE = """slackwater log "Ines Aalto" css 6:40 3:10 --strokes 18 --effort 9
slackwater log "Ines Aalto" t30 1480m --date 2026-06-28 --course LCM
slackwater log "Ines Aalto" reps 4x100 1:38 1:39 1:39.5 1:40 --rest 20
slackwater log --sheet css --group Masters > sheet.csv
slackwater log --table sheet.csv"""

_FIELDS = (
    ("date", "D", "day it was swum, YYYY-MM-DD (default: today)"),
    ("course", "C", "SCM, LCM, SCY, OW or a pool length such as 33.3m (default: the usual pool)"),
    ("suit", "none|wetsuit", "what was worn"),
    ("kit", "K", "paddles, buoy, fins ..."),
    ("start", "push|dive", "how it began"),
    ("at", "HH:MM", "time of day"),
    ("warmup", "MIN", "minutes from the end of the warm-up to the start"),
    ("rest", "S", "rest between the swims, seconds"),
    ("strokes", "N[,N...]", "strokes per length: one for all, one a swim, or one a length"),
    ("rate", "32cpm|64spm", "stroke rate: cycles or strokes a minute"),
    ("effort", "1-10", "how hard it felt"),
    ("conditions", "T", "water and weather"),
    ("note", "T", "anything else"),
)
_RECORD_NAMES = {"warmup": "warmup_min", "rest": "rest_s", "rate": "rate_cpm"}


def add_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("name", nargs="?", metavar="NAME", help="the swimmer's label")
    parser.add_argument(
        "test", nargs="?", metavar="TEST", help="css, t200, t400, t1000, t1500, t30, reps or an own one"
    )
    parser.add_argument(
        "times",
        nargs="*",
        metavar="TIME",
        help="css: 400, then 200; t30: the distance; reps: 10x100, then times",
    )
    for flag, metavar, text in _FIELDS:
        parser.add_argument(f"--{flag}", metavar=metavar, default="", help=text)
    parser.add_argument("--sheet", metavar="TEST", help="print a blank poolside sheet (CSV) instead")
    parser.add_argument("--group", metavar="G", help="whose names stand on the sheet (default: everybody's)")
    parser.add_argument("--table", metavar="FILE", help="log a filled sheet instead; '-' for standard input")
    parser.add_argument(
        "--accept-implausible", action="store_true", help="it is right although it looks wrong"
    )


def run(args: Namespace, ctx: Context) -> int:
    """Log it and print what came of it; or print a sheet, or log a filled one."""
    if args.sheet is not None or args.table is not None:
        return _squad(args, ctx)
    if not args.times:
        raise UsageError("give NAME TEST TIME..., --sheet TEST or --table FILE (see 'slackwater log --help')")
    return _one(args, ctx)


def _squad(args: Namespace, ctx: Context) -> int:
    from tracker.cli.log_squad import log_table, print_sheet

    if args.name is not None or (args.sheet is not None and args.table is not None):
        raise UsageError("--sheet and --table stand alone: no NAME, TEST or TIME beside them, and not both")
    return print_sheet(args, ctx) if args.sheet is not None else log_table(args, ctx)


def _one(args: Namespace, ctx: Context) -> int:
    from tracker.entry.swim_form import TypedTest
    from tracker.output.doubt_words import doubt_sentence, doubt_word
    from tracker.usecases.log_test import ImplausibleError, log_test

    form = {_RECORD_NAMES.get(flag, flag): getattr(args, flag) for flag, _, _ in _FIELDS}
    typed = TypedTest(args.name, args.test, tuple(args.times), form, args.accept_implausible, ctx.may_ask)
    given = {"as_of": ctx.as_of, "settings": ctx.settings, **ctx.written_by}
    try:
        logged = log_test(ctx.store, typed, **given)
    except ImplausibleError as doubtful:
        said = "; ".join(doubt_sentence(doubt) for doubt in doubtful.doubts)
        word = doubt_word(doubtful.doubts)
        if not ctx.may_ask or not ctx.agreed(f"{word}: {said}. Log it all the same?"):
            raise
        logged = log_test(ctx.store, replace(typed, accepted=True), **given)
    print_logged([logged], ctx)
    return 0
