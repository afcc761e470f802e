"""One phone hears what another recorded, by the way that a server's pages come in."""

from mobile.storage.phone_store import PhoneStore
from tests.mobile.pages import oldest_first, page


def hears(phone: PhoneStore, neighbour: PhoneStore) -> None:
    """Everything that the neighbour has and this phone has not yet comes in."""
    known = {entry.id for entry in oldest_first(phone)}
    new = [entry for entry in oldest_first(neighbour) if entry.id not in known]
    phone.incoming.take(page(new, since=phone.incoming.cursor()))
