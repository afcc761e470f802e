"""What phone and server say to each other: connect, push, pull. Messages and the SyncServer interface, no transport.

Under `/api/v1`, JSON, errors as problem details (RFC 9457); the group follows from the device's token, never from
the path or the body. Replies may grow fields; a reader ignores those it does not know. Every push and pull names the
epoch that the phone knows: where the server was put back since, it is another one (StartOverError, 409), and nothing
is stored.
"""

from collections.abc import Sequence
from enum import StrEnum
from typing import Any, Protocol

from pydantic import BaseModel, ConfigDict, Field

from shared_models.entries import Identifier
from shared_models.vocabulary import Role

PROTOCOL_VERSION = 1
MAX_PUSH_ENTRIES = 500
MAX_PUSH_BYTES = 512 * 1024  # what a phone sends at most
HARD_LIMIT_BYTES = 1024 * 1024  # what a server reads at most, counted while inflating
MAX_PULL_ENTRIES = 2000
API = "/api/v1"


class PushState(StrEnum):
    """The server's answer for one entry: stored, kept aside until mended, not allowed, or for a newer server."""

    SHARED = "shared"
    HELD_BACK = "held_back"
    REFUSED = "refused"
    LATER = "later"


class _Message(BaseModel):
    model_config = ConfigDict(frozen=True, defer_build=True, extra="ignore")


class PushResult(_Message):
    """The answer for the entry at `index` of the push; `field`, `code` and `detail` say why it was not stored."""

    index: int
    state: PushState
    id: str | None = None
    seq: int | None = None
    field: str | None = None
    code: str | None = None
    detail: str | None = None


class PushReply(_Message):
    """Answers in the order of the entries sent."""

    epoch: str
    server_time: str
    results: list[PushResult]


class PulledEntry(_Message):
    """An entry of the group with its dense number."""

    seq: int
    entry: dict[str, Any]


class PullReply(_Message):
    """The entries numbered `since` + 1 to `to`, without a hole; `max` is the newest number of the group.

    `digest` is that of the entries numbered 1 to `max` (`shared_models.digest`).
    """

    epoch: str
    server_time: str
    digest: str
    since: int
    to: int
    max: int
    items: list[PulledEntry]


class Hello(_Message):
    """Who answers, and its limits. `knows` is another text as soon as it can read other kinds or versions of records."""

    service: str
    server_time: str
    version: int
    knows: str = ""
    max_push_entries: int = MAX_PUSH_ENTRIES
    max_push_bytes: int = MAX_PUSH_BYTES


class ConnectRequest(_Message):
    """A one-time code, and the device and person that it is to be bound to, with names for people to read."""

    code: str = Field(min_length=8, max_length=40)
    device: Identifier
    device_name: str = Field(max_length=60)
    person: Identifier
    person_name: str = Field(max_length=60)


class ConnectReply(_Message):
    """The device's token (shown once), the group it now belongs to, and the epoch of its numbers."""

    token: str
    epoch: str
    group: str
    group_name: str
    role: Role


class SyncServer(Protocol):
    """The seam: the server's exchange service and the phone's HTTP client both are one."""

    def hello(self) -> Hello:
        """Say who you are."""

    def push(self, bodies: Sequence[str], epoch: str) -> PushReply:
        """Take entries (their canonical texts), oldest first; each gets an answer of its own."""

    def pull(self, since: int, limit: int, epoch: str) -> PullReply:
        """Give the entries after a number."""
