"""``slackwater swimmer consent``."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Sequence
from typing import TYPE_CHECKING

from tracker.cli.entries import cells_of, with_number
from tracker.cli.parsing import Verbs, add_fields, meant, typed_fields
from tracker.cli.remedies import COMMAND_LINE
from tracker.cli.wiring import Context
from tracker.errors import UsageError
from tracker.model.vocabularies import Purpose

if TYPE_CHECKING:
    from tracker.model.about import RecordField
    from tracker.model.swimmer import Consent


_STEPS = ("add", "withdraw", "list")
_WITHDRAWAL = frozenset({"purpose", "date"})
"""The fields that a withdrawal takes."""
_COLUMNS = ("date", "purpose", "given_by", "ground", "how", "text_version", "until", "withdrawn")


def _flags() -> Sequence[RecordField]:
    """Return the fields of a consent that have a flag."""
    from tracker.model.about import in_form_order
    from tracker.model.swimmer import Consent

    return in_form_order(Consent)


def add_verb(verbs: Verbs) -> None:
    """Add the verb."""
    consent = verbs.add(
        "consent",
        "note a consent or its withdrawal; without NAME: how everybody stands",
        'slackwater swimmer consent "Ines Aalto" add --for pages --how "on paper"\n'
        'slackwater swimmer consent "Ines Aalto" withdraw --for pages\nslackwater swimmer consent',
    )
    consent.add_argument("name", nargs="?", metavar="NAME", help="the swimmer's label")
    consent.add_argument("step", nargs="?", metavar="add|withdraw|list", help="default: list")
    add_fields(consent, _flags())


def run_consent(args: Namespace, ctx: Context) -> int:
    """Note a consent, or list them."""
    if args.name is None:
        return _everybody(ctx)
    step = args.step or "list"
    if step not in _STEPS:
        raise UsageError(f"{step!r} is none of {', '.join(_STEPS)}{meant(step, _STEPS)}")
    given = typed_fields(args, _flags())
    if step == "list":
        if given:
            raise UsageError("a list takes no flags; to note a consent, write 'add' after the name")
        return _one(args, ctx)
    if "purpose" not in given:
        raise UsageError("say what for: --for record, --for pages or --for clips")
    form = {"swimmer": args.name, **given}
    if step == "withdraw":
        return _withdraw(form, ctx)
    from tracker.app.consents import give_consent
    from tracker.output.cautions import minor_consent

    done = give_consent(ctx.session_to_read, form)
    _print(done.consent, ctx)
    if done.minor:
        ctx.say.warned(minor_consent(COMMAND_LINE))
    return 0


def _withdraw(form: dict[str, str], ctx: Context) -> int:
    from tracker.app.consents import withdraw_consent
    from tracker.output.sentences.people import record_withdrawn

    too_many = [field.flag for field in _flags() if field.name in form and field.own not in _WITHDRAWAL]
    if too_many:
        raise UsageError(f"{too_many[0]} does not go with a withdrawal")
    consent = withdraw_consent(ctx.session_to_read, form)
    _print(consent, ctx)
    if consent.purpose is Purpose.RECORD:
        ctx.say.said(record_withdrawn(COMMAND_LINE))
    return 0


def _print(consent: Consent, ctx: Context) -> None:
    from tracker.output.sentences.people import consent_sentence

    if ctx.json:
        ctx.say.json({"schema": 1, **consent.model_dump(mode="json")})
    else:
        ctx.say.line(f"{consent.swimmer}: {consent_sentence(consent)}")


def _one(args: Namespace, ctx: Context) -> int:
    from tracker.app.consents import list_consents
    from tracker.model.about import fields_called
    from tracker.model.swimmer import Consent

    given = list_consents(ctx.session_to_read, args.name)
    if ctx.json:
        ctx.say.json({"schema": 1, "consents": [with_number(one) for one in given]})
        return 0
    columns = fields_called(Consent, *_COLUMNS)
    ctx.say.table([field.heading for field in columns], [cells_of(one.record, columns) for one in given])
    return 0


def _everybody(ctx: Context) -> int:
    from tracker.app.consents import consent_lines

    lines = consent_lines(ctx.session_to_read)
    if ctx.json:
        told = [{"swimmer": one.swimmer, "minor": one.minor, **one.status} for one in lines]
        ctx.say.json({"schema": 1, "consents": told})
        return 0
    rows = [
        (one.swimmer, *(one.status[purpose] for purpose in Purpose), "yes" if one.minor else "")
        for one in lines
    ]
    ctx.say.table(("swimmer", *Purpose, "may be under 18"), rows)
    return 0
