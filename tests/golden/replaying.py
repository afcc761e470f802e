"""A golden log read back, what a program tells of it, and where that differs from what was told. Knows no store."""

from __future__ import annotations

import gzip
import json
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass
from datetime import date
from pathlib import Path
from typing import Any

from shared_models.entries import Entry, read_entry
from shared_models.fold import FoldedRecord, fold_all
from shared_models.records.kinds import is_known
from shared_models.reports import season_report
from shared_models.season_records import SeasonRecords, from_entries
from shared_models.timing import ground as grounds
from shared_models.timing.garden_timing import season_timing
from shared_models.timing.ground import TimingGround

RELEASED = Path(__file__).parent / "released"
LOG, TOLD, CORRECTED, FROZEN = "entries.jsonl.gz", "told.json.gz", "corrected.json", "frozen.json"
LOOKED_AT = {"2026": ("2026-05-20", "2026-06-14"), "2026/27": ("2026-11-19",)}
"""Seasons that are told of, and the days on which their timing is."""
SAME = 1e-9  # share by which a number may differ: other versions of Python add up in another order


@dataclass(frozen=True, slots=True)
class GoldenLog:
    """What one release wrote: the texts of its entries in the order of their numbers, and what it told of them."""

    release: str
    texts: list[str]
    told: dict[str, Any]

    @property
    def known(self) -> list[str]:
        """The texts of those that its release could read."""
        return [
            text
            for text, one in zip(self.texts, entries_of(self.texts), strict=True)
            if is_known(one.kind, one.v)
        ]


def releases() -> list[str]:
    """All that have a golden log, oldest first."""
    return sorted(folder.name for folder in RELEASED.iterdir() if folder.is_dir())


def golden_log(release: str) -> GoldenLog:
    """The log of a release, with what was corrected since put in the place of what it told."""
    folder = RELEASED / release
    told = json.loads(gzip.decompress((folder / TOLD).read_bytes()))
    corrected = folder / CORRECTED
    for one in json.loads(corrected.read_text(encoding="utf-8")) if corrected.exists() else []:
        correct(told, one["where"], one["now"])
    return GoldenLog(release, gzip.decompress((folder / LOG).read_bytes()).decode().splitlines(), told)


def correct(told: Any, where: Sequence[str | int], now: Any) -> None:
    """Put a corrected value in its place; KeyError or IndexError where nothing was told there."""
    *way, last = where
    for step in way:
        told = told[step]
    _ = told[last]  # a correction of what was never told is a mistake
    told[last] = now


def entries_of(texts: Iterable[str]) -> list[Entry]:
    """The entries of these texts."""
    return [read_entry(text) for text in texts]


# ---------------------------------------------------------------- what is told
def told_of_bare(entries: Sequence[Entry]) -> dict[str, Any]:
    """Everything that is told of entries, by the fold alone."""
    folded = fold_all(entry for entry in entries if is_known(entry.kind, entry.v))
    return {
        "state": {rec: as_plain(record) for rec, record in sorted(folded.items())},
        "seasons": {key: told_of_season(from_entries(entries, key)) for key in LOOKED_AT},
        "timings": {key: told_of_timing(grounds.from_entries(entries, key), key) for key in LOOKED_AT},
    }


def as_plain(record: FoldedRecord) -> dict[str, Any]:
    """A folded record as JSON holds it."""
    return dict(json.loads(json.dumps(asdict(record))))


def told_of_season(records: SeasonRecords) -> Any:
    """A season's report as JSON holds it."""
    return json.loads(season_report(records).model_dump_json())


def told_of_timing(ground: TimingGround, key: str) -> dict[str, Any]:
    """The timing of a season on its days."""
    return {
        day: json.loads(season_timing(ground, date.fromisoformat(day)).model_dump_json())
        for day in LOOKED_AT[key]
    }


# ---------------------------------------------------------------- what differs
def differences(golden: Any, now: Any, where: tuple[str | int, ...] = ()) -> Iterator[str]:
    """Where something else is told than was told then. What is told besides is new, and no difference."""
    if isinstance(golden, dict) and isinstance(now, dict):
        for name, then in golden.items():
            if name in now:
                yield from differences(then, now[name], (*where, name))
            else:
                yield f"{where}: nothing is told of {name!r} any more"
    elif isinstance(golden, list) and isinstance(now, list) and len(golden) == len(now):
        for place, (then, new) in enumerate(zip(golden, now, strict=True)):
            yield from differences(then, new, (*where, place))
    elif not _same(golden, now):
        yield f"{where}: {golden!r} then, {now!r} now"


def _same(golden: object, now: object) -> bool:
    if isinstance(golden, int | float) and isinstance(now, int | float):
        alike = isinstance(golden, bool) is isinstance(now, bool)
        return alike and math.isclose(golden, now, rel_tol=SAME, abs_tol=SAME)
    return golden == now
