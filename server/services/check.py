"""The check of a group's data, in sentences: what was looked at, and whether it is as it should be."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby

from server.database.checking import LogLook, StateLook, compare_state, look_through_log
from server.database.engine import Database
from server.database.members import Group
from shared_models.language import say, say_many

MOST_NAMED = 20


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that was looked at."""

    sentence: str
    well: bool


def check(database: Database, group: Group) -> list[Finding]:
    """Look the log and the state of a group through; nothing is changed."""
    with database.snapshot() as connection:
        log = look_through_log(connection, group.id)
    with database.writing() as connection:
        state = compare_state(connection, group.id)
    return [_numbers(log), _contents(log), _sum(log), _state(state), *_unfolded(state)]


def _numbers(log: LogLook) -> Finding:
    count = say_many("{count} entry", "{count} entries", log.entries)
    if log.missing:
        missing = ", ".join(_ranges(log.missing))
        return Finding(
            say("{count}; these numbers are missing: {missing}.", count=count, missing=missing), False
        )
    if log.beyond:
        beyond = ", ".join(_ranges(log.beyond))
        return Finding(
            say(
                "{count}; these numbers are above the newest, {newest}: {beyond}.",
                count=count,
                newest=log.newest,
                beyond=beyond,
            ),
            False,
        )
    if not log.entries:
        return Finding(say("There are no entries yet."), True)
    return Finding(
        say("{count}, numbered 1 to {newest} without a gap.", count=count, newest=log.newest), True
    )


def _contents(log: LogLook) -> Finding:
    if log.changed:
        return Finding(
            say("Changed since they were taken in: {entries}.", entries=_named(log.changed)), False
        )
    return Finding(say("Each entry is as it was taken in."), True)


def _sum(log: LogLook) -> Finding:
    if log.digest_is_right:
        return Finding(say("The checksum of all entries is the one that was kept."), True)
    return Finding(
        say("The checksum of all entries is another than was kept: some are missing, changed or too many."),
        False,
    )


def _state(state: StateLook) -> Finding:
    if state.otherwise:
        return Finding(
            say(
                "These records stand otherwise than they follow from the entries: {records}. The command rebuild "
                "mends that.",
                records=_named(state.otherwise),
            ),
            False,
        )
    count = say_many("{count} record", "{count} records", state.records)
    return Finding(say("{count}, all as they follow from the entries.", count=count), True)


def _unfolded(state: StateLook) -> Iterator[Finding]:
    if state.unfolded:
        yield Finding(
            say("Kept, but not understood by this server: {records}.", records=_named(state.unfolded)), True
        )


def _named(ids: tuple[str, ...]) -> str:
    named = ", ".join(ids[:MOST_NAMED])
    more = len(ids) - MOST_NAMED
    return say("{named} and {count} more", named=named, count=more) if more > 0 else named


def _ranges(numbers: Iterable[int]) -> list[str]:
    """Numbers in order, those that follow each other put together; the first few.

    >>> _ranges([3, 4, 5, 9])
    ['3–5', '9']
    """
    runs = [
        [number for _, number in run] for _, run in groupby(enumerate(numbers), lambda one: one[1] - one[0])
    ]
    return [f"{run[0]}–{run[-1]}" if len(run) > 1 else str(run[0]) for run in runs[:MOST_NAMED]]
