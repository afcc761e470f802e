"""Groups, one-time codes, devices and their tokens. A phone and a browser are both devices; there is no password.

A code is 13 Crockford base32 characters: 65 bits, good once and for ten minutes at most, kept as a keyed hash with
the key outside the database. A token is 256 bits, kept as its SHA-256. Both are shown once.
"""

import hashlib
import hmac
import secrets
from dataclasses import dataclass, replace
from datetime import timedelta
from pathlib import Path

from pydantic import ValidationError

from server.database import members
from server.database.engine import Database
from server.database.entries import counter_of
from server.database.members import Device, Group, Invitation
from server.services import audit
from server.services.audit import Deed, Refusals
from server.services.failures import NotConnectedError, UnknownGroupError
from server.services.moments import now_utc
from server.services.plain_text import plain
from server.services.private_files import put_once
from shared_models.connecting_text import CODE_LENGTH, CODE_LETTERS, plain_letters
from shared_models.errors import BadInputError, NotAllowedError
from shared_models.identifiers import new_id
from shared_models.language import say
from shared_models.protocol import ConnectReply, ConnectRequest
from shared_models.vocabulary import Role

MOST_MINUTES = 10
SEEN_EVERY = timedelta(minutes=5)  # so that reading does not write each time


@dataclass(frozen=True, slots=True)
class Welcome:
    """What an open code leads to, for showing before it is used."""

    group_name: str
    role: Role


class Connecting:
    """Who belongs to which group on this server."""

    def __init__(self, database: Database, key: bytes) -> None:
        self._database = database
        self._key = key
        self._refusals = Refusals(database)

    # -- groups
    def make_group(self, name: str) -> Group:
        """Make a group; BadInputError where the name is empty, too long or taken."""
        group = Group(_short_id(), _checked_name(name))
        with self._database.writing() as connection:
            if members.group_called(connection, group.name):
                raise BadInputError(say("There is a group called “{name}” already.", name=group.name), "name")
            members.add_group(connection, group, now_utc())
        return group

    def groups(self) -> list[Group]:
        """All groups of this server."""
        with self._database.reading() as connection:
            return members.groups(connection)

    def group(self, name_or_id: str) -> Group:
        """The group of that name or id; UnknownGroupError where there is none."""
        with self._database.reading() as connection:
            found = members.group_called(connection, name_or_id)
        if found is None:
            raise UnknownGroupError(
                say("There is no group “{name}” on this server.", name=name_or_id[:60]), "group"
            )
        return found

    # -- one-time codes
    def invite(self, group: Group, role: Role, minutes: int = MOST_MINUTES) -> str:
        """A new one-time code for that group and role, written for people to read."""
        if not 1 <= minutes <= MOST_MINUTES:
            raise BadInputError(say("A code is good for 1 to {most} minutes.", most=MOST_MINUTES), "minutes")
        code = "".join(secrets.choice(CODE_LETTERS) for _ in range(CODE_LENGTH))
        with self._database.writing() as connection:
            members.add_invitation(
                connection,
                self._hash_of_code(code),
                Invitation(group.id, role),
                now_utc(),
                now_utc(timedelta(minutes=minutes)),
            )
        return f"{code[:4]}-{code[4:8]}-{code[8:]}"

    def welcome(self, code: str) -> Welcome:
        """What a code leads to while it can be used; uses nothing."""
        with self._database.reading() as connection:
            invitation = members.open_invitation(connection, self._hash_of_code(code), now_utc())
            group = members.group_called(connection, invitation.group) if invitation else None
        if invitation is None or group is None:
            raise _no_such_code()
        return Welcome(group.name, invitation.role)

    def connect(self, request: ConnectRequest, where: str = "") -> ConnectReply:
        """Trade a code for a device's token. Code and device change in one transaction, so a code makes one device.

        `where` is the address that asks, for the audit.
        """
        try:
            return self._connect(request, where)
        except NotAllowedError:
            self._refusals.note(where)
            raise

    def _connect(self, request: ConnectRequest, where: str) -> ConnectReply:
        token = secrets.token_urlsafe(32)
        with self._database.writing() as connection:
            invitation = members.use_invitation(connection, self._hash_of_code(request.code), now_utc())
            group = members.group_called(connection, invitation.group) if invitation else None
            if invitation is None or group is None:
                raise _no_such_code()
            device = _new_device(invitation, request)
            members.add_device(connection, device, _hash_of_token(token))
            about = say("{role}, from {where}", role=device.role.value, where=where or "?")
            audit.note(connection, Deed.CONNECTED, group.id, audit.named(device), about)
            epoch = counter_of(connection, group.id).epoch
        names = {"group": group.id, "group_name": group.name}
        return ConnectReply(token=token, epoch=epoch, role=invitation.role, **names)

    def connect_browser(self, code: str, name: str, where: str = "") -> str:
        """Trade a code for the token of a browser, which brings no ids of its own; an empty name is no hindrance."""
        called = name.strip()[:60] or say("a browser")
        made = {"device": new_id(), "person": new_id(), "device_name": say("browser"), "person_name": called}
        try:
            request = ConnectRequest(code=code.strip(), **made)
        except ValidationError:
            self._refusals.note(where)
            raise _no_such_code() from None
        return self.connect(request, where).token

    # -- devices
    def device_of(self, token: str) -> Device:
        """The device that holds a token; NotConnectedError where it is unknown or was taken back."""
        with self._database.reading() as connection:
            device = members.device_of_token(connection, _hash_of_token(token)) if token else None
        if device is None:
            raise not_connected()
        return self._seen(device)

    def devices(self, group: Group) -> list[Device]:
        """All devices of a group, disconnected ones too."""
        with self._database.reading() as connection:
            return members.devices(connection, group.id)

    def revoke(self, group: Group, device_id: str, who: str) -> Device:
        """Disconnect a device, at once; `who` does it, for the audit. BadInputError where the group has none connected of that id."""
        with self._database.writing() as connection:
            found = next((one for one in members.devices(connection, group.id) if one.id == device_id), None)
            if found is None or not members.revoke(connection, group.id, device_id, now_utc()):
                raise BadInputError(
                    say("The group has no connected device “{device}”.", device=device_id[:60]), "device"
                )
            audit.note(connection, Deed.DISCONNECTED, group.id, who, audit.named(found))
        return found

    def _seen(self, device: Device) -> Device:
        now = now_utc()
        if device.last_seen is not None and device.last_seen > now_utc(-SEEN_EVERY):
            return device
        with self._database.writing() as connection:
            members.note_seen(connection, device, now)
        return replace(device, last_seen=now)

    def _hash_of_code(self, code: str) -> str:
        return hmac.new(self._key, plain_letters(code).encode(), hashlib.sha256).hexdigest()


def key_in(file: Path) -> bytes:
    """The server's key for codes: read from its file, or made there at the first start, for this user's eyes only."""
    if not file.exists():
        put_once(file, secrets.token_bytes(32))
    return file.read_bytes()


def _hash_of_token(token: str) -> str:
    """A plain hash is enough for 256 bits of chance."""
    return hashlib.sha256(token.encode()).hexdigest()


def _short_id() -> str:
    """An id that is made here alone: 60 bits of chance, short since it stands in every row and on command lines."""
    return "".join(secrets.choice(CODE_LETTERS) for _ in range(12)).lower()


def _new_device(invitation: Invitation, request: ConnectRequest) -> Device:
    return Device(
        group=invitation.group,
        id=_short_id(),
        role=invitation.role,
        device=request.device,
        device_name=plain(request.device_name),
        person=request.person,
        person_name=plain(request.person_name),
        connected_at=now_utc(),
    )


def _checked_name(name: str) -> str:
    plain = " ".join(name.split())
    if not 1 <= len(plain) <= 60 or not plain.isprintable():
        raise BadInputError(say("The name of a group has 1 to 60 letters."), "name")
    return plain


def _no_such_code() -> NotAllowedError:
    """One sentence for wrong, used and too old: whoever guesses learns nothing."""
    return NotAllowedError(
        say("This code cannot be used: it is mistyped, was used, or is too old. Ask for a new one.")
    )


def not_connected() -> NotConnectedError:
    """One answer for no token, an unknown one and one that was taken back."""
    return NotConnectedError(
        say("This device is not connected to this server. What it recorded stays on it; connect it again.")
    )
