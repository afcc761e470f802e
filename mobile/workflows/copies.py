"""Copies of what is on this phone: what would be lost with it, a copy made and tried out. Knows no window.

Offers `CopiesView`, `copies_view`, `CopyMade`, `make_copy`, `never_of_the_invented`. "Only what was tried out is good":
the copy is taken in by an empty phone in a folder of its own, and what it gives back is compared.
"""

import shutil
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from mobile.storage.copies import LastCopy, OnlyHere
from mobile.storage.copy_snapshot import Snapshot
from mobile.storage.phone_store import PhoneStore
from mobile.workflows.copies_in import taken_in_words
from mobile.workflows.invented import is_invented
from mobile.workflows.people import name_of
from mobile.workflows.season import season_choice
from mobile.workflows.spoken_moments import day_with_year
from shared_models.errors import BadInputError, PomewardError, StoreError
from shared_models.language import say, say_many
from shared_models.reports import SeasonReport, season_report

_TRYING_OUT = "trying-out-"


@dataclass(frozen=True, slots=True)
class CopiesView:
    """Whole sentences: what would be lost with this phone, the last copy, and what came of the last one taken in."""

    lost: str
    last: str
    taken: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CopyMade:
    """A copy, in words; `good` where it was tried out."""

    file: str
    sentence: str
    good: bool


def copies_view(store: PhoneStore) -> CopiesView:
    """How it stands now. BadInputError in the invented seasons."""
    never_of_the_invented(store)
    last, taken = store.copies.last(), store.copies.taken()
    return CopiesView(
        lost=_lost(store.copies.only_here(), last),
        last=_last(store, last),
        taken=tuple(taken_in_words(store, taken)) if taken else (),
    )


def make_copy(store: PhoneStore, folder: str) -> CopyMade:
    """Write a copy into a folder and try it out; takes seconds where there is much, and nobody has to wait for it.

    BadInputError without a folder, StoreError where it cannot be written; then there is no copy.
    """
    never_of_the_invented(store)
    if not folder.strip():
        raise BadInputError(say("Say into which folder the copy goes."), "folder")
    season = season_choice(store).season
    with store.copies.moment() as moment:
        written = store.copies.write(moment, Path(folder.strip()).expanduser(), _whose(store), store.now())
        try:
            _try_out(store, moment, written, season)
        except StoreError as error:  # of the trial alone, such as no room for it
            store.copies.note(written)
            return CopyMade(written.file, _not_tried(written, error), False)
        except _NotTheSame as error:
            with suppress(OSError):
                Path(written.file).unlink()
            raise StoreError(_no_good()) from error
        damaged = len(moment.damaged)
    store.copies.note(replace(written, tried=not damaged))
    sentence = _in_part(written, damaged) if damaged else _good(written)
    return CopyMade(written.file, sentence, not damaged)


def never_of_the_invented(store: PhoneStore) -> None:
    """BadInputError where the invented seasons are open: nothing of them leaves, and nothing real comes in."""
    if is_invented(store):
        raise BadInputError(
            say(
                "These seasons are invented; no copies are made of them. Leave them first, with the top line."
            )
        )


# ---------------------------------------------------------------- trying out
class _NotTheSame(Exception):
    """What the copy gives back is not what it was made of."""


def _try_out(store: PhoneStore, moment: Snapshot, written: LastCopy, season: str | None) -> None:
    """Take the copy in on an empty phone and compare entries and newest season."""
    folder = store.copies.folder
    for left in folder.glob(f"{_TRYING_OUT}*"):  # of a trial that was killed
        shutil.rmtree(left, ignore_errors=True)
    with TemporaryDirectory(prefix=_TRYING_OUT, dir=folder, ignore_cleanup_errors=True) as apart:
        empty = PhoneStore(Path(apart) / "phone.db", store.clock)
        try:
            _compare(moment, empty, written, season)
        finally:
            empty.close()


def _compare(moment: Snapshot, empty: PhoneStore, written: LastCopy, season: str | None) -> None:
    try:
        empty.copies.take(Path(written.file))
    except BadInputError as error:
        raise _NotTheSame from error
    empty.copies.keep_out(moment.kept_out())
    with empty.copies.moment() as restored:
        if restored.fingerprint() != moment.fingerprint():
            raise _NotTheSame
        if season and not moment.damaged and _report(restored, season) != _report(moment, season):
            raise _NotTheSame


def _report(moment: Snapshot, season: str) -> SeasonReport:
    return season_report(moment.season(season))


# ---------------------------------------------------------------- words
def _whose(store: PhoneStore) -> str:
    member = store.membership.current()
    if member is not None:
        return member.group_name
    return name_of(store, store.identity.person) if store.identity else ""


def _records(count: int) -> str:
    return say_many("{count} record", "{count} records", count)


def _good(copy: LastCopy) -> str:
    return say(
        "The copy is good: {records}, tried out. {where} Keep it somewhere else than on this phone.",
        records=_records(copy.entries),
        where=_where(copy),
    )


def _where(copy: LastCopy) -> str:
    file = Path(copy.file)
    return say("It is the file “{name}” in the folder “{folder}”.", name=file.name, folder=file.parent.name)


def _in_part(copy: LastCopy, damaged: int) -> str:
    """Of a phone whose storage has lost texts: what is whole is in the copy, and the person has to know of the rest."""
    lost = say_many(
        "{count} record on this phone is damaged and not in it",
        "{count} records on this phone are damaged and not in it",
        damaged,
    )
    return say(
        "A copy of {records} was made. {lost}: take in an older copy, or share with your group, to have that again. "
        "{where} This phone’s storage may be failing.",
        records=_records(copy.entries),
        lost=lost,
        where=_where(copy),
    )


def _not_tried(copy: LastCopy, error: PomewardError) -> str:
    return say(
        "A copy of {records} was written, but not tried out. {where} Keep it, and make another one later. {why}",
        records=_records(copy.entries),
        where=_where(copy),
        why=error,
    )


def _no_good() -> str:
    return say(
        "The copy did not give back what is on this phone, so it was thrown away. Everything on the phone is kept; "
        "make another one, into another folder."
    )


def _lost(only_here: OnlyHere, last: LastCopy | None) -> str:
    if not only_here.unshared:
        return say("Nothing would be lost with this phone: all of it is shared.")
    if not only_here.in_no_copy:
        return say("Nothing would be lost with this phone as long as the last copy lies elsewhere.")
    if last is None:
        return say_many(
            "If this phone were lost now, {count} record would be lost with it.",
            "If this phone were lost now, {count} records would be lost with it.",
            only_here.in_no_copy,
        )
    return say_many(
        "If this phone were lost now, {count} record that is not in the last copy would be lost with it.",
        "If this phone were lost now, {count} records that are not in the last copy would be lost with it.",
        only_here.in_no_copy,
    )


def _last(store: PhoneStore, last: LastCopy | None) -> str:
    if last is None:
        return say("No copy was made on this phone yet.")
    made = datetime.fromisoformat(last.made).astimezone(store.now().tzinfo)
    return say(
        "Last copy: {day} at {time}, {records}, {tried}. {where}",
        day=day_with_year(made.date()),
        time=f"{made:%H:%M}",
        records=_records(last.entries),
        tried=say("tried out and good") if last.tried else say("not tried out"),
        where=_where(last),
    )
