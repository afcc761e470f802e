"""Rows of an SQLite file read page by page, without its trees: what is left when they cannot be followed any more.

The layout is that of the SQLite file format (sqlite.org/fileformat2.html): leaf pages of tables (0x0D) and of tables
without a row id (0x0A), cells, records, overflow pages, and the frames of a write-ahead log. Nothing that is read here
is believed as it stands: a page may be stale or spoilt, so whoever asks has to know a whole row by itself.
"""

import struct
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

TABLE_LEAF, INDEX_LEAF = 0x0D, 0x0A
USUAL_PAGE = 4096
_FRAME, _LOG_HEAD, _FILE_HEAD = 24, 32, 100
_MOST_OVERFLOW = 5000  # pages of one row, so that a chain that bites its tail ends
_WHOLE = {1: 1, 2: 2, 3: 3, 4: 4, 5: 6, 6: 8}  # serial type: bytes
_SPOILT = (IndexError, ValueError, OverflowError, struct.error)

Pages = Callable[[int], bytes]
Row = tuple[Any, ...]


def rows_of_file(file: Path) -> Iterator[Row]:
    """Every row of the leaf pages of a file, in the order of its pages; nothing where it cannot be read."""
    try:
        with file.open("rb") as pages:
            size = _page_size(pages.read(_FILE_HEAD))
            count = -(-file.stat().st_size // size)

            def page(number: int) -> bytes:
                pages.seek((number - 1) * size)
                return pages.read(size)

            for number in range(1, count + 1):
                yield from _rows(number, page(number), page)
    except OSError:
        return


def rows_of_journal(journal: Path, file: Path) -> Iterator[Row]:
    """Every row of the pages that a write-ahead log holds up to its last commit, the newest pages first."""
    try:
        frames = _committed(journal.read_bytes())
        base = file.open("rb") if file.exists() else None
    except OSError:
        return
    newest: dict[int, bytes] = dict(frames)
    size = len(frames[0][1]) if frames else USUAL_PAGE

    def page(number: int) -> bytes:
        if number in newest or base is None:
            return newest.get(number, b"")
        base.seek((number - 1) * size)
        return base.read(size)

    try:
        for number, image in reversed(frames):
            yield from _rows(number, image, page)
    finally:
        if base is not None:
            base.close()


def _committed(log: bytes) -> list[tuple[int, bytes]]:
    """Pages with their numbers, oldest first; what was written after the last commit never happened."""
    if len(log) < _LOG_HEAD:
        return []
    size, salts = int.from_bytes(log[8:12], "big"), log[16:24]
    size = 65_536 if size == 1 else size
    frames: list[tuple[int, bytes]] = []
    committed = 0
    for place in range(_LOG_HEAD, len(log) - size - _FRAME + 1, size + _FRAME):
        number, pages_then = struct.unpack_from(">II", log, place)
        if log[place + 8 : place + 16] != salts or not _is_page_size(size):
            break  # left from before the log was begun anew
        frames.append((number, log[place + _FRAME : place + _FRAME + size]))
        if pages_then:
            committed = len(frames)
    return frames[:committed]


def _page_size(head: bytes) -> int:
    size = int.from_bytes(head[16:18], "big")
    size = 65_536 if size == 1 else size
    return size if _is_page_size(size) else USUAL_PAGE


def _is_page_size(size: int) -> bool:
    return 512 <= size <= 65_536 and not size & (size - 1)


def _rows(number: int, page: bytes, pages: Pages) -> Iterator[Row]:
    head = _FILE_HEAD if number == 1 else 0
    if len(page) < head + 8 or page[head] not in (TABLE_LEAF, INDEX_LEAF):
        return
    (cells,) = struct.unpack_from(">H", page, head + 3)
    for cell in range(cells):
        try:
            (place,) = struct.unpack_from(">H", page, head + 8 + 2 * cell)
            yield _record(_payload(page, place, page[head], pages))
        except _SPOILT:
            continue


def _payload(page: bytes, place: int, kind: int, pages: Pages) -> bytes:
    length, place = _varint(page, place)
    if kind == TABLE_LEAF:
        _, place = _varint(page, place)  # the row id
    usable = len(page)
    most = usable - 35 if kind == TABLE_LEAF else (usable - 12) * 64 // 255 - 23
    if length <= most:
        return page[place : place + length]
    least = (usable - 12) * 32 // 255 - 23
    here = least + (length - least) % (usable - 4)
    here = here if here <= most else least
    (following,) = struct.unpack_from(">I", page, place + here)
    return page[place : place + here] + _overflow(following, length - here, pages)


def _overflow(number: int, length: int, pages: Pages) -> bytes:
    found = b""
    for _ in range(_MOST_OVERFLOW):
        if len(found) >= length:
            return found[:length]
        page = pages(number)
        (number,) = struct.unpack_from(">I", page)
        found += page[4:]
    raise ValueError("a chain of overflow pages has no end")


def _record(payload: bytes) -> Row:
    end, place = _varint(payload, 0)
    types = []
    while place < end:
        kind, place = _varint(payload, place)
        types.append(kind)
    values = []
    for kind in types:
        value, place = _value(payload, place, kind)
        values.append(value)
    return tuple(values)


def _value(payload: bytes, place: int, kind: int) -> tuple[Any, int]:
    if kind in _CONSTANT:
        return _CONSTANT[kind], place
    if kind == 7:
        return struct.unpack_from(">d", payload, place)[0], place + 8
    length = _WHOLE[kind] if kind in _WHOLE else (kind - 12) // 2
    raw = payload[place : place + length]
    if len(raw) < length or kind in (10, 11):
        raise ValueError("a row is shorter than it says")
    if kind in _WHOLE:
        return int.from_bytes(raw, "big", signed=True), place + length
    return (raw.decode() if kind % 2 else raw), place + length


_CONSTANT: Mapping[int, int | None] = {0: None, 8: 0, 9: 1}


def _varint(data: bytes, place: int) -> tuple[int, int]:
    value = 0
    for count in range(8):
        value = value << 7 | data[place + count] & 0x7F
        if data[place + count] < 0x80:
            return value, place + count + 1
    return value << 8 | data[place + 8], place + 9
