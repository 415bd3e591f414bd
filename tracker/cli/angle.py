"""``slackwater angle``: the angle at the middle of three points; no database."""

from __future__ import annotations

from argparse import Namespace

from tracker.cli.parsing import Parser
from tracker.cli.values import Problems, whatever_is_wrong
from tracker.cli.wiring import Context
from tracker.entry.times import parse_number, shown
from tracker.errors import Problem
from tracker.records.geometry import angle_deg
from tracker.records.text import clean_line

EXAMPLE = "slackwater angle 320,110 410,205 352,318"


def add_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("points", nargs=3, metavar="X,Y", help="hip, knee, ankle as pixels of one still")


def run(args: Namespace, ctx: Context) -> int:
    """Print the angle."""
    with whatever_is_wrong() as problems:
        points = [_point(text, problems) for text in args.points]
    angle = angle_deg(*points)
    if ctx.json:
        ctx.say.json({"schema": 1, "angle_deg": round(angle, 4), "points": [list(point) for point in points]})
        return 0
    ctx.say.line(f"{angle:.1f} degrees")
    ctx.say.said(
        "One camera sees an angle right only when it looks square at its plane; read twice and compare."
    )
    return 0


def _point(text: str, problems: Problems) -> tuple[float, float]:
    try:
        x, y = text.split(",")
        return parse_number(x), parse_number(y)
    except ValueError:
        problems.append(
            Problem("point", clean_line(text), f"{shown(text)} is no point; write x,y such as 320,110")
        )
        return 0.0, 0.0
