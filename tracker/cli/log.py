"""``slackwater log`` and ``slackwater test``: log test swims; test definitions."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tracker.cli.entries import say_archived
from tracker.cli.parsing import Parser, Verbs, add_fields, typed_fields
from tracker.cli.remedies import COMMAND_LINE
from tracker.cli.standard_input import file_or_input
from tracker.cli.wiring import Context
from tracker.errors import UsageError
from tracker.model.about import in_form_order
from tracker.model.css import TRIAL_ERROR
from tracker.model.swim_test import SwimTest
from tracker.model.units import format_time
from tracker.output.cautions import cautions, cautions_of_many
from tracker.output.sentences.data import course_note, css_details, css_json, css_sentence
from tracker.output.sentences.entries import entry_words
from tracker.technique.cautions import codes_in

if TYPE_CHECKING:
    from tracker.app.log_swims import LoggedSwims
    from tracker.engine.verdict.news import NewsOfTest


def print_logged(logged: Sequence[LoggedSwims], ctx: Context) -> None:
    """Print the swims, and as messages what is unusual about them and the cautions they call for."""
    from tracker.output.sentences.best_times import news_line
    from tracker.output.sentences.doubts import doubt_sentence

    news = _news(logged, ctx)
    if ctx.json:
        told = [_json(one, did) for one, did in zip(logged, news, strict=True)]
        ctx.say.json({"schema": 1, **told[0]} if len(told) == 1 else {"schema": 1, "logged": told})
    for one, did in zip(logged, news, strict=True):
        if not ctx.json:
            _say(one, ctx)
            if said := news_line(did):
                ctx.say.line(said)
        if note := course_note(one.unnamed):
            ctx.say.warned(f"course: {one.swimmer.swimmer}: {note}")
        for remark in one.remarks:
            accepted = "accepted" if remark.implausible else "note"
            name = "" if len(logged) == 1 else f"{one.swimmer.swimmer}: "
            ctx.say.warned(f"{accepted}: {name}{doubt_sentence(remark)}")
    say_archived([one.swimmer.swimmer for one in logged], ctx)
    ctx.say.cautioned(cautions_of_many([(one.swimmer.swimmer, one.care) for one in logged]))


def _news(logged: Sequence[LoggedSwims], ctx: Context) -> list[NewsOfTest]:
    """Return what each test did: of one test to its line too, of a squad's to the best times alone."""
    from tracker.app.best_times import news_of_test, news_of_times

    session = ctx.session_to_read
    if len(logged) == 1:
        return [news_of_test(session, logged[0])]
    return [news_of_times(session, one) for one in logged]


def _say(logged: LoggedSwims, ctx: Context) -> None:
    for number, swim in zip(logged.numbers, logged.swims, strict=True):
        ctx.say.line(f"logged {number}: {swim.swimmer}, {entry_words(swim)}")
    if logged.css:
        for line in (css_sentence(logged.css, logged.swims[0].course), *css_details(logged.css)):
            ctx.say.line(line)


def _json(logged: LoggedSwims, did: NewsOfTest) -> dict[str, object]:
    from tracker.output.news_as_json import news_json
    from tracker.output.sentences.doubts import doubt_sentence

    swims = [
        {"id": number, **swim.model_dump(mode="json")}
        for number, swim in zip(logged.numbers, logged.swims, strict=True)
    ]
    return {
        "swims": swims,
        "css": css_json(logged.css, TRIAL_ERROR) if logged.css else None,
        "remarks": [
            *(doubt_sentence(doubt) for doubt in logged.remarks),
            *([note] if (note := course_note(logged.unnamed)) else []),
        ],
        "did": news_json(did),
    }


def print_sheet(args: Namespace, ctx: Context) -> int:
    """Print a blank sheet for a test and a group."""
    from tracker.app.swim_tests import find_definition
    from tracker.app.swimmers import list_swimmers
    from tracker.entry.squad_sheet import blank_sheet

    session = ctx.session_to_read
    definition = find_definition(session, args.sheet)
    names = [who.swimmer for who in list_swimmers(session, group=args.group)]
    for line in blank_sheet(definition, names, ctx.as_of).splitlines():
        ctx.say.line(line)
    return 0


def log_table(args: Namespace, ctx: Context) -> int:
    """Log a filled sheet: all rows or none."""
    from tracker.app.log_swims import SquadDoubtsError, SquadProblemsError, log_squad
    from tracker.entry.squad_sheet import read_sheet
    from tracker.output.sentences.doubts import doubt_sentence

    with file_or_input(args.table) as file:
        rows = read_sheet(
            file, date=args.date or "", course=args.course or "", accepted=args.accept_implausible
        )
    try:
        logged = log_squad(ctx.session_to_read, rows)
    except SquadProblemsError as wrong:
        for name, problem in wrong.by_swimmer:
            ctx.say.warned(f"{name}: {problem.worded(COMMAND_LINE)}")
        raise
    except SquadDoubtsError as doubtful:
        for name, doubt in doubtful.by_swimmer:
            ctx.say.warned(f"{name}: {doubt_sentence(doubt)}")
        raise
    print_logged(logged, ctx)
    return 0


LOG_EXAMPLE = """slackwater log "Ines Aalto" css 6:40 3:10 --strokes 18 --effort 9
slackwater log "Ines Aalto" t30 1480m --date 2026-06-28 --course LCM
slackwater log "Ines Aalto" reps 4x100 1:38 1:39 1:39.5 1:40 --rest 20
slackwater log --sheet css --group Masters > sheet.csv
slackwater log --table sheet.csv"""


def log_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    from tracker.entry.swim_form import CIRCUMSTANCES

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
    add_fields(parser, CIRCUMSTANCES)
    parser.add_argument("--sheet", metavar="TEST", help="print a blank poolside sheet (CSV) instead")
    parser.add_argument("--group", metavar="G", help="whose names stand on the sheet (default: everybody's)")
    parser.add_argument("--table", metavar="FILE", help="log a filled sheet instead; '-' for standard input")
    parser.add_argument(
        "--accept-implausible", action="store_true", help="it is right although it looks wrong"
    )


def run_log(args: Namespace, ctx: Context) -> int:
    """Log it and print what came of it; or print a sheet, or log a filled one."""
    if args.sheet is not None or args.table is not None:
        return _squad(args, ctx)
    if not args.times:
        raise UsageError("give NAME TEST TIME..., --sheet TEST or --table FILE (see 'slackwater log --help')")
    return _one(args, ctx)


def _squad(args: Namespace, ctx: Context) -> int:

    if args.name is not None or (args.sheet is not None and args.table is not None):
        raise UsageError("--sheet and --table stand alone: no NAME, TEST or TIME beside them, and not both")
    return print_sheet(args, ctx) if args.sheet is not None else log_table(args, ctx)


def _one(args: Namespace, ctx: Context) -> int:
    from tracker.app.log_swims import ImplausibleError, log_test
    from tracker.entry.swim_form import CIRCUMSTANCES, TypedTest
    from tracker.output.sentences.doubts import doubt_sentence, doubt_word

    form = typed_fields(args, CIRCUMSTANCES)
    typed = TypedTest(args.name, args.test, tuple(args.times), form, args.accept_implausible, ctx.may_ask)
    try:
        logged = log_test(ctx.session, typed)
    except ImplausibleError as doubtful:
        said = "; ".join(doubt_sentence(doubt) for doubt in doubtful.doubts)
        word = doubt_word(doubtful.doubts)
        if not ctx.may_ask or not ctx.agreed(f"{word}: {said}. Log it all the same?"):
            raise
        logged = log_test(ctx.session, replace(typed, accepted=True))
    print_logged([logged], ctx)
    return 0


TEST_EXAMPLE = """slackwater test list
slackwater test add lake-750 --distances 750 --name "once round the buoys"
slackwater test add t20 --kind duration --duration 20:00"""


_DEFINITION = in_form_order(SwimTest, "test")


def test_arguments(parser: Parser) -> None:
    """Add the verbs."""
    verbs = Verbs(parser)
    verbs.add("list", "list the test definitions", "slackwater test list")
    add = verbs.add("add", "add a test definition", "slackwater test add lake-750 --distances 750")
    add.add_argument("test", metavar="TEST", help="short name: small letters, digits, hyphens")
    add_fields(add, _DEFINITION)


def run_test(args: Namespace, ctx: Context) -> int:
    """Do what the verb says."""
    return _add(args, ctx) if args.verb == "add" else _list(ctx)


def _add(args: Namespace, ctx: Context) -> int:
    from tracker.app.swim_tests import add_test

    form = {"test": args.test, **typed_fields(args, _DEFINITION)}
    definition = add_test(ctx.session, form)
    if ctx.json:
        ctx.say.json({"schema": 1, **definition.model_dump(mode="json")})
    else:
        ctx.say.line("; ".join(cell for cell in _cells(definition) if cell))
    ctx.say.cautioned(cautions(codes_in([definition.test, definition.name, definition.protocol])))
    return 0


def _list(ctx: Context) -> int:
    from tracker.app.swim_tests import list_tests

    definitions = list_tests(ctx.session_to_read if ctx.has_store else None)
    if ctx.json:
        ctx.say.json({"schema": 1, "tests": [one.model_dump(mode="json") for one in definitions]})
        return 0
    ctx.say.table(("test", "name", "swum", "stroke", "start", "rest"), [_cells(one) for one in definitions])
    return 0


def _cells(one: SwimTest) -> tuple[str, ...]:
    swum = f"{format_time(one.duration_s)}" if one.duration_s else one.distances.replace(" ", " + ")
    return (
        one.test,
        one.name,
        swum or "n x distance",
        one.stroke,
        one.start,
        f"{one.rest_s:g} s" if one.rest_s else "",
    )
