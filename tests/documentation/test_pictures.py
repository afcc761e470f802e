"""Every picture that README.md shows or links is there, is a small PNG, and is told in words to who cannot see it."""

from __future__ import annotations

import re
import struct
from pathlib import Path

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
LARGEST = 250_000  # bytes
SHOWN = re.compile(r"!\[(?P<words>[^\]]*)\]\((?P<path>[^)]+\.png)\)|<img\b(?P<tag>[^>]+)>")
NAMED = re.compile(r"[\w./-]+\.png")


def test_every_picture_named_in_the_readme_is_a_small_png():
    named = sorted(set(NAMED.findall(README)))
    assert len(named) >= 4
    for name in named:
        picture = (ROOT / name).read_bytes()
        assert picture[:8] == b"\x89PNG\r\n\x1a\n" and len(picture) < LARGEST, name


def test_every_picture_that_is_shown_is_told_in_words():
    told = [one["words"] or _alt(one["tag"] or "") for one in SHOWN.finditer(README)]
    assert len(told) >= 3 and all(len(words) > 20 for words in told), told


def test_two_pictures_show_the_phone_as_it_is_in_the_hand():
    phones = [name for name in NAMED.findall(README) if Path(name).name.startswith("phone_")]
    assert len(phones) == 2
    for name in phones:
        assert struct.unpack(">II", (ROOT / name).read_bytes()[16:24]) == (412, 892)


def _alt(tag: str) -> str:
    found = re.search(r'alt="([^"]+)"', tag)
    return found.group(1) if found else ""
