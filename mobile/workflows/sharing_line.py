"""How it stands with sharing, in the few words of the top line. Offers `sharing_line`."""

from datetime import datetime

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.spoken_moments import day_in_words
from shared_models.language import say, say_many


def sharing_line(store: PhoneStore) -> str:
    """What needs a look, else how much is not shared, else when all was; of a phone alone, its last copy."""
    if store.identity is None:
        return ""
    state = store.sharing()
    looks = state.look_count + store.looks.count()
    if looks:
        return say_many("{count} needs a look", "{count} need a look", looks)
    if store.membership.current() is None:
        last = store.copies.last()
        return say("last copy {when}", when=_moment(store, last.made)) if last else say("on this phone only")
    if state.waiting:
        return say_many("{count} not shared", "{count} not shared", state.waiting)
    return say("all shared {when}", when=_moment(store, state.exchanged_at)) if state.exchanged_at else ""


def _moment(store: PhoneStore, text: str) -> str:
    """The time where it was today, else the day."""
    now = store.now()
    moment = datetime.fromisoformat(text).astimezone(now.tzinfo)
    return f"{moment:%H:%M}" if moment.date() == now.date() else day_in_words(moment.date())
