"""``slackwater swimmer``: the swimmers on record."""

from __future__ import annotations

from argparse import Namespace

from tracker.cli import consents as consent
from tracker.cli import personal
from tracker.cli.entries import cells_of, changes
from tracker.cli.parsing import Parser, Verbs, add_fields, typed_fields
from tracker.cli.wiring import Context
from tracker.model.about import corrigible, fields_of
from tracker.model.swimmer import Swimmer
from tracker.output.cautions import cautions
from tracker.technique.cautions import codes_in

SWIMMER_EXAMPLE = """slackwater swimmer add "Ines Aalto" --group Masters --born 1988
slackwater swimmer edit "Ines Aalto" --target-pace 1:35 --target-date 2026-09-01
slackwater swimmer list
slackwater swimmer export "Ines Aalto" ines/"""


_FLAGS = corrigible(Swimmer)
_COLUMNS = [field for field in fields_of(Swimmer).values() if field.own != "note"]


def swimmer_arguments(parser: Parser) -> None:
    """Add the verbs."""
    verbs = Verbs(parser)
    add = verbs.add("add", "add a swimmer", 'slackwater swimmer add "Ines Aalto" --group Masters --born 1988')
    add.add_argument("name", metavar="NAME", help="a label of their own")
    add_fields(add, _FLAGS)
    listing = verbs.add("list", "list the swimmers", "slackwater swimmer list --group Masters")
    listing.add_argument("--group", metavar="G", help="only this group")
    listing.add_argument("--archived", action="store_true", help="those put away too")
    show = verbs.add("show", "show what is kept of a swimmer", 'slackwater swimmer show "Ines Aalto"')
    show.add_argument("name", metavar="NAME", help="the swimmer's label")
    edit = verbs.add(
        "edit", "change a swimmer's record", 'slackwater swimmer edit "Ines Aalto" --target-pace 1:35'
    )
    edit.add_argument("name", metavar="NAME", help="the swimmer's label")
    edit.add_argument("--label", metavar="NEW", help="another label")
    add_fields(edit, _FLAGS, old=True)
    archive = verbs.add(
        "archive", "put a swimmer away, off the roster", 'slackwater swimmer archive "Ines Aalto"'
    )
    archive.add_argument("name", metavar="NAME", help="the swimmer's label")
    archive.add_argument("--back", action="store_true", help="take them back")
    consent.add_verb(verbs)
    personal.add_verbs(verbs)


def run_swimmer(args: Namespace, ctx: Context) -> int:
    """Do what the verb says."""
    does = {
        "add": _add,
        "list": _list,
        "show": _show,
        "edit": _edit,
        "archive": _archive,
        "consent": consent.run_consent,
        "export": personal.run_export,
        "erase": personal.run_erase,
        "retention": personal.run_retention,
    }
    return does[args.verb](args, ctx)


def _add(args: Namespace, ctx: Context) -> int:
    from tracker.app.swimmers import add_swimmer

    form = {"swimmer": args.name, **typed_fields(args, _FLAGS)}
    swimmer, similar = add_swimmer(ctx.session, form)
    _print(swimmer, ctx)
    for label in similar:
        ctx.say.warned(f"note: {label} looks much like {swimmer.swimmer}; are they two people?")
    return 0


def _list(args: Namespace, ctx: Context) -> int:
    from tracker.app.swimmers import list_swimmers

    people = list_swimmers(ctx.session_to_read, group=args.group, archived=args.archived)
    if ctx.json:
        ctx.say.json({"schema": 1, "swimmers": [who.model_dump(mode="json") for who in people]})
        return 0
    ctx.say.table([field.heading for field in _COLUMNS], [cells_of(who, _COLUMNS) for who in people])
    return 0


def _show(args: Namespace, ctx: Context) -> int:
    from tracker.app.swimmers import show_swimmer

    shown = show_swimmer(ctx.session_to_read, args.name)
    if ctx.json:
        ctx.say.json({"schema": 1, **shown.swimmer.model_dump(mode="json"), "records": dict(shown.counts)})
        return 0
    _print(shown.swimmer, ctx)
    for what, count in shown.counts.items():
        ctx.say.line(f"{what}: {count}")
    return 0


def _edit(args: Namespace, ctx: Context) -> int:
    from tracker.app.swimmers import edit_swimmer

    args.swimmer = args.label
    form = changes(args, (*_FLAGS, fields_of(Swimmer)["swimmer"]), "swimmer edit")
    _print(edit_swimmer(ctx.session_to_read, args.name, form), ctx)
    return 0


def _archive(args: Namespace, ctx: Context) -> int:
    from tracker.app.swimmers import archive_swimmer

    swimmer = archive_swimmer(ctx.session_to_read, args.name, back=args.back)
    _print(swimmer, ctx)
    return 0


def _print(who: Swimmer, ctx: Context) -> None:
    if ctx.json:
        ctx.say.json({"schema": 1, **who.model_dump(mode="json")})
        return
    header = ("target pace" if field.own == "target_pace" else field.heading for field in _COLUMNS)
    parts = [f"{name}: {cell}" for name, cell in zip(header, cells_of(who, _COLUMNS), strict=True) if cell]
    ctx.say.line("; ".join(parts))
    for line in who.note.splitlines():
        ctx.say.line(f"note: {line}")
    ctx.say.cautioned(cautions(codes_in([who.note])))
