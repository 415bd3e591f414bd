"""``slackwater coach``: who sees which groups of a club on a server."""

from __future__ import annotations

import getpass
from argparse import Namespace
from pathlib import Path

from tracker.cli.parsing import Parser, Verbs
from tracker.cli.wiring import Context
from tracker.errors import BadFileError, UsageError
from tracker.plugins.server import coaches

COACH_EXAMPLE = """slackwater coach add anna --group Masters --group Juniors
slackwater coach share ben Masters
slackwater coach list"""


def coach_arguments(parser: Parser) -> None:
    """Add the verbs."""
    verbs = Verbs(parser)
    add = verbs.add("add", "let a login of the server in", COACH_EXAMPLE.splitlines()[0])
    add.add_argument("login", metavar="LOGIN", help="the new login of the coach on the server")
    add.add_argument(
        "--group", metavar="G", action="append", default=[], help="share this group; may be repeated"
    )
    add.add_argument("--everything", action="store_true", help="share every group, those to come too")
    add.add_argument("--password-from", metavar="FILE", help="its first line is the new password")
    share = verbs.add("share", "share groups with a coach", "slackwater coach share ben Masters")
    unshare = verbs.add("unshare", "take groups away from a coach", "slackwater coach unshare ben Masters")
    for verb in (share, unshare):
        verb.add_argument("login", metavar="LOGIN", help="the coach's login on the server")
        verb.add_argument("groups", metavar="G", nargs="+", help="a group of swimmers")
    remove = verbs.add("remove", "let a coach see nothing any more", "slackwater coach remove ben")
    remove.add_argument("login", metavar="LOGIN", help="the coach's login on the server")
    verbs.add("list", "list the coaches and what each sees", "slackwater coach list")


def run_coach(args: Namespace, ctx: Context) -> int:
    """Do what the verb says, then show the coaches."""
    session = ctx.session_to_read
    if args.verb == "add":
        password = _password(args, ctx)
        coaches.add_coach(session, args.login, args.group, everything=args.everything, password=password)
        if password is None:
            ctx.say.said(
                f"no password was set; if {args.login} has none yet: psql -c '\\password {args.login}'"
            )
    elif args.verb == "share":
        coaches.share_groups(session, args.login, args.groups)
    elif args.verb == "unshare":
        coaches.unshare_groups(session, args.login, args.groups)
    elif args.verb == "remove":
        coaches.remove_coach(session, args.login)
    return _list(ctx)


def _list(ctx: Context) -> int:
    found = coaches.list_coaches(ctx.session_to_read)
    if ctx.json:
        told = [
            {"login": one.login, "everything": one.everything, "groups": list(one.groups)} for one in found
        ]
        ctx.say.json({"schema": 1, "coaches": told})
        return 0
    rows = [(one.login, "every group" if one.everything else ", ".join(one.groups)) for one in found]
    ctx.say.table(("login", "sees"), rows)
    return 0


def _password(args: Namespace, ctx: Context) -> str | None:
    """Return the new password, out of a file or asked for twice; words of a command can be read by all."""
    if args.password_from is not None:
        try:
            lines = Path(args.password_from).read_text(encoding="utf-8").splitlines()
        except (OSError, UnicodeDecodeError):
            raise BadFileError(f"--password-from: cannot read {args.password_from} as text") from None
        if not lines or not lines[0]:
            raise BadFileError(f"--password-from: the first line of {args.password_from} is empty")
        return lines[0]
    if not ctx.may_ask:
        return None
    typed = getpass.getpass(f"Password for {args.login} (empty: leave as it is): ")
    if typed and typed != getpass.getpass("Once more: "):
        raise UsageError("the two are not the same; nothing was changed")
    return typed or None
