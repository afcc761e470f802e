"""Fetch the group's entries page by page, from this phone's cursor on. Knows no transport and no records.

Each page begins with the last entry of the one before: where that is another entry now, the server was put back
to an earlier state without saying so, and has given its numbers anew. When the last page is here, both sides compare
the digest of all that they hold.
"""

from mobile.storage.incoming import PageFate
from mobile.storage.numbering import NumbersChangedError
from mobile.storage.phone_store import PhoneStore
from shared_models.errors import NotReachableError, PomewardError
from shared_models.language import say
from shared_models.protocol import PullReply, SyncServer

PAGE = 1000


class DifferenceError(PomewardError):
    """All pages are here, and still phone and server do not hold the same; `stands` says where the server stood."""

    def __init__(self, stands: str) -> None:
        super().__init__(
            say(
                "This phone and the group’s server do not hold the same records. Everything on this phone is kept. "
                "Tell the coordinator: the server’s own check says what is wrong."
            )
        )
        self.stands = stands


def _compare(store: PhoneStore, last: PullReply) -> None:
    """Whether the two hold the same; NumbersChangedError where an answer is older than what this phone knows."""
    if store.incoming.greatest_number() > last.max:
        raise NumbersChangedError  # the server was put back, or some box between answered in its place
    if not store.incoming.agrees_with(last):
        raise DifferenceError(f"{last.max} {last.digest}")


def pull(store: PhoneStore, server: SyncServer) -> int:
    """Fetch until everything is here; returns how many entries were new. What was taken stays if it breaks off."""
    new = 0
    while True:
        cursor = store.incoming.cursor()
        page = server.pull(max(cursor - 1, 0), PAGE, store.incoming.epoch())
        taken = store.incoming.take(page)
        new += taken.new
        if page.to >= page.max and taken.fate is PageFate.TAKEN:
            _compare(store, page)
            return new
        if page.to <= cursor or taken.fate is PageFate.DROPPED:
            raise NotReachableError(
                say("The server's answer was incomplete. Everything here is kept; try again later.")
            )
