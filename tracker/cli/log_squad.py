"""What ``slackwater log --sheet`` and ``slackwater log --table`` do: one test of many swimmers."""

from __future__ import annotations

from argparse import Namespace

from tracker.cli.logged import print_logged
from tracker.cli.standard_input import file_or_input
from tracker.cli.wiring import Context


def print_sheet(args: Namespace, ctx: Context) -> int:
    """Print a blank sheet for a test and a group."""
    from tracker.entry.squad_sheet import blank_sheet
    from tracker.usecases.list_swimmers import list_swimmers
    from tracker.usecases.list_tests import find_definition

    store = ctx.store_to_read
    definition = find_definition(store, args.sheet)
    names = [who.swimmer for who in list_swimmers(store, group=args.group)]
    for line in blank_sheet(definition, names, ctx.as_of).splitlines():
        ctx.say.line(line)
    return 0


def log_table(args: Namespace, ctx: Context) -> int:
    """Log a filled sheet: all rows or none."""
    from tracker.entry.squad_sheet import read_sheet
    from tracker.output.doubt_words import doubt_sentence
    from tracker.usecases.log_squad import SquadDoubtsError, SquadProblemsError, log_squad

    with file_or_input(args.table) as file:
        rows = read_sheet(file, date=args.date, course=args.course, accepted=args.accept_implausible)
    given = {"as_of": ctx.as_of, "settings": ctx.settings, **ctx.written_by}
    try:
        logged = log_squad(ctx.store_to_read, rows, **given)
    except SquadProblemsError as wrong:
        for name, problem in wrong.by_swimmer:
            ctx.say.warned(f"{name}: {problem}")
        raise
    except SquadDoubtsError as doubtful:
        for name, doubt in doubtful.by_swimmer:
            ctx.say.warned(f"{name}: {doubt_sentence(doubt)}")
        raise
    print_logged(logged, ctx)
    return 0
