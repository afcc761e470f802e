"""Make this phone a device of a group, by a one-time code. Knows no records but the person's name."""

import httpx
from pydantic import ValidationError

from mobile.storage.phone_store import PhoneStore
from mobile.sync.remote_server import RemoteServer
from shared_models.connecting_text import ConnectingText, is_connecting_text, read_connecting_text
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.protocol import ConnectReply, ConnectRequest
from shared_models.records.gardens import Person


def connect(
    url: str, code: str, store: PhoneStore, device_name: str, http: httpx.Client | None = None
) -> ConnectReply:
    """Trade the code for a token and bind the phone's file to the group; everything on the phone stays.

    Instead of address and code, either of the two may be the one text that holds both and the server's pin.
    BadInputError where the address, the code or the group does not fit, NotReachableError where nobody answers.
    """
    told = _told(url, code)
    request = _request(store, told.code, device_name)
    with RemoteServer(told.address, http=http, pin=told.pin) as server:
        reply = server.connect(request)
        store.membership.join(server.address, reply, told.pin)
    return reply


def _told(url: str, code: str) -> ConnectingText:
    for typed in (code, url):
        if is_connecting_text(typed):
            return read_connecting_text(typed)
    return ConnectingText(url, code, pin="")


def _request(store: PhoneStore, code: str, device_name: str) -> ConnectRequest:
    identity = store.identity
    person = store.get(Person, identity.person) if identity else None
    if identity is None or person is None:
        raise BadInputError(say("This phone has not been set up yet; give a name and a time zone first."))
    try:
        return ConnectRequest(
            code=code.strip(),
            device=identity.device,
            device_name=device_name[:60],
            person=identity.person,
            person_name=person.name,
        )
    except ValidationError as error:
        raise BadInputError(
            say("This is no connecting code; type it as it was given to you."), "code"
        ) from error
