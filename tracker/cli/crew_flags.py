"""The flags that say who does the work of a big roster."""

from __future__ import annotations

from argparse import Namespace
from typing import TYPE_CHECKING

from tracker.cli.parsing import Parser
from tracker.errors import UsageError

if TYPE_CHECKING:
    from tracker.usecases.crew import Crew


def add_crew(parser: Parser) -> None:
    """Add them."""
    parser.add_argument("--workers", type=int, metavar="N", help="processes (default: one a core)")
    parser.add_argument(
        "--cluster", metavar="ADDRESS", help="the scheduler of a Dask cluster, tls://host:8786"
    )


def crew_of(args: Namespace) -> Crew:
    """Return who is to do it; raises `UsageError`."""
    from tracker.usecases.crew import Crew, all_cores

    if args.workers is not None and args.workers < 1:
        raise UsageError("--workers: at least 1")
    if args.cluster is not None and args.workers is not None:
        raise UsageError("--workers is for this machine, --cluster for others; give one of them")
    if args.workers is None and args.cluster is None:
        return all_cores()
    return Crew(args.workers or 1, args.cluster)
