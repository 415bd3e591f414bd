"""``slackwater scan``: the roster, most in need of a look first."""

from __future__ import annotations

from argparse import Namespace
from functools import partial
from itertools import chain

from tracker.cli.crew_flags import add_crew, crew_of
from tracker.cli.parsing import Parser, meant
from tracker.cli.progress import progress_of
from tracker.cli.roster_printout import print_roster, print_roster_json
from tracker.cli.wiring import Context
from tracker.errors import UsageError

EXAMPLE = """slackwater scan
slackwater scan --group Masters --only plateau,slipping --json"""

_WORDS = ("gaining", "plateau", "slipping", "slowed", "too-early", "no-tests")


def add_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("--group", metavar="G", help="only this group")
    add_crew(parser)
    parser.add_argument("--anew", action="store_true", help="judge everybody, also those nothing changed for")
    parser.add_argument("--only", metavar="V[,V...]", help=f"only these verdicts: {', '.join(_WORDS)}")


def run(args: Namespace, ctx: Context) -> int:
    """Print the roster."""
    from tracker.usecases.tell_roster import tell_roster, tell_what_changed

    wanted = None if args.only is None else _wanted(args.only)
    told = tell_roster if args.anew else partial(tell_what_changed, cache=ctx.places.cache)
    lines = told(
        ctx.store_to_read,
        as_of=ctx.as_of,
        settings=ctx.settings,
        group=args.group,
        crew=crew_of(args),
        progress=progress_of("swimmers", ctx),
    )
    first = next(lines, None)
    nobody = None
    if first is None and args.group is not None:
        _check_group(args.group, ctx)
        nobody = f"Everybody in {args.group} is archived; 'slackwater swimmer list --archived' shows them."
    lines = chain([] if first is None else [first], lines)
    if ctx.json:
        print_roster_json(lines, ctx, wanted)
    else:
        print_roster(lines, ctx, wanted, nobody)
    return 0


def _wanted(text: str) -> set[str]:
    wanted = {part.strip().lower().replace(" ", "-") for part in text.split(",") if part.strip()}
    for part in sorted(wanted - set(_WORDS)):
        near = meant(part, _WORDS) or f"; use {', '.join(_WORDS)}"
        raise UsageError(f"--only: no verdict is called {part!r}{near}")
    return {part.replace("-", " ") for part in wanted}


def _check_group(group: str, ctx: Context) -> None:
    """Say so if nobody has ever been in a group of that name."""
    from tracker.usecases.list_swimmers import list_swimmers

    groups = {who.group for who in list_swimmers(ctx.store_to_read, archived=True) if who.group}
    if group not in groups:
        near = meant(group, groups) or "; 'slackwater swimmer list' shows the groups"
        raise UsageError(f"no group is called {group!r}{near}")
