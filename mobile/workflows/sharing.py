"""Sharing with the group: how it stands in words, connecting by a one-time code, and one exchange. Knows no window.

Offers `SharingView`, `sharing_view`, `Tried`, `connect_and_share`, `share_now`.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta

from mobile.storage.outbox import NeedsALook, SharingState, Waits
from mobile.storage.phone_store import PhoneStore
from mobile.sync.engine import ExchangeOutcome
from mobile.workflows.apart import Apart, apart
from mobile.workflows.asking import Sharing
from mobile.workflows.spoken_moments import day_in_words
from shared_models.connecting_text import BEGINS, is_connecting_text
from shared_models.errors import PomewardError
from shared_models.language import say, say_many, spoken, word
from shared_models.records.kind_words import kind_in_words
from shared_models.vocabulary import Role

_TO_DO = {
    Waits.HELD_BACK: word("Open it, correct what is named, and share again."),
    Waits.REFUSED: word("It stays on this phone. Ask the coordinator what this phone may share."),
    Waits.LATER: word("Nothing to do: it is shared by itself once the server is updated."),
    Waits.STUCK: word("It is tried again each time. If it stays, tell the coordinator."),
    Waits.UNFOLDED: word("Update the app."),
}
_MAY = {
    Role.COORDINATOR: word("This phone records, and connects others."),
    Role.KEEPER: word("This phone records."),
    Role.VIEWER: word("This phone may look; what it records stays on it."),
}


@dataclass(frozen=True, slots=True)
class NeedsALookLine:
    """Something that was not taken or cannot be shown: which record, what it is, why, and what to do.

    `rec` is empty where the line tells of several records and none can be opened.
    """

    rec: str
    what: str
    why: str
    to_do: str


@dataclass(frozen=True, slots=True)
class SharingView:
    """How it stands. `group` is empty while this phone is alone; `standing` are whole sentences.

    `apart` is what two people did without knowing of each other, which needs a look too.
    """

    group: str
    standing: list[str]
    needs_a_look: list[NeedsALookLine]
    apart: Apart

    @property
    def connected(self) -> bool:
        """Whether there is a group to share with."""
        return bool(self.group)


@dataclass(frozen=True, slots=True)
class Tried:
    """What came of asking the server, in words; `done` where it answered and all went its way."""

    sentence: str
    done: bool


def sharing_view(store: PhoneStore) -> SharingView:
    """How it stands now; asks no network."""
    member, state, decide = store.membership.current(), store.sharing(), apart(store)
    looks = [_line(one) for one in state.needs_a_look] + ([_unread(state.unread)] if state.unread else [])
    if member is None:
        return SharingView("", [_alone(state, store.membership.group_left())], looks, decide)
    standing = [
        say("{server}. {may}", server=member.server, may=spoken(_MAY[member.role])),
        _waiting(state),
        _last(store, state),
    ]
    return SharingView(member.group_name, standing, looks, decide)


def connect_and_share(phone: Sharing, url: str, code: str) -> Tried:
    """Become a device of a group and exchange at once. Nothing on the phone is lost, whatever comes of it."""
    one_text = is_connecting_text(url) or is_connecting_text(code)
    if not one_text and not (url.strip() and code.strip()):
        return Tried(
            say(
                "Both are needed: the address of the group’s server, and the code that you were given; or the one "
                "text that begins with “{begins}”.",
                begins=BEGINS,
            ),
            False,
        )
    try:
        joined = say(
            "This phone belongs to the group “{group}” now.", group=phone.connect(url, code).group_name
        )
    except PomewardError as error:
        return Tried(str(error), False)
    return Tried(f"{joined} {share_now(phone).sentence}", True)


def share_now(phone: Sharing) -> Tried:
    """Exchange once."""
    try:
        return Tried(outcome_in_words(phone.share()), True)
    except PomewardError as error:
        return Tried(str(error), False)


def outcome_in_words(outcome: ExchangeOutcome) -> str:
    """What one exchange came to."""
    aside = outcome.held_back + outcome.later + outcome.refused
    sentences = [
        say_many("{count} record shared.", "{count} records shared.", outcome.pushed),
        say_many("{count} new from others.", "{count} new from others.", outcome.pulled),
        say_many("{count} needs a look.", "{count} need a look.", aside) if aside else "",
        _clock_off(outcome.clock_ahead) if outcome.clock_ahead else "",
    ]
    return " ".join(sentence for sentence in sentences if sentence)


def _clock_off(by: timedelta) -> str:
    ahead = by > timedelta()
    span = _span(abs(by))
    if ahead:
        return say("This phone’s clock is {span} ahead; set it right.", span=span)
    return say("This phone’s clock is {span} behind; set it right.", span=span)


def _span(by: timedelta) -> str:
    if by >= timedelta(days=2):
        return say_many("{count} day", "{count} days", by.days)
    if by >= timedelta(hours=2):
        return say_many("{count} hour", "{count} hours", int(by / timedelta(hours=1)))
    return say_many("{count} minute", "{count} minutes", round(by / timedelta(minutes=1)))


def _alone(state: SharingState, group: str | None) -> str:
    if group is not None:
        return say(
            "This phone was connected to the group “{group}”. Everything is kept on it; connect it again with a new code.",
            group=group,
        )
    kept = say_many(
        "{count} record is on this phone only.", "{count} records are on this phone only.", state.waiting
    )
    return say("{kept} Everything works without a group.", kept=kept)


def _waiting(state: SharingState) -> str:
    if not state.waiting:
        return say_many("{count} record, all shared.", "{count} records, all shared.", state.shared)
    return say_many(
        "{count} record is not shared yet. It is kept on this phone.",
        "{count} records are not shared yet. They are kept on this phone.",
        state.waiting,
    )


def _last(store: PhoneStore, state: SharingState) -> str:
    if not state.exchanged_at:
        return say("Not exchanged yet.")
    moment = datetime.fromisoformat(state.exchanged_at).astimezone(store.now().tzinfo)
    return say("Last exchanged on {day} at {time}.", day=day_in_words(moment.date()), time=f"{moment:%H:%M}")


def unread_in_words(count: int) -> str:
    """How many records hold something that this app cannot read, and what became of it."""
    return say_many(
        "{count} record was made or changed by a newer app. What this app cannot read of it is kept as it came and "
        "counted nowhere.",
        "{count} records were made or changed by a newer app. What this app cannot read of them is kept as it came "
        "and counted nowhere.",
        count,
    )


def _unread(count: int) -> NeedsALookLine:
    to_do = say("Update the app; it reads them then, and nothing has to be fetched again.")
    return NeedsALookLine("", say("Records of a newer app"), unread_in_words(count), to_do)


def _line(one: NeedsALook) -> NeedsALookLine:
    return NeedsALookLine(one.rec, kind_in_words(one.kind), one.sentence, spoken(_TO_DO[one.state]))
