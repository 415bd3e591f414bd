"""The page that ``slackwater --help`` prints."""

from __future__ import annotations

from tracker.cli.commands import GROUPS

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
