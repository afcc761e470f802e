"""A group on a real server without HTTP, and links that lose, cut and refuse what passes through them."""

from collections.abc import Callable, Sequence
from pathlib import Path

from mobile.storage.phone_store import PhoneStore
from server.database.engine import Database, open_database
from server.services.connecting import Connecting
from server.services.exchange import Exchange
from shared_models.errors import NotReachableError, TooLargeError
from shared_models.protocol import ConnectReply, ConnectRequest, Hello, PullReply, PushReply, SyncServer
from shared_models.vocabulary import Role


class Group:
    """One group, its server's database, and a door for each phone."""

    def __init__(self, file: Path) -> None:
        self.file = file
        self.database: Database = open_database(f"sqlite:///{file}")
        self.connecting = Connecting(self.database, b"key of the tests")
        self.group = self.connecting.make_group("Hillside (invented)")

    def connect(self, store: PhoneStore, role: Role = Role.KEEPER) -> Exchange:
        """Make a phone a device of the group."""
        reply = self.welcome(store, role)
        store.membership.join("https://orchard.example", reply)
        return self.door(store)

    def welcome(self, store: PhoneStore, role: Role = Role.KEEPER) -> ConnectReply:
        """The server's part of connecting."""
        assert store.identity
        code = self.connecting.invite(self.group, role)
        request = ConnectRequest(
            code=code,
            device=store.identity.device,
            device_name="phone",
            person=store.identity.person,
            person_name="Keeper",
        )
        return self.connecting.connect(request)

    def door(self, store: PhoneStore) -> Exchange:
        """The exchange of a phone that is connected."""
        member = store.membership.current()
        assert member
        return Exchange(self.database, self.connecting.device_of(member.token))

    def reopen(self) -> None:
        """Stop the server and start it again on whatever its file is now."""
        self.database.close()
        self.database = open_database(f"sqlite:///{self.file}")
        self.connecting = Connecting(self.database, b"key of the tests")


class Link:
    """A link to a server that passes everything; the ones below do not."""

    def __init__(self, server: SyncServer) -> None:
        self.server = server
        self.pushed: list[int] = []

    def hello(self) -> Hello:
        """Pass it on."""
        return self.server.hello()

    def push(self, bodies: Sequence[str], epoch: str) -> PushReply:
        """Pass it on, noting how many."""
        self.pushed.append(len(bodies))
        return self.server.push(bodies, epoch)

    def pull(self, since: int, limit: int, epoch: str) -> PullReply:
        """Pass it on."""
        return self.server.pull(since, limit, epoch)


class ShortPages(Link):
    """Gives a few entries a page and breaks off after some pages."""

    def __init__(self, server: SyncServer, entries: int, pages: int = 10**6) -> None:
        super().__init__(server)
        self.entries, self.pages = entries, pages

    def pull(self, since: int, limit: int, epoch: str) -> PullReply:
        """At most so many entries."""
        if self.pages == 0:
            raise NotReachableError("The link broke off.")
        self.pages -= 1
        return super().pull(since, min(limit, self.entries), epoch)


class LosesAnswers(Link):
    """The server takes what is pushed, the answer gets lost."""

    def push(self, bodies: Sequence[str], epoch: str) -> PushReply:
        """Store, then say nothing."""
        super().push(bodies, epoch)
        raise NotReachableError("The answer was lost.")


class Narrow(Link):
    """Takes no more than so many bytes at once."""

    def __init__(self, server: SyncServer, most: int) -> None:
        super().__init__(server)
        self.most = most

    def push(self, bodies: Sequence[str], epoch: str) -> PushReply:
        """Pass on what fits."""
        if sum(len(body.encode()) for body in bodies) > self.most:
            self.pushed.append(len(bodies))
            raise TooLargeError("Too large.")
        return super().push(bodies, epoch)


class Changes(Link):
    """Lets a test change what comes back from a push."""

    def __init__(self, server: SyncServer, change: Callable[[PushReply], PushReply]) -> None:
        super().__init__(server)
        self.change = change

    def push(self, bodies: Sequence[str], epoch: str) -> PushReply:
        """The answer as the test wants it."""
        return self.change(super().push(bodies, epoch))
