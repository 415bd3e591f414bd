"""The command line, from arguments to exit code: imports one command, prints one line an error."""

from __future__ import annotations

import sys

from tracker.cli.commands import COMMANDS, load, parser_of
from tracker.cli.parsing import meant, split_verb
from tracker.cli.printing import Printer
from tracker.cli.remedies import COMMAND_LINE
from tracker.errors import SlackwaterError, UsageError

INTERRUPTED = 130
READER_GONE = 141


def main(argv: list[str] | None = None) -> int:
    """Run one command.

    Returns
    -------
    int
        0 done; 1 failed; 2 wrong use; 3 some rows or pages failed, the rest done; 4 the input
        file is bad; 5 busy; 130 interrupted; 141 the reader of our output is gone.
    """
    words = sys.argv[1:] if argv is None else argv
    debug = "--debug" in words
    try:
        code = _run(words)
        Printer().flush()
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        return READER_GONE
    except SystemExit as done:
        return done.code if isinstance(done.code, int) else 0
    except Exception as failure:  # noqa: BLE001 - the last door: whatever happens is said in one line
        return _failed(failure, debug=debug)
    return code


def _failed(failure: Exception, *, debug: bool) -> int:
    if debug:
        from traceback import print_exception

        print_exception(failure)
    if isinstance(failure, SlackwaterError):
        code, text = failure.exit_code, failure.worded(COMMAND_LINE)
    elif isinstance(failure, UnicodeEncodeError):
        code, text = 2, "a word of the command is not text in UTF-8; type it again"
    elif isinstance(failure, OSError):
        place = f"{failure.filename}: " if failure.filename else ""
        code, text = 1, f"{place}{failure.strerror or type(failure).__name__}"
    else:
        # No message of ours: it might hold a person's data.
        code, text = (
            1,
            f"an unexpected {type(failure).__name__}; run it again with --debug and report the trace",
        )
    try:
        Printer().failed(text)
    except BrokenPipeError:
        return READER_GONE
    return code


def _run(words: list[str]) -> int:
    before, verb, after = split_verb(words)
    if verb in {"-h", "--help"} or (verb == "help" and not after):
        return _help()
    if verb == "--version":
        from importlib.metadata import version

        Printer().line(f"slackwater {version('slackwater')}")
        return 0
    if verb is None:
        if not (sys.stdin.isatty() and sys.stdout.isatty()):
            return _help()
        verb = "open"
    if verb == "help":
        verb, after = after[0], ["--help"]
    if verb not in COMMANDS:
        raise UsageError(f"no command is called {verb!r}{meant(verb, COMMANDS)} (see 'slackwater --help')")
    module = load(verb)
    args = parser_of(verb, module).parse([*before, *after])
    from tracker.cli.prompts import run_asking
    from tracker.cli.wiring import wire

    ctx = wire(args)
    for warning in ctx.warnings:
        ctx.say.warned(f"warning: {warning}")
    try:
        code = int(run_asking(module.run, args, ctx))
        ctx.say_read_only()
        return code
    finally:
        ctx.close()


def _help() -> int:
    from tracker.cli.manual import overview

    Printer().lines(overview())
    return 0
