"""``slackwater completion``: what a shell needs to complete commands and names."""

from __future__ import annotations

import argparse
from argparse import Namespace
from collections.abc import Callable, Sequence
from dataclasses import replace

from tracker.cli.commands import COMMANDS, load, parser_of
from tracker.cli.parsing import SHARED_SWITCHES, SHARED_VALUED, Parser, split_verb
from tracker.cli.wiring import Context
from tracker.errors import SlackwaterError, UsageError
from tracker.model.text import fitting, folded


def candidates(words: Sequence[str], ctx: Context) -> list[str]:
    """Return the words that can take the place of the last one, which may be empty or begun.

    Swimmers' names come from the local database only, and only where it is there already.
    """
    words = [_unquoted(word) for word in words]
    typed = words[-1]
    if "--db" in words[:-1] and words.index("--db") + 2 < len(words):
        ctx = replace(ctx, db=words[words.index("--db") + 1])
    try:
        _, command, rest = split_verb(list(words[:-1]))
    except SlackwaterError:
        return []
    if command is None:
        begun = (
            [*SHARED_VALUED, *SHARED_SWITCHES, "--help", "--version"]
            if typed.startswith("-")
            else list(COMMANDS)
        )
        return [word for word in begun if word.startswith(typed)]
    if command not in COMMANDS:
        return []
    return _beginning(typed, _after(parser_of(command, load(command)), rest, typed, ctx))


def _beginning(typed: str, words: Sequence[str]) -> list[str]:
    """Return the words that begin so, without case and accents; where none does, the only one that fits.

    Several that have it in their middle would make a shell take away what was typed.
    """
    begun = [word for word in words if folded(word).startswith(folded(typed))]
    return begun or (list(meant) if len(meant := fitting(typed, words)) == 1 else [])


def _unquoted(word: str) -> str:
    """Return a word as bash passes it, half quoted, without its quotes."""
    return word.lstrip("'\"").rstrip("'\"").replace("\\ ", " ")


def _after(parser: Parser, words: Sequence[str], typed: str, ctx: Context) -> list[str]:
    """Return what can follow the words of one command."""
    flags = {name: flag for flag in parser.flags() for name in flag.option_strings}
    if words and words[-1] in flags and flags[words[-1]].nargs != 0:
        return _values(flags[words[-1]], ctx)
    standing = _without_flags(words, flags)
    arguments = parser.arguments()
    for place, argument in enumerate(arguments):
        if isinstance(argument, argparse._SubParsersAction) and place < len(standing):  # noqa: SLF001 - argparse has no public name for it
            at = standing[place]
            verb = parser.verbs().get(words[at])
            return _after(verb, words[at + 1 :], typed, ctx) if verb else []
    if typed.startswith("-"):
        return sorted(flags)
    if not arguments:
        return []
    last = arguments[-1]
    argument = arguments[len(standing)] if len(standing) < len(arguments) else last
    if argument is last and len(standing) >= len(arguments) and last.nargs not in {"*", "+"}:
        return []
    if len(standing) == 1 and not parser.verbs() and words[standing[0]] in {"list", "steps"}:
        return _faults(ctx) if argument.metavar == "STEP" and words[standing[0]] == "list" else _names(ctx)
    return list(parser.verbs()) if argument.metavar == "VERB" else _values(argument, ctx)


def _without_flags(words: Sequence[str], flags: dict[str, argparse.Action]) -> list[int]:
    """Return the places of the words that are neither flags nor their values."""
    standing = []
    skip = False
    for place, word in enumerate(words):
        if skip:
            skip = False
        elif word.startswith("-") and word != "-":
            skip = word in flags and flags[word].nargs != 0
        else:
            standing.append(place)
    return standing


def _values(argument: argparse.Action, ctx: Context) -> list[str]:
    """Return the known values of an argument, by what it is called in the help."""
    known = _KNOWN.get(str(argument.metavar or "").split("[")[0])
    if known is not None:
        return known(ctx)
    parts = str(argument.metavar or "").split("|")
    return parts if len(parts) > 1 and all(part.islower() and part.isalpha() for part in parts) else []


def _names(ctx: Context) -> list[str]:
    if "://" in ctx.db or not ctx.has_store:
        return []
    from tracker.app.swimmers import list_swimmers

    return [who.swimmer for who in list_swimmers(ctx.session_to_read)]


def _groups(ctx: Context) -> list[str]:
    if "://" in ctx.db or not ctx.has_store:
        return []
    from tracker.app.swimmers import list_swimmers

    return sorted({who.group for who in list_swimmers(ctx.session_to_read) if who.group})


def _tests(ctx: Context) -> list[str]:
    from tracker.app.swim_tests import list_tests

    local = "://" not in ctx.db and ctx.has_store
    return [one.test for one in list_tests(ctx.session_to_read if local else None)]


def _faults(_ctx: Context) -> list[str]:
    from tracker.model.catalogue import catalogue

    return [entry.slug for entry in catalogue()]


def _settings(_ctx: Context) -> list[str]:
    from tracker.cli.config_files import known_keys

    return list(known_keys())


def _event_kinds(_ctx: Context) -> list[str]:
    from tracker.model.event_kinds import offered_kinds

    return [kind.value for kind in offered_kinds(health=False)]


_KNOWN: dict[str, Callable[[Context], list[str]]] = {
    "NAME": _names,
    "G": _groups,
    "TEST": _tests,
    "FAULT": _faults,
    "KEY": _settings,
    "STEP": lambda _: ["open", "seen", "work", "corrected", "park", "back"],
    "KIND": _event_kinds,
    "C": lambda _: ["SCM", "LCM", "SCY", "OW"],
    "SHELL": lambda _: ["bash", "zsh", "fish"],
}


COMPLETION_EXAMPLE = """eval "$(slackwater completion bash)"
slackwater completion zsh > ~/.zfunc/_slackwater
slackwater completion fish > ~/.config/fish/completions/slackwater.fish"""

_BASH = """\
_slackwater() {
    local IFS=$'\\n' word
    COMPREPLY=()
    while IFS= read -r word; do
        COMPREPLY+=("$(printf '%q' "$word")")
    done < <(slackwater completion words -- "${COMP_WORDS[@]:1:COMP_CWORD}" 2>/dev/null)
}
complete -o default -F _slackwater slackwater
"""

_ZSH = """\
#compdef slackwater
_slackwater() {
    local -a found
    found=("${(@f)$(slackwater completion words -- "${(@Q)words[2,CURRENT]}" 2>/dev/null)}")
    found=(${found:#})
    if (( ${#found} )); then compadd -U -- "${found[@]}"; else _files; fi
}
if [ "$funcstack[1]" = "_slackwater" ]; then _slackwater "$@"; else compdef _slackwater slackwater; fi
"""

_FISH = """\
function __slackwater_words
    set -l words (commandline -opc) (commandline -ct)
    slackwater completion words -- $words[2..-1] 2>/dev/null
end
complete -c slackwater -a '(__slackwater_words)'
"""

SCRIPTS = {"bash": _BASH, "zsh": _ZSH, "fish": _FISH}


def completion_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument(
        "shell", metavar="SHELL", help="bash, zsh or fish ('words' is what their scripts call)"
    )
    parser.add_argument("words", nargs="*", metavar="WORD", help="the words typed so far, for 'words'")


def run_completion(args: Namespace, ctx: Context) -> int:
    """Print the shell's script, or the completions at the cursor."""
    if args.shell == "words":
        for word in candidates(args.words or [""], ctx):
            ctx.say.line(word)
        return 0
    if args.shell not in SCRIPTS:
        raise UsageError(f"no script for {args.shell!r}; use {', '.join(SCRIPTS)}")
    for line in SCRIPTS[args.shell].splitlines():
        ctx.say.line(line)
    return 0
