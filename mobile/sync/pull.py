"""Fetch the group's entries page by page, from this phone's cursor on. Knows no transport and no records."""

from mobile.storage.phone_store import PhoneStore
from shared_models.errors import NotReachableError
from shared_models.language import say
from shared_models.protocol import SyncServer

PAGE = 1000


def pull(store: PhoneStore, server: SyncServer) -> int:
    """Fetch until everything is here; returns how many entries were new. What was taken stays if it breaks off."""
    new = 0
    while True:
        page = server.pull(store.incoming.cursor(), PAGE)
        new += store.incoming.take(page).new
        if page.to >= page.max:
            return new
        if not page.items:
            raise NotReachableError(
                say("The server's answer was incomplete. Everything here is kept; try again later.")
            )
