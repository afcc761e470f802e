"""What a screen may ask for: work on the phone's records, done elsewhere while the screen goes on. Names types only."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Protocol, TypeAlias, TypeVar

from mobile.storage.phone_store import PhoneStore

if TYPE_CHECKING:  # brings the HTTP client with it, which counting does not need
    from mobile.sync.engine import ExchangeOutcome
    from shared_models.protocol import ConnectReply

R = TypeVar("R")

# What a screen's functions call the phone's records, which it never opens itself.
Store: TypeAlias = PhoneStore
Work: TypeAlias = Callable[[Store], R]


class Sharing(Protocol):
    """What takes a network, and so its time: done on a thread of its own, beside the records."""

    @property
    def store(self) -> Store:
        """The phone's records."""

    def connect(self, url: str, code: str) -> "ConnectReply":
        """Make this phone a device of a group."""

    def share(self) -> "ExchangeOutcome":
        """Exchange with the group's server once."""


Errand: TypeAlias = Callable[[Sharing], R]
