"""Makes the invented seasons that the phone brings along to look around in: the same seasons, lived through on one phone.

    python -m demo.packaged

Writes `mobile/workflows/invented_seasons.jsonl.gz`, one entry a line. The same seed gives the same file: chance is
taken out of the ids, which are numbered in their order instead. Knows no screen and no server.
"""

from __future__ import annotations

import gzip
import re
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from demo.doings import AddRow, Doing, SaySameTree, Score, Share
from demo.lived_phone import LivedPhone
from demo.place import PHONES
from demo.recording import Recording
from demo.season import invent
from mobile.workflows.invented import FILE
from shared_models.entries import canonical_text

SEED = 1  # the season that is shipped
EVERYBODY = "ansa"  # whose phone it is
_ID = re.compile(r"([0-9a-f]{8}-[0-9a-f]{4}-[78])[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}")


def main() -> None:
    """Write the file anew."""
    text = packaged_entries()
    FILE.write_bytes(gzip.compress(text.encode(), 9, mtime=0))
    print(f"{FILE}: {text.count(chr(10))} entries, {FILE.stat().st_size / 1000:.0f} kB", file=sys.stderr)


def packaged_entries(seed: int = SEED) -> str:
    """The entries of the invented seasons as lines of text, oldest first."""
    doings = invent(seed).doings
    with tempfile.TemporaryDirectory(prefix="pomeward-packaged-") as folder:
        phone = LivedPhone(EVERYBODY, Path(folder) / "phone.sqlite", doings[0].moment)
        recording = Recording(dict.fromkeys(PHONES, phone), lambda _: None)
        for doing in _on_one_phone(doings):
            recording.do(doing)
        entries = phone.store.history(limit=1_000_000)
        phone.store.close()
    return with_plain_ids("".join(f"{canonical_text(entry)}\n" for entry in reversed(entries)))


def with_plain_ids(text: str) -> str:
    """The same text with ids that keep their time and are else numbered by where they come first."""
    numbers: dict[str, int] = {}

    def plain(found: re.Match[str]) -> str:
        number = numbers.setdefault(found.group(), len(numbers))
        return f"{found.group(1)}000-8000-{number:012x}"

    return _ID.sub(plain, text)


def _on_one_phone(doings: tuple[Doing, ...]) -> Iterator[Doing]:
    """Without what takes two phones: sharing, and a row that is added twice. Fruit are typed as numbers, not tapped."""
    for doing in doings:
        if isinstance(doing, Share | SaySameTree) or (isinstance(doing, AddRow) and doing.phone == "dile"):
            continue
        yield replace(doing, tapped=False, slips=0) if isinstance(doing, Score) else doing


if __name__ == "__main__":
    main()
