"""`python -m tests.benchmarks` prints one JSON: for each measure floor, subject, ratio, target and whether it is met.

Times and rates in it are information; the ratio is the verdict. `--check` makes a missed target an exit code.
"""

import argparse
import json
import os
import platform
import sqlite3
import sys
import tempfile
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Any

from tests.benchmarks import (
    apply_on_phone,
    convergence,
    first_exchange,
    mark_to_durable,
    memory,
    pull_from_server,
    push_by_crowds,
    push_to_server,
    rebuild_state,
    season_table,
    start_of_phone,
    timing_totals,
    today_view,
    window,
)
from tests.benchmarks.measuring import Ratio
from tests.benchmarks.sizes import USUAL, Sizes

Measure = Callable[[Sizes, int, Path], list[Ratio]]

MEASURES: dict[str, Measure] = {
    "mark": mark_to_durable.measure,
    "push": push_to_server.measure,
    "push_few": push_by_crowds.measure_few,
    "push_many": push_by_crowds.measure_many,
    "pull": pull_from_server.measure,
    "pull_packed": pull_from_server.measure_packed,
    "apply": apply_on_phone.measure,
    "first_exchange": first_exchange.measure,
    "convergence": convergence.measure,
    "memory": memory.measure,
    "rebuild": rebuild_state.measure,
    "season": season_table.measure,
    "start": start_of_phone.measure,
    "timing": timing_totals.measure,
    "today": today_view.measure,
    "window": window.measure,
}
ROUNDS = 3


def main(arguments: Sequence[str], sizes: Sizes = USUAL) -> int:
    """Measure what is asked for; 1 where a target is missed and that was asked to matter."""
    asked = read_command_line(arguments)
    ratios = [ratio for name in asked.only or MEASURES for ratio in run(name, sizes, asked.rounds)]
    text = json.dumps(answer(ratios), indent=2, ensure_ascii=False)
    print(text)
    if asked.json:
        asked.json.write_text(text + "\n", encoding="utf-8")
    return 1 if asked.check and any(ratio.met is False for ratio in ratios) else 0


def read_command_line(arguments: Sequence[str]) -> argparse.Namespace:
    """What is asked for."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks", description=__doc__)
    parser.add_argument("--only", nargs="+", choices=list(MEASURES), metavar="NAME", help=", ".join(MEASURES))
    parser.add_argument("--rounds", type=int, default=ROUNDS, metavar="N", help=f"usually {ROUNDS}")
    parser.add_argument("--json", type=Path, metavar="FILE", help="write the answer there as well")
    parser.add_argument("--check", action="store_true", help="exit code 1 where a target is missed")
    return parser.parse_args(arguments)


def run(name: str, sizes: Sizes, rounds: int) -> list[Ratio]:
    """One measure in a folder of its own; floor and subject write to the same disk."""
    with tempfile.TemporaryDirectory(prefix="pomeward-benchmark-") as folder:
        return MEASURES[name](sizes, rounds, Path(folder))


def answer(ratios: Iterable[Ratio]) -> dict[str, Any]:
    """The whole answer, with what the ratios were measured on."""
    machine = {
        "python": platform.python_version(),
        "sqlite": sqlite3.sqlite_version,
        "system": platform.system(),
        "processors": os.cpu_count(),
    }
    return {"machine": machine, "ratios": [ratio.as_json() for ratio in ratios]}


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
