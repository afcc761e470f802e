"""Fetch the group's entries page by page, from this phone's cursor on. Knows no transport and no records.

Each page begins with the last entry of the one before: where that is another entry now, the server was put back
to an earlier state and has given its numbers anew.
"""

from mobile.storage.numbering import NumbersChangedError
from mobile.storage.phone_store import PhoneStore
from shared_models.errors import BadInputError, NotReachableError
from shared_models.language import say
from shared_models.protocol import PullReply, SyncServer

PAGE = 1000


def pull(store: PhoneStore, server: SyncServer) -> int:
    """Fetch until everything is here; returns how many entries were new. What was taken stays if it breaks off."""
    new = 0
    while True:
        cursor = store.incoming.cursor()
        page = _next_page(cursor, server)
        new += store.incoming.take(page).new
        if page.to >= page.max:
            return new
        if page.to <= cursor:
            raise NotReachableError(
                say("The server's answer was incomplete. Everything here is kept; try again later.")
            )


def _next_page(cursor: int, server: SyncServer) -> PullReply:
    try:
        return server.pull(max(cursor - 1, 0), PAGE)
    except BadInputError as error:
        if cursor == 0:
            raise
        # All that can be wrong with a pull is its cursor: this server has fewer entries than it once gave.
        raise NumbersChangedError from error
