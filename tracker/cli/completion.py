"""``slackwater completion``: what a shell needs to complete commands, flags and names."""

from __future__ import annotations

from argparse import Namespace

from tracker.cli.candidates import candidates
from tracker.cli.parsing import Parser
from tracker.cli.wiring import Context
from tracker.errors import UsageError

EXAMPLE = """eval "$(slackwater completion bash)"
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
    if (( ${#found} )); then compadd -- "${found[@]}"; else _files; fi
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


def add_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument(
        "shell", metavar="SHELL", help="bash, zsh or fish ('words' is what their scripts call)"
    )
    parser.add_argument("words", nargs="*", metavar="WORD", help="the words typed so far, for 'words'")


def run(args: Namespace, ctx: Context) -> int:
    """Print the shell's script, or the words that can stand where the typing is."""
    if args.shell == "words":
        for word in candidates(args.words or [""], ctx):
            ctx.say.line(word)
        return 0
    if args.shell not in SCRIPTS:
        raise UsageError(f"no script for {args.shell!r}; use {', '.join(SCRIPTS)}")
    for line in SCRIPTS[args.shell].splitlines():
        ctx.say.line(line)
    return 0
