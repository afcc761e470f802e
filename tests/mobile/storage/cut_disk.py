"""A disk that forgets at a power cut: SQLite's files with and without what was not flushed. Needs the package apsw.

Every write goes to a real file, so the process reads what it wrote, and is noted until SQLite flushes the file. At a
cut the files are written out as a disk might leave them: without anything that was not flushed, or with some of it, by
sectors of 512 bytes and in any order. Deleting a file is believed at once; a file that was never flushed is not there.
What it does not model: a disk that says *flushed* and lies, and flushed sectors that rot.
"""

import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

import apsw

NAME = "pomeward-cut-disk"
SECTOR = 512


class Disk:
    """What is flushed of each file, and what is written and not flushed. `at_step` is called before every step."""

    def __init__(self) -> None:
        self.at_step: Callable[[], None] = lambda: None
        self._flushed: dict[str, bytearray] = {}
        self._unflushed: dict[str, list[tuple[int, bytes | None]]] = {}

    def wrote(self, name: str, place: int, data: bytes | None) -> None:
        """Data at a place; None cuts the file off there."""
        self._unflushed.setdefault(name, []).append((place, data))

    def flushed(self, name: str) -> None:
        """Everything written to a file so far will be there."""
        image = self._flushed.setdefault(name, bytearray())
        for place, data in self._unflushed.pop(name, []):
            _apply(image, place, data)

    def deleted(self, name: str) -> None:
        """A file is gone."""
        self._flushed.pop(name, None)
        self._unflushed.pop(name, None)

    def after_a_cut(self, folder: Path, chance: random.Random | None) -> None:
        """Write the files into a folder as the cut leaves them; with `chance`, some of what was not flushed, too."""
        for name, flushed in self._flushed.items():
            image = bytearray(flushed)
            if chance is not None:
                for place, data in self._unflushed.get(name, []):
                    _apply_some(image, place, data, chance)
            (folder / Path(name).name).write_bytes(image)


def _apply(image: bytearray, place: int, data: bytes | None) -> None:
    if data is None:
        del image[place:]
        return
    image.extend(bytes(max(0, place - len(image))))
    image[place : place + len(data)] = data


def _apply_some(image: bytearray, place: int, data: bytes | None, chance: random.Random) -> None:
    if data is None:
        return  # SQLite cuts off only what it does not need
    likely = chance.random()
    for start in range(0, len(data), SECTOR):
        if chance.random() < likely:
            _apply(image, place + start, data[start : start + SECTOR])


class _File(apsw.VFSFile):
    def __init__(self, disk: Disk, name: Any, flags: list[int]) -> None:
        super().__init__("", name, flags)
        self._disk = disk
        self._name = name.filename() if isinstance(name, apsw.URIFilename) else str(name)

    def xWrite(self, data: bytes, offset: int) -> None:
        self._disk.at_step()
        super().xWrite(data, offset)
        self._disk.wrote(self._name, offset, bytes(data))

    def xTruncate(self, newsize: int) -> None:
        self._disk.at_step()
        super().xTruncate(newsize)
        self._disk.wrote(self._name, newsize, None)

    def xSync(self, flags: int) -> None:
        self._disk.at_step()
        self._disk.flushed(self._name)


class CutDisk(apsw.VFS):
    """The disk under SQLite, by its name."""

    def __init__(self, disk: Disk) -> None:
        self._disk = disk
        super().__init__(NAME, "")

    def xOpen(self, name: Any, flags: list[int]) -> Any:
        return _File(self._disk, name, flags)

    def xDelete(self, filename: str, syncdir: bool) -> None:
        self._disk.at_step()
        super().xDelete(filename, syncdir)
        self._disk.deleted(filename)
