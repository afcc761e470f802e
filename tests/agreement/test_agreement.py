"""Random histories of three phones and a server: nothing lost, nothing doubled, everybody the same in the end.

`python -m tests.agreement` plays as many as one likes.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.agreement.runs import Stage

pytestmark = pytest.mark.needs_server

RUNS = int(os.environ.get("POMEWARD_HISTORIES", "300"))
PARTS = 6
OF_TEN_ON_POSTGRESQL = 3
LIVES_THROUGH = 60  # random runs that a mutant may survive before a directed story has to catch it


@pytest.fixture(scope="module")
def stage() -> Iterator[Stage]:
    """Phones and a server on SQLite."""
    from tests.agreement.runs import stage

    with stage() as made:
        yield made


@pytest.fixture
def on_postgresql(postgres) -> Iterator[Stage]:
    """Phones and a server on PostgreSQL."""
    from tests.agreement.runs import stage

    with stage(postgres.new_database()) as made:
        yield made


@pytest.mark.timeout(600)
@pytest.mark.parametrize("part", range(PARTS))
def test_phones_and_server_agree_whatever_happened(stage: Stage, part: int) -> None:
    from tests.agreement.runs import story

    for seed in range(part, RUNS * (10 - OF_TEN_ON_POSTGRESQL) // 10, PARTS):
        stage.play(story(seed))


@pytest.mark.needs_postgres
@pytest.mark.timeout(600)
@pytest.mark.parametrize("part", range(PARTS // 2))
def test_with_postgresql_too(on_postgresql: Stage, part: int) -> None:
    from tests.agreement.runs import story

    for seed in range(part, RUNS * OF_TEN_ON_POSTGRESQL // 10, PARTS // 2):
        on_postgresql.play(story(10_000_000 + seed))


def test_directed_stories(stage: Stage) -> None:
    from tests.agreement.directed import all_directed

    all_directed(stage)


@pytest.mark.needs_postgres
def test_directed_stories_with_postgresql(on_postgresql: Stage) -> None:
    from tests.agreement.directed import all_directed

    all_directed(on_postgresql)


MUTANTS = (
    "batch_fails_as_a_whole",
    "server_takes_twice",
    "phone_takes_twice",
    "cursor_moves_before_the_data",
    "nothing_is_compared",
    "epoch_stays_when_put_back",
    "stale_push_is_accepted",
    "stamps_are_not_received",
    "only_own_entries_are_supplied_again",
    "hash_leaves_out_the_stamp",
    "held_back_is_folded",
    "answers_are_not_matched",
    "page_changes_nothing_that_is_here",
    "start_over_keeps_the_cursor",
)


def test_every_mutant_has_its_test() -> None:
    from tests.agreement import mutants

    assert tuple(one.__name__ for one in mutants.MUTANTS) == MUTANTS


@pytest.mark.timeout(300)
@pytest.mark.parametrize("name", MUTANTS)
def test_a_program_that_breaks_a_promise_is_found_out(name: str) -> None:
    from tests.agreement import mutants
    from tests.agreement.directed import all_directed
    from tests.agreement.runs import stage, story

    with stage() as fresh, getattr(mutants, name)(), pytest.raises(Exception):  # noqa: B017
        all_directed(fresh)
        for seed in range(LIVES_THROUGH):
            fresh.play(story(seed))
