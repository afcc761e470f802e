"""Short stories that each aim at one promise, for what random ones seldom meet or what another safeguard would mend."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import suppress
from functools import partial

from mobile.sync.engine import exchange
from shared_models.errors import StartOverError, StoreError
from tests.agreement.neighbours import Neighbours
from tests.agreement.runs import Stage, Story
from tests.agreement.verdict import judge

Directed = Callable[[Neighbours], None]

# An entry whose author's phone is gone comes back from a neighbour's; so does the name that was given last.
SUPPLIED_AGAIN = Story(
    0,
    (
        ("copy_server", 0, 0),
        ("copy_phone", 0, 0),
        ("mark", 0, 0),
        ("rename", 0, 0),
        ("meet", 0, 0),
        ("meet", 1, 0),
        ("put_server_back", 0, 0),
        ("put_phone_back", 0, 0),
    ),
)
# The phone with the fast clock names the tree, the slow one sees it and names it anew.
SEEN_AND_REPLACED = Story(
    0,
    (
        ("rename", 2, 0),
        ("meet", 2, 0),
        ("meet", 1, 0),
        ("rename", 1, 1),
        ("meet", 1, 0),
        ("meet", 0, 0),
        ("rename", 0, 2),
    ),
)
STORIES = (SUPPLIED_AGAIN, SEEN_AND_REPLACED)


def a_page_that_breaks_off_leaves_the_cursor(group: Neighbours) -> None:
    """Wherever a phone stops in a page: what its cursor has passed is there."""
    reader, writer = group.phones[1], group.phones[0]
    group.mark(0, 0)
    group.meet(0, 0)
    for steps in range(0, 400, 7):
        left = iter(range(steps))
        reader.store._database._writer.driver.set_progress_handler(partial(_is_over, left), 10)
        with suppress(StoreError):
            exchange(reader.store, group.server.door(reader.store))
        reader.store._database._writer.driver.set_progress_handler(None, 0)
        passed = group.server.door(writer.store).pull(0, reader.store.incoming.cursor() or 1).items
        here = {entry.id for entry in reader.store.history(1000)}
        if reader.store.incoming.cursor():
            assert {item.entry["id"] for item in passed} <= here, "the cursor has passed what is not there"


def a_difference_is_noticed(group: Neighbours) -> None:
    """An entry that vanished from a phone, which nothing but the comparison can tell, is fetched again."""
    store = group.phones[0].store
    for _ in range(3):
        group.mark(0, 0)
    group.meet(0, 0)
    with store._database.writing() as line:
        line.driver.execute("DELETE FROM entry WHERE seq = (SELECT max(seq) - 2 FROM entry)")
    store.looking.look_through()
    group.heal()
    judge(group)


def whoever_knows_the_numbers_of_before_is_told(group: Neighbours) -> None:
    """After the server was put back, the first thing that a phone hears is that it was."""
    store = group.phones[0].store
    epoch = store.incoming.epoch()
    group.put_server_back(0, 0)
    door = group.server.door(store)
    asked: tuple[Callable[[], object], ...] = (lambda: door.pull(1, 10, epoch), lambda: door.push([], epoch))
    for ask in asked:
        try:
            ask()
        except StartOverError:
            continue
        raise AssertionError("whoever knows the numbers of before is not told")
    group.heal()
    judge(group)


def what_was_sent_before_is_not_stored_after(group: Neighbours) -> None:
    """A push that was under way when the server was put back arrives too late, and is not taken."""
    group.mark(0, 0)
    store = group.phones[0].store
    bodies = [one.body for one in store.outgoing.oldest(10, 10**6)]
    epoch, before = store.incoming.epoch(), group.server.entries()
    group.put_server_back(0, 0)
    with suppress(StartOverError):
        group.server.door(store).push(bodies, epoch)
    assert group.server.entries() == before, "a push of before was stored"
    group.heal()
    judge(group)


DIRECTED: tuple[Directed, ...] = (
    a_page_that_breaks_off_leaves_the_cursor,
    a_difference_is_noticed,
    whoever_knows_the_numbers_of_before_is_told,
    what_was_sent_before_is_not_stored_after,
)


def _is_over(left: Iterator[int]) -> bool:
    return next(left, None) is None


def all_directed(stage: Stage) -> None:
    """All of them, one after another."""
    for told in STORIES:
        stage.play(told)
    for directed in DIRECTED:
        stage.direct(directed)
