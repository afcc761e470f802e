"""Writes the golden log of a release, once:

    python -m tests.golden.write 0.1.0

makes `tests/golden/released/0.1.0/` with the entries and what this program tells of them, and notes the digests of both
files in `frozen.json`. A log that is there is never written again; `--unreleased` does so for a release that is not out.
"""

from __future__ import annotations

import argparse
import gzip
import hashlib
import json
import sys
from collections.abc import Sequence
from pathlib import Path
from random import Random

from hypothesis import HealthCheck, Phase, given, seed, settings

from shared_models.entries import Entry, canonical_text
from shared_models.identifiers import derived_id
from shared_models.records.kinds import KINDS, check_fields
from shared_models.stamps import EARLIEST_MS
from tests.golden.invented_years import invented_years
from tests.golden.replaying import FROZEN, LOG, RELEASED, TOLD, told_of_bare
from tests.strategies import entries

DRAWN = 4  # entries of each kind with fields by chance, so that every kind comes with many of its fields


def main(arguments: Sequence[str], released: Path = RELEASED) -> int:
    """Write it; 1 where there is one already."""
    parser = argparse.ArgumentParser(prog="python -m tests.golden.write", description=__doc__)
    parser.add_argument("release")
    parser.add_argument("--unreleased", action="store_true", help="write one anew that is not out yet")
    asked = parser.parse_args(arguments)
    folder = released / asked.release
    if folder.exists() and not asked.unreleased:
        print(f"{folder} is there, and a golden log is never written again.", file=sys.stderr)
        return 1
    texts = [canonical_text(entry) for entry in all_entries()]
    write(folder, texts)
    note_digests(released, asked.release)
    print(f"{folder}: {len(texts)} entries", file=sys.stderr)
    return 0


def all_entries() -> list[Entry]:
    """The invented years, with entries by chance strewn among them."""
    by_chance = [entry for kind in sorted(KINDS) for entry in _drawn(kind)]
    told = invented_years()
    strewn = sorted(Random(1).sample(range(len(told)), len(by_chance)), reverse=True)
    for place, entry in zip(strewn, by_chance, strict=True):
        told.insert(place, entry)
    return told


def write(folder: Path, texts: Sequence[str]) -> None:
    """Both files of a log."""
    folder.mkdir(parents=True, exist_ok=True)
    told = told_of_bare([Entry.model_validate_json(text) for text in texts])
    whole = {"all of this is": "invented", "kinds": sorted(KINDS), **told}
    _pack(folder / LOG, "".join(f"{text}\n" for text in texts))
    _pack(folder / TOLD, json.dumps(whole, ensure_ascii=False, separators=(",", ":"), sort_keys=True))


def note_digests(released: Path, release: str) -> None:
    """Note what the files of a release are."""
    file = released / FROZEN
    known = json.loads(file.read_text(encoding="utf-8")) if file.exists() else {}
    known[release] = digests(released / release)
    file.write_text(json.dumps(known, indent=2, sort_keys=True) + "\n", encoding="utf-8")


def digests(folder: Path) -> dict[str, str]:
    """The SHA-256 of both files of a log."""
    return {name: hashlib.sha256((folder / name).read_bytes()).hexdigest() for name in (LOG, TOLD)}


def _pack(file: Path, text: str) -> None:
    file.write_bytes(gzip.compress(text.encode(), 9, mtime=0))


def _drawn(kind: str) -> list[Entry]:
    """Entries of a kind; with ids of their own, since chance likes to draw the same plain one again."""
    found: list[Entry] = []

    @seed(sorted(KINDS).index(kind))
    @settings(
        max_examples=5 * DRAWN,
        database=None,
        deadline=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(entries(kind=kind))
    def draw(entry: Entry) -> None:
        if not check_fields(kind, entry.f, entry.creates) and entry.f not in [one.f for one in found]:
            own = derived_id(EARLIEST_MS, "golden", kind, str(len(found)))
            found.append(entry.model_copy(update={"id": own, "rec": own}))

    draw()
    return found[-DRAWN:]  # the first that are drawn are the plainest


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
