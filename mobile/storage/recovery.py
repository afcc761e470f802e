"""Opens the phone's file whatever happened to it: a damaged one is put aside and a new one filled from all that is left.

The new file is the union, by id, of what can still be read of the damaged one, of the newest copy that is whole, and of
the list of what was not shared. It is filled under another name and takes its place only when it is complete, so that a
phone that is stopped meanwhile begins again. The damaged file is kept under a name with the day; nothing is deleted.
"""

import os
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from mobile.storage import backups, facts
from mobile.storage.beside import Beside, remove, sync_folder
from mobile.storage.database import APPLICATION, Database, Line, was_left_open
from mobile.storage.facts import Fact
from mobile.storage.failures import DamagedError, damaged, not_ours, told_in_sentences
from mobile.storage.salvage import Found, FoundInFile, FoundInList, device_of, id_in
from mobile.storage.saved import Saved, note
from mobile.storage.taking_in import TakingIn, sound_facts
from mobile.storage.touch import TouchStatements
from shared_models.errors import StoreError

PATIENCE = 120  # [s] filling a file with years of records takes a while
_LOOKED_BACK = 10  # entries: what a lost journal took is the newest of all
_APPLICATION_AT = 68  # where an SQLite file names the program that it belongs to


def opened(file: Path, now: Callable[[], datetime]) -> Database:
    """The phone's file, open. StoreError where it cannot be used, or is no file of ours."""
    beside = Beside(file)
    try:
        database = _as_it_is(beside)
    except DamagedError as fault:
        if not _is_ours(beside):
            raise StoreError(not_ours(file)) from fault
        database = _put_in_order(beside, now)
    try:
        _catch_up(database, beside, now)
    except BaseException:
        database.close()
        raise
    return database


def _as_it_is(beside: Beside) -> Database:
    if beside.rescued.exists() or _is_gone(beside) or _journal_is_anothers(beside):
        raise DamagedError(damaged(beside.file))
    return Database(beside.file)


def _put_in_order(beside: Beside, now: Callable[[], datetime]) -> Database:
    """Go on where an earlier start was stopped, or begin; where another window was quicker, there is nothing to do."""
    with told_in_sentences(beside.file), _one_at_a_time(beside):
        if beside.rescued.exists():
            _put_in_place(beside, _name_aside(beside, now()))
        try:
            return _as_it_is(beside)
        except DamagedError:
            _rebuild(beside, now())
        return Database(beside.file)


@contextmanager
def _one_at_a_time(beside: Beside) -> Iterator[None]:
    """Wait while another window does the same; SQLite's locks are there on every system."""
    with closing(
        sqlite3.connect(beside.named("rescue-lock"), timeout=PATIENCE, isolation_level=None)
    ) as lock:
        lock.execute("BEGIN EXCLUSIVE")
        yield


def _is_gone(beside: Beside) -> bool:
    """Whether there is no file where there was one."""
    empty = not beside.file.exists() or not beside.file.stat().st_size
    return empty and (_has_traces(beside) or was_left_open(beside.file))


def _is_ours(beside: Beside) -> bool:
    if _has_traces(beside):
        return True
    with told_in_sentences(beside.file), beside.file.open("rb") as file:
        return file.read(_APPLICATION_AT + 4)[_APPLICATION_AT:] == APPLICATION.to_bytes(4, "big")


def _has_traces(beside: Beside) -> bool:
    return bool(beside.backups()) or FoundInList(beside).list.owner() is not None


def _journal_is_anothers(beside: Beside) -> bool:
    """Whether SQLite's journal came from another phone's file; it would overwrite this one."""
    if not was_left_open(beside.file):
        return False
    owner, device = FoundInList(beside).list.owner(), device_of(beside.file)
    return owner is not None and device is not None and owner.device != device


# ---------------------------------------------------------------- a new file
def _rebuild(beside: Beside, now: datetime) -> None:
    aside = _name_aside(beside, now)
    try:
        remove(beside.half_rescued)
        _fill(beside, Saved(now.isoformat(timespec="seconds"), kept_as=aside.name))
        os.replace(beside.half_rescued, beside.rescued)
        _put_in_place(beside, aside)
    except BaseException:
        remove(beside.half_rescued)
        raise


def _fill(beside: Beside, saved: Saved) -> None:
    found = _Sources(beside)
    database = Database(beside.half_rescued)
    try:
        with database.writing() as line:
            note(line.core, found.take_all(line, saved))
    finally:
        database.close()


def _put_in_place(beside: Beside, aside: Path) -> None:
    """Put the damaged file aside with what SQLite kept beside it, the file last, and the new one in its place."""
    for path in beside.with_journal():
        if path.exists():
            os.replace(path, aside.with_name(aside.name + path.name.removeprefix(beside.file.name)))
    os.replace(beside.rescued, beside.file)
    sync_folder(beside.file.parent)
    beside.suspect.unlink(missing_ok=True)


def _name_aside(beside: Beside, now: datetime) -> Path:
    day = beside.named(f"damaged-{now.date().isoformat()}")
    names = (day.with_name(f"{day.name}-{count}") if count > 1 else day for count in range(1, 10_000))
    return next(name for name in names if not name.exists())


# ---------------------------------------------------------------- a file that is older than it was
def _catch_up(database: Database, beside: Beside, now: Callable[[], datetime]) -> None:
    """Add what copy and list hold where the file has lost it: its journal was taken away, or an old copy put back."""
    unsent = FoundInList(beside).list
    newest = [entry_id for body in unsent.newest()[-_LOOKED_BACK:] if (entry_id := id_in(body))]
    with database.reading() as core:
        known = facts.identity(core)
        here = core.exec_driver_sql(_HERE.format(",".join("?" * len(newest))), (*newest,)).scalar_one()
    if here == len(set(newest)) and (known is not None or not _has_traces(beside)):
        return
    saved = Saved(now().isoformat(timespec="seconds"))
    with database.writing() as line:
        saved = _Sources(beside, with_file=False).take_all(line, saved)
        if saved.total:
            note(line.core, saved)


_HERE = "SELECT count(*) FROM entry WHERE group_id = 'own' AND id IN ({})"


# ---------------------------------------------------------------- what is left
class _Sources:
    """File, newest whole copy and list, taken in together."""

    def __init__(self, beside: Beside, with_file: bool = True) -> None:
        self._list = FoundInList(beside)
        self._owner = self._list.list.owner()
        self._copy = backups.newest_readable(beside)
        self._in_copy = FoundInFile(self._copy) if self._copy else None
        device = self._device()
        self._in_file = FoundInFile(beside.file, device) if with_file else None

    def take_all(self, line: Line, saved: Saved) -> Saved:
        """Take everything in; returns what came from where."""
        taking = TakingIn(line, TouchStatements(line.core))
        counts = [taking.entries(one.entries()) if one else 0 for one in self._all]
        for one in (self._in_file, self._in_copy):
            taking.aside(one.aside() if one else [])
        taking.facts(self._facts())
        taking.finish()
        altered = {entry_id for one in self._all if one for entry_id in one.altered}
        missing = sum(not taking.is_here(entry_id) for entry_id in altered)
        return replace(
            saved,
            from_file=counts[0],
            from_copy=counts[1],
            from_list=counts[2],
            altered=missing,
            copied_at=self._copied_at(saved) if counts[1] else None,
        )

    @property
    def _all(self) -> tuple[Found | None, Found | None, Found]:
        return self._in_file, self._in_copy, self._list

    def _device(self) -> str | None:
        if self._owner is not None:
            return self._owner.device
        return self._in_copy.facts().get(Fact.DEVICE) if self._in_copy else None

    def _facts(self) -> dict[Fact, str]:
        in_file = self._in_file.facts() if self._in_file else {}
        return sound_facts(self._owner, in_file, self._in_copy.facts() if self._in_copy else {})

    def _copied_at(self, saved: Saved) -> str | None:
        if self._copy is None:
            return None
        return backups.made_at(self._copy, datetime.fromisoformat(saved.at)).isoformat(timespec="seconds")
