"""Which group this phone's file belongs to, and how its server is reached. Knows no network.

"One file, one group": records of two groups are never mixed, so a file that belongs to one refuses another.
"""

import hashlib
from dataclasses import dataclass

from mobile.storage import facts
from mobile.storage.database import Database
from mobile.storage.facts import Fact
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.protocol import ConnectReply
from shared_models.vocabulary import Role


@dataclass(frozen=True, slots=True)
class Member:
    """The phone as a device of a group: the server's address, the group, what it may do, and its token.

    `pin` is what the server's own key is told by; empty where the server has an ordinary certificate.
    """

    server: str
    group: str
    group_name: str
    role: Role
    token: str
    pin: str = ""


class Membership:
    """The tie between this phone's file and a group."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def current(self) -> Member | None:
        """The group that this phone shares with; None while it is alone."""
        with self._database.reading() as core:
            found = [facts.read(core, fact) for fact in _MEMBER]
        server, group, name, role, token, pin = found
        if not (server and group and role and token):
            return None
        return Member(server, group, name or "", Role(role), token, pin or "")

    def group_left(self) -> str | None:
        """The name of the group that the records belong to while this phone has no token: a copy was put back."""
        with self._database.reading() as core:
            group, name, token = (
                facts.read(core, fact) for fact in (Fact.GROUP, Fact.GROUP_NAME, Fact.TOKEN)
            )
        return name or "" if group and not token else None

    def join(self, server: str, reply: ConnectReply, pin: str = "") -> None:
        """Bind the file to a group, or renew its token, address and pin; BadInputError where it belongs to another."""
        with self._database.writing() as line:
            bound = facts.read(line.core, Fact.GROUP)
            if bound is not None and bound != reply.group:
                raise BadInputError(
                    say(
                        "The records on this phone belong to the group “{own}” and are not mixed with those of "
                        "“{other}”. They are kept as they are; use a new data folder for the other group.",
                        own=facts.read(line.core, Fact.GROUP_NAME),
                        other=reply.group_name,
                    )
                )
            values = (server, reply.group, reply.group_name, reply.role.value, reply.token, pin)
            facts.note(line.core, dict(zip(_MEMBER, values, strict=True)))
            # One that is known stays: the next exchange finds out whether the numbers here are of another.
            if facts.read(line.core, Fact.EPOCH) is None:
                facts.note(line.core, {Fact.EPOCH: reply.epoch})

    def note_exchange(self, moment: str) -> None:
        """Remember when phone and server last understood each other to the end."""
        with self._database.writing() as line:
            facts.note(line.core, {Fact.EXCHANGED_AT: moment})

    def fingerprint(self) -> str:
        """Tells one token from another without being one; empty while the phone is alone."""
        member = self.current()
        return hashlib.sha256(member.token.encode()).hexdigest()[:16] if member else ""


_MEMBER = (Fact.SERVER, Fact.GROUP, Fact.GROUP_NAME, Fact.ROLE, Fact.TOKEN, Fact.PIN)
