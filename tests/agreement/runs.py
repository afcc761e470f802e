"""One run: steps drawn from a seed, then healing and the verdict. A run that fails is made as short as it can be."""

from __future__ import annotations

import random
import shutil
import tempfile
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from unittest.mock import patch

from sqlalchemy import StaticPool, create_engine

from mobile.storage import database as phone_database
from server.database.engine import Database, open_database
from tests.agreement.neighbours import PHONES, STEPS, Beginning, Neighbours
from tests.agreement.server_side import ServerSide
from tests.agreement.verdict import judge

MEMORY = Path("/dev/shm")  # where there is one, runs do not wait for a disk
Step = tuple[str, int, int]


@dataclass(frozen=True, slots=True)
class Story:
    """What a run does: a seed for the wire, and steps with a phone and a number each."""

    seed: int
    steps: tuple[Step, ...]

    def without(self, place: int) -> Story:
        """The same with one step less."""
        return Story(self.seed, self.steps[:place] + self.steps[place + 1 :])


def story(seed: int, length: int = 30, steps: Mapping[str, int] = STEPS) -> Story:
    """The story of a seed. Half of all stories are told by two phones, where more comes together."""
    chance = random.Random(seed)
    phones = chance.choice((2, PHONES))
    names = chance.choices(list(steps), list(steps.values()), k=length)
    return Story(seed, tuple((name, chance.randrange(phones), chance.randrange(60)) for name in names))


GroupOf = Callable[[Beginning, Path, int], Neighbours]


class Stage:
    """Where runs are played, one after another; `group_of` makes the group of each."""

    def __init__(self, database: Database, folder: Path, group_of: GroupOf = Neighbours) -> None:
        self._folder, self._group_of = folder, group_of
        self._beginning = Beginning(ServerSide(database), folder)

    def play(self, told: Story) -> None:
        """Play a story to its end; AssertionError where something does not hold, and any other error as it is."""

        def tell(group: Neighbours) -> None:
            for name, one, which in told.steps:
                getattr(group, name)(one, which)
            group.heal()
            judge(group)

        self.direct(tell, told.seed)

    def direct(self, tell: Callable[[Neighbours], None], seed: int = 0) -> None:
        """Let something happen to a group that has just begun."""
        folder = Path(tempfile.mkdtemp(dir=self._folder))
        try:
            group = self._group_of(self._beginning, folder, seed)
            try:
                tell(group)
            finally:
                group.close()
        finally:
            shutil.rmtree(folder)

    def shortened(self, told: Story) -> Story:
        """A story that still fails, with as few steps as leaving out one by one can reach."""
        place = len(told.steps)
        while place:
            place -= 1
            if self._fails(told.without(place)):
                told = told.without(place)
        return told

    def _fails(self, told: Story) -> bool:
        try:
            self.play(told)
        except Exception:
            return True
        return False


@contextmanager
def statements_put_into_words_once() -> Iterator[None]:
    """Every phone that opens would compile the same statements again; that is a third of a run and tests nothing."""
    first = create_engine("sqlite://", poolclass=StaticPool)
    first.connect().close()
    real = create_engine

    def like_the_first(*given: Any, **named: Any) -> Any:
        engine = real(*given, **named)
        engine.dialect, engine._compiled_cache = first.dialect, first._compiled_cache
        return engine

    with patch.object(phone_database, "create_engine", like_the_first):
        yield


@contextmanager
def stage(url: str | None = None) -> Iterator[Stage]:
    """A stage on a database of its own: the one of that address, else a SQLite file."""
    folder = Path(tempfile.mkdtemp(prefix="pomeward-", dir=MEMORY if MEMORY.is_dir() else None))
    database = open_database(url or f"sqlite:///{folder / 'server' / 'server.sqlite'}")
    try:
        with statements_put_into_words_once():
            yield Stage(database, folder)
    finally:
        database.close()
        shutil.rmtree(folder)
