"""``slackwater test``: the test definitions."""

from __future__ import annotations

from argparse import Namespace
from typing import TYPE_CHECKING

from tracker.cli.parsing import Parser, Verbs
from tracker.cli.wiring import Context
from tracker.faults.cautions import codes_in
from tracker.output.safety import cautions
from tracker.records.units import format_time

if TYPE_CHECKING:
    from tracker.records.swim_test import SwimTest

EXAMPLE = """slackwater test list
slackwater test add lake-750 --distances 750 --name "once round the buoys"
slackwater test add t20 --kind duration --duration 20:00"""


def add_arguments(parser: Parser) -> None:
    """Add the verbs."""
    verbs = Verbs(parser)
    verbs.add("list", "list the test definitions", "slackwater test list")
    add = verbs.add("add", "add a test definition", "slackwater test add lake-750 --distances 750")
    add.add_argument("test", metavar="TEST", help="short name: small letters, digits, hyphens")
    add.add_argument("--name", metavar="T", default="", help="name in words")
    add.add_argument("--kind", metavar="KIND", default="distances", help="distances, duration or repeats")
    add.add_argument("--distances", metavar="M[,M...]", default="", help="metres, in the order swum")
    add.add_argument("--duration", metavar="TIME", default="", help="how long, for the kind duration")
    add.add_argument("--stroke", metavar="S", default="free", help="free, back, breast, fly or medley")
    add.add_argument("--start", metavar="push|dive", default="push", help="how it begins")
    add.add_argument("--rest", metavar="S", default="", help="usual rest between the swims, seconds")
    add.add_argument("--protocol", metavar="T", default="", help="the steps in words")


def run(args: Namespace, ctx: Context) -> int:
    """Do what the verb says."""
    return _add(args, ctx) if args.verb == "add" else _list(ctx)


def _add(args: Namespace, ctx: Context) -> int:
    from tracker.usecases.add_test import add_test

    form = {
        "test": args.test,
        "name": args.name,
        "kind": args.kind,
        "distances": args.distances.replace(",", " "),
        "stroke": args.stroke,
        "start": args.start,
        "rest_s": args.rest,
        "protocol": args.protocol,
        "duration": args.duration,
    }
    definition = add_test(ctx.store, form, **ctx.written_by)
    if ctx.json:
        ctx.say.json({"schema": 1, **definition.model_dump(mode="json")})
    else:
        ctx.say.line("; ".join(cell for cell in _cells(definition) if cell))
    ctx.say.cautioned(cautions(codes_in([definition.test, definition.name, definition.protocol])))
    return 0


def _list(ctx: Context) -> int:
    from tracker.usecases.list_tests import list_tests

    definitions = list_tests(ctx.store_to_read if ctx.has_store else None)
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
