"""Plays random histories, as many as asked: `python -m tests.agreement --runs 20000 --jobs 2`.

A history that fails is shortened and printed; `--seed N` plays one alone. Prints how many were played and in what time.
`--sockets` plays them over real sockets through lines with faults.
"""

from __future__ import annotations

import argparse
import sys
import time
import traceback
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from contextlib import ExitStack
from dataclasses import dataclass

from tests.agreement.over_sockets import stage_over_sockets, story_over_sockets
from tests.agreement.runs import stage, story
from tests.postgres import PrivatePostgres

AT_ONCE = 100  # histories on one server; then a fresh one, so that its files stay small


@dataclass(frozen=True, slots=True)
class Part:
    """Some of the seeds, on one database."""

    seeds: range
    url: str | None
    sockets: bool = False


@dataclass(frozen=True, slots=True)
class Played:
    """How many histories were played, of which steps, and what failed."""

    count: int
    steps: Counter[str]
    failures: list[str]


def played(part: Part) -> Played:
    """Play a part."""
    failures: list[str] = []
    steps: Counter[str] = Counter()
    stage_of, story_of = (stage_over_sockets, story_over_sockets) if part.sockets else (stage, story)
    with stage_of(part.url) as made:
        for seed in part.seeds:
            told = story_of(seed)
            steps.update(name for name, _, _ in told.steps)
            try:
                made.play(told)
            except Exception:
                failures.append(f"{seed}: {made.shortened(told)}\n{traceback.format_exc(limit=-3)}")
    return Played(len(part.seeds), steps, failures)


def main() -> int:
    """Play them all; returns 1 where any failed."""
    asked = _parser().parse_args()
    if asked.seed is not None:
        asked.first, asked.runs = asked.seed, 1
    started = time.monotonic()
    with ExitStack() as open_until_the_end:
        postgres = open_until_the_end.enter_context(PrivatePostgres()) if asked.postgresql else None
        ends = range(asked.first, asked.first + asked.runs, AT_ONCE)
        seeds = [range(start, min(start + AT_ONCE, asked.first + asked.runs)) for start in ends]
        urls = [postgres.new_database() if postgres else None for _ in seeds]
        parts = [Part(some, url, asked.sockets) for some, url in zip(seeds, urls, strict=True)]
        pool = open_until_the_end.enter_context(ProcessPoolExecutor(asked.jobs))
        count, steps, failures = 0, Counter[str](), 0
        for one in pool.map(played, parts):
            count, steps, failures = count + one.count, steps + one.steps, failures + len(one.failures)
            for failure in one.failures:
                print(failure, flush=True)
            if count % (10 * AT_ONCE) == 0 or count == asked.runs:
                print(
                    f"{count} histories, {failures} failures, {time.monotonic() - started:.0f} s", flush=True
                )
    print(", ".join(f"{name} {number}" for name, number in steps.most_common()))
    return 1 if failures else 0


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(description="Random histories of phones and a server.")
    parser.add_argument("--runs", type=int, default=1000)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--seed", type=int)
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--postgresql", action="store_true")
    parser.add_argument("--sockets", action="store_true")
    return parser


if __name__ == "__main__":
    sys.exit(main())
