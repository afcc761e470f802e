"""Make this phone a device of a group, by a one-time code. Knows no records but the person's name."""

import httpx
from pydantic import ValidationError

from mobile.storage.phone_store import PhoneStore
from mobile.sync.remote_server import RemoteServer
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.protocol import ConnectReply, ConnectRequest
from shared_models.records.gardens import Person


def connect(
    url: str, code: str, store: PhoneStore, device_name: str, http: httpx.Client | None = None
) -> ConnectReply:
    """Trade the code for a token and bind the phone's file to the group; everything on the phone stays.

    BadInputError where the address, the code or the group does not fit, NotReachableError where nobody answers.
    """
    request = _request(store, code, device_name)
    with RemoteServer(url, http=http) as server:
        reply = server.connect(request)
        store.membership.join(server.address, reply)
    return reply


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
