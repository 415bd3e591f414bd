"""``slackwater config``: the settings and where each comes from."""

from __future__ import annotations

from argparse import Namespace

from tracker.cli.config_files import RETIRED, instead, known_keys, read_value, set_in_file
from tracker.cli.parsing import Parser, Verbs
from tracker.cli.wiring import Context
from tracker.errors import UsageError
from tracker.model.database_address import without_secret

CONFIG_EXAMPLE = """slackwater config show
slackwater config set course LCM
slackwater config unset course"""


def config_arguments(parser: Parser) -> None:
    """Add the verbs."""
    verbs = Verbs(parser)
    show = verbs.add("show", "show the settings and where each comes from", "slackwater config show band")
    show.add_argument("key", nargs="?", metavar="KEY", help="only this one")
    put = verbs.add("set", "set one in your own config file", "slackwater config set course LCM")
    put.add_argument("key", metavar="KEY", help="a setting of 'slackwater config show'")
    put.add_argument("value", metavar="VALUE", help="its new value")
    out = verbs.add("unset", "take one out of your own config file", "slackwater config unset course")
    out.add_argument("key", metavar="KEY", help="the setting that your file no longer names")


def run_config(args: Namespace, ctx: Context) -> int:
    """Do what the verb says."""
    known = {*known_keys(), *(RETIRED if args.verb == "unset" else ())}
    if args.key is not None and args.key not in known:
        near = instead(args.key) or "; 'slackwater config show' lists them"
        raise UsageError(f"no setting is called {args.key!r}{near}")
    if args.verb == "show":
        return _show(args.key, ctx)
    value = read_value(args.key, args.value) if args.verb == "set" else None
    file = ctx.dirs.config_files["user"]
    set_in_file(file, args.key, value)
    done = "taken out of" if value is None else f"= {_hidden(value)} in"
    ctx.say.said(f"{args.key} {done} {file}")
    return 0


def _show(key: str | None, ctx: Context) -> int:
    rows = {name: ctx.found[name] for name in sorted(ctx.found) if key in {None, name}}
    if ctx.json:
        settings = {
            name: {"value": _hidden(setting.value), "origin": setting.origin}
            for name, setting in rows.items()
        }
        ctx.say.json({"schema": 1, "settings": settings})
        return 0
    cells = [(name, _written(setting.value), setting.origin) for name, setting in rows.items()]
    ctx.say.table(("setting", "value", "from"), cells)
    return 0


def _written(value: object) -> str:
    return str(value).lower() if isinstance(value, bool) else str(_hidden(value))


def _hidden(value: object) -> object:
    """Return the value with the password of a database's URL hidden."""
    return without_secret(value) if isinstance(value, str) else value
