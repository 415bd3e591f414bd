"""``slackwater fault add``: a fault of the coach's own."""

from __future__ import annotations

from argparse import Namespace

from tracker.cli.entries import needed
from tracker.cli.parsing import Parser
from tracker.cli.wiring import Context
from tracker.errors import UsageError
from tracker.records.catalogue import Fault

_LINES = (
    ("name", "T", "name", "plain name; needed"),
    ("area", "AREA", "area", "where it belongs (see 'slackwater review areas')"),
    ("view", "T", "view", "from where it is seen"),
    ("look", "T", "measure", "what to look at"),
    ("norm", "T", "norm", "how it should be"),
    ("cost", "T", "cost", "what it costs"),
    ("answers", "quick|medium|slow", "answers", "how fast it answers as a rule"),
    ("caution", "T", "caution", "what to take care of"),
)
_SEVERAL = (
    ("cue", "cues", "a cue that answers it; may be repeated"),
    ("drill", "drills", "a drill that answers it; may be repeated"),
    ("provoked-by", "provoked_by", "a cue overdone that can bring it about; may be repeated"),
)


def add_flags(parser: Parser) -> None:
    """Add what describes a fault, for the verb add."""
    for flag, metavar, field, text in _LINES:
        parser.add_argument(f"--{flag}", dest=f"own_{field}", metavar=metavar, help=f"for add: {text}")
    for flag, field, text in _SEVERAL:
        parser.add_argument(
            f"--{flag}", dest=f"own_{field}", metavar="T", action="append", help=f"for add: {text}"
        )


def refuse_flags(args: Namespace) -> None:
    """Raise `UsageError` where a flag of the verb add stands without it."""
    flags = [(flag, field) for flag, _, field, _ in _LINES] + [(flag, field) for flag, field, _ in _SEVERAL]
    given = [flag for flag, field in flags if getattr(args, f"own_{field}") is not None]
    if given:
        raise UsageError(f"--{given[0]} goes with 'fault add' only (see 'slackwater fault --help')")


def run_add(args: Namespace, ctx: Context) -> Fault:
    """Add the fault; return its entry."""
    from tracker.usecases.add_fault import add_fault

    form = {"fault": needed(args.step, "short name", "fault")}
    form |= {field: getattr(args, f"own_{field}") or "" for _, _, field, _ in _LINES}
    form |= {field: "\n".join(getattr(args, f"own_{field}") or ()) for _, field, _ in _SEVERAL}
    return add_fault(ctx.store, form, **ctx.written_by)
