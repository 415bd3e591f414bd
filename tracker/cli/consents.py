"""``slackwater swimmer consent``, and what is said of the archived."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterable
from typing import TYPE_CHECKING

from tracker.cli.parsing import Verbs, meant
from tracker.cli.wiring import Context
from tracker.errors import UsageError

if TYPE_CHECKING:
    from tracker.model.swimmer import Consent


_STEPS = ("add", "withdraw", "list")
_FLAGS = (
    ("ground", "T", "ground", "on which ground, in words"),
    ("by", "self|guardian", "given_by", "who gave it (default: self)"),
    ("how", "T", "how", "how it was given: on paper, by mail"),
    ("text-version", "T", "text_version", "which version of the text"),
    ("until", "D", "until", "until when it holds"),
)


def add_verb(verbs: Verbs) -> None:
    """Add the verb."""
    consent = verbs.add(
        "consent",
        "note a consent or its withdrawal; without NAME: how everybody stands",
        'slackwater swimmer consent "Ines Aalto" add --for pages --how "on paper"\n'
        'slackwater swimmer consent "Ines Aalto" withdraw --for pages\nslackwater swimmer consent',
    )
    consent.add_argument("name", nargs="?", metavar="NAME")
    consent.add_argument("step", nargs="?", metavar="add|withdraw|list", help="default: list")
    consent.add_argument("--for", dest="purpose", metavar="record|pages|clips", help="what for")
    consent.add_argument("--date", metavar="D", default="", help="day (default: today)")
    for flag, metavar, _, text in _FLAGS:
        consent.add_argument(f"--{flag}", metavar=metavar, help=text)


def run_consent(args: Namespace, ctx: Context) -> int:
    """Note a consent, or list them."""
    if args.name is None:
        return _everybody(ctx)
    step = args.step or "list"
    if step not in _STEPS:
        raise UsageError(f"{step!r} is none of {', '.join(_STEPS)}{meant(step, _STEPS)}")
    given = {name: getattr(args, flag.replace("-", "_")) for flag, _, name, _ in _FLAGS}
    if step == "list":
        if args.purpose is not None or args.date or any(text is not None for text in given.values()):
            raise UsageError("a list takes no flags; to note a consent, write 'add' after the name")
        return _one(args, ctx)
    if args.purpose is None:
        raise UsageError("say what for: --for record, --for pages or --for clips")
    form = {"swimmer": args.name, "purpose": args.purpose, "date": args.date}
    if step == "withdraw":
        return _withdraw(form, given, ctx)
    from tracker.app.consents import give_consent
    from tracker.output.cautions import MINOR_CONSENT

    form |= {name: text for name, text in given.items() if text is not None}
    done = give_consent(ctx.session_to_read, form)
    _print(done.consent, ctx)
    if done.minor:
        ctx.say.warned(MINOR_CONSENT)
    return 0


def _withdraw(form: dict[str, str], given: dict[str, str | None], ctx: Context) -> int:
    from tracker.app.consents import withdraw_consent
    from tracker.output.sentences.people import RECORD_WITHDRAWN

    too_many = [flag for flag, _, name, _ in _FLAGS if given[name] is not None]
    if too_many:
        raise UsageError(f"--{too_many[0]} does not go with a withdrawal")
    consent = withdraw_consent(ctx.session_to_read, form)
    _print(consent, ctx)
    if consent.purpose == "record":
        ctx.say.said(RECORD_WITHDRAWN)
    return 0


def _print(consent: Consent, ctx: Context) -> None:
    from tracker.output.sentences.people import consent_sentence

    if ctx.json:
        ctx.say.json({"schema": 1, **consent.model_dump(mode="json")})
    else:
        ctx.say.line(f"{consent.swimmer}: {consent_sentence(consent)}")


def _one(args: Namespace, ctx: Context) -> int:
    from tracker.app.consents import list_consents

    kept = list_consents(ctx.session_to_read, args.name)
    if ctx.json:
        ctx.say.json(
            {"schema": 1, "consents": [{"id": k.id, **k.record.model_dump(mode="json")} for k in kept]}
        )
        return 0
    header = ("date", "for", "by", "ground", "how", "text", "until", "withdrawn")
    rows = [
        (
            str(one.date),
            one.purpose,
            one.given_by,
            one.ground,
            one.how,
            one.text_version,
            str(one.until or ""),
            str(one.withdrawn or ""),
        )
        for one in (k.record for k in kept)
    ]
    ctx.say.table(header, rows)
    return 0


def _everybody(ctx: Context) -> int:
    from tracker.app.consents import PURPOSES, consent_lines

    lines = consent_lines(ctx.session_to_read)
    if ctx.json:
        told = [{"swimmer": one.swimmer, "minor": one.minor, **one.standing} for one in lines]
        ctx.say.json({"schema": 1, "consents": told})
        return 0
    rows = [
        (one.swimmer, *(one.standing[purpose] for purpose in PURPOSES), "yes" if one.minor else "")
        for one in lines
    ]
    ctx.say.table(("swimmer", *PURPOSES, "may be under 18"), rows)
    return 0


def say_archived(names: Iterable[str], ctx: Context) -> None:
    """Say of each who is archived that the entry was made all the same, and how to take them back."""
    from tracker.app.swimmers import archived_among
    from tracker.output.sentences.people import archived_note

    for who in archived_among(ctx.session, names):
        ctx.say.warned(f"note: {archived_note(who)}")
