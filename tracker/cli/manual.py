"""The overview of all commands, and ``slackwater manual``."""

from __future__ import annotations

import argparse
from argparse import Namespace
from collections.abc import Iterable, Iterator
from importlib.resources import files

from tracker.cli.commands import COMMANDS, GROUPS, load, parser_of
from tracker.cli.parsing import Parser, is_shared
from tracker.cli.wiring import Context

_HEAD = """\
usage: slackwater [flags] COMMAND ...

The long record of test swims and technique reviews: is a swimmer on a plateau,
since when, how sure, and what was left uncorrected when it began.
"""

_TAIL = """\
Flags for every command, before or after it:
  --db PATH|URL   the database (default: slackwater.db in your data folder)
  --as-of DATE    the day it is, YYYY-MM-DD
  --json          print JSON (reading commands)
  --quiet         say only what was asked for
  --no-color      no colour
  --no-input      never ask; a needed decision is an error that names its flag
  --debug         show the full trace of an error
  -h, --help      help; 'slackwater COMMAND --help' has an example
  --version       the version

Environment:
  SLACKWATER_DB      the database
  SLACKWATER_TODAY   fixes the day it is
  SLACKWATER_WHO     who writes, for the history (default: your user name)
  SLACKWATER_...     any setting of 'slackwater config show', such as SLACKWATER_BAND

Exit codes: 0 done, 1 failed, 2 wrong use, 3 some rows or pages failed and the
rest is done, 4 the input file is bad, 5 busy, 130 interrupted.

example:
  slackwater demo
  slackwater swimmer add "Ines Aalto" --group Masters
  slackwater log "Ines Aalto" css 6:40 3:10
  slackwater scan"""


def overview() -> str:
    """Return the help page: every command in one line, the shared flags, exit codes, an example."""
    parts = [_HEAD]
    for title, commands in GROUPS.items():
        lines = "\n".join(f"  {name:<11} {command.summary}" for name, command in commands.items())
        parts.append(f"{title}:\n{lines}\n")
    return "\n".join((*parts, _TAIL))


MANUAL_EXAMPLE = """slackwater manual > slackwater.1
man -l slackwater.1
slackwater manual --licence
slackwater manual --fonts"""


def manual_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("--licence", action="store_true", help="print the licence of slackwater instead")
    parser.add_argument(
        "--fonts", action="store_true", help="print the fonts of the pages and their licence instead"
    )


def run_manual(args: Namespace, ctx: Context) -> int:
    """Print the page as roff source, or a licence."""
    if args.licence:
        ctx.say.lines(files("tracker").joinpath("LICENSE").read_text(encoding="utf-8").rstrip("\n"))
        return 0
    if args.fonts:
        ctx.say.lines(files("tracker.output").joinpath("fonts.txt").read_text(encoding="utf-8").rstrip("\n"))
        return 0
    for line in manual_page():
        ctx.say.line(line)
    return 0


def manual_page() -> Iterator[str]:
    """Yield the lines of the page in the man macros of roff."""
    from tracker.model.sources import sources
    from tracker.output.sentences.sources import source_line

    yield '.TH SLACKWATER 1 "" "slackwater" "User commands"'
    yield ".SH NAME"
    yield "slackwater \\- the long record of test swims and technique reviews"
    yield ".SH SYNOPSIS"
    yield ".B slackwater"
    yield "[flags] COMMAND ..."
    yield ".SH COMMANDS"
    for name in COMMANDS:
        yield from _command(parser_of(name, load(name)))
    yield ".SH FLAGS, ENVIRONMENT, EXIT CODES"
    yield from _verbatim(overview().partition("Flags for every command")[2].splitlines()[1:])
    yield ".SH SOURCES"
    yield _plain("Numbers from outside; 'why NAME --sources' and 'fault list FAULT' say where each is used.")
    for source in sources().values():
        yield ".PP"
        yield _plain(source_line(source))
    yield ".SH LICENCE"
    yield _plain("MIT; 'slackwater manual --licence' prints it. Fonts: 'slackwater manual --fonts'.")


def _command(parser: Parser) -> Iterator[str]:
    yield f".SS {_plain(parser.prog)}"
    yield _plain(parser.description or "")
    for one in (parser, *parser.verbs().values()):
        yield ".PP"
        yield from _verbatim(one.format_usage().removeprefix("usage: ").splitlines())
        for action in (*one.arguments(), *one.flags()):
            if not is_shared(action) and not isinstance(action, argparse._SubParsersAction):  # noqa: SLF001 - argparse has no public name for it
                yield ".TP"
                yield f".B {_plain(_name(action))}"
                yield _plain(one.help_of(action))
    yield ".PP"
    yield "Example:"
    yield from _verbatim((parser.epilog or "").splitlines()[1:])


def _name(action: argparse.Action) -> str:
    metavar = action.metavar if isinstance(action.metavar, str) else ""
    value = f" {metavar or action.dest.upper()}" if action.nargs != 0 else ""
    return f"{', '.join(action.option_strings)}{value}" if action.option_strings else metavar or action.dest


def _verbatim(lines: Iterable[str]) -> Iterator[str]:
    yield ".nf"
    for line in lines:
        yield _plain(line)
    yield ".fi"


def _plain(text: str) -> str:
    """Return text that roff prints as it is."""
    escaped = text.replace("\\", "\\e").replace("-", "\\-").replace("'", "\\(aq")
    return f"\\&{escaped}" if escaped.startswith((".", "\\(aq")) else escaped
