"""Connects the parts of the phone, here and nowhere else. Opens nothing at import."""

import logging
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from mobile.settings import Settings
from mobile.storage.phone_store import PhoneStore
from mobile.workflows.invented import invented_clock, is_invented, make_invented
from shared_models.errors import BadInputError
from shared_models.language import say

if TYPE_CHECKING:  # brings the HTTP client with it, which a start need not wait for
    from mobile.sync.engine import ExchangeOutcome
    from shared_models.protocol import ConnectReply


@dataclass(frozen=True, slots=True)
class Phone:
    """The phone with everything in its place."""

    settings: Settings
    store: PhoneStore

    def connect(self, url: str, code: str) -> "ConnectReply":
        """Make this phone a device of a group; never one that holds the invented seasons."""
        from mobile.sync.connect import connect

        if is_invented(self.store):
            raise BadInputError(
                say("These seasons are invented and are never shared. Leave them first, then connect.")
            )
        return connect(url, code, self.store, self.settings.device_name)

    def share(self) -> "ExchangeOutcome":
        """Exchange with the group's server once."""
        from mobile.sync.engine import exchange
        from mobile.sync.remote_server import RemoteServer

        member = self.store.membership.current()
        if member is None:
            raise BadInputError(
                say(
                    "This phone is not connected to a group; everything is kept on it. Connect it with a code."
                )
            )
        with RemoteServer(member.server, member.token, pin=member.pin) as server:
            outcome = exchange(self.store, server)
        self.store.safe_keeping.keep_safe()
        return outcome


@contextmanager
def invented(settings: Settings) -> Iterator[Phone]:
    """The invented seasons in a folder of their own beside the real records, made where they are not there yet."""
    apart = replace(settings, data=settings.data / "invented")
    with _opened(apart) as phone:
        make_invented(phone.store)
        phone.store.clock = invented_clock()
        yield phone


@contextmanager
def started(settings: Settings) -> Iterator[Phone]:
    """The phone, open until the block ends; StoreError where its folder or file cannot be used."""
    with _opened(settings) as phone:
        try:
            yield phone
        finally:
            phone.store.safe_keeping.keep_safe()


@contextmanager
def _opened(settings: Settings) -> Iterator[Phone]:
    for library in ("httpx", "httpcore"):  # a window toolkit may have switched every library to talking
        logging.getLogger(library).setLevel(logging.WARNING)
    settings.make_folder()
    store = PhoneStore(settings.file)
    try:
        yield Phone(settings, store)
    finally:
        store.close()
