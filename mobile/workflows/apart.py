"""What two people did without knowing of each other, for somebody to decide: values in words, who and when. Writes nothing.

Offers `Apart` (all there is, or what concerns some records) and `apart`; `deciding` settles it.
"""

from collections.abc import Collection
from dataclasses import dataclass

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.spoken_moments import when_in_words
from shared_models.blind_edits import ORDER, BlindEdit, together
from shared_models.language import say, say_many
from shared_models.look_words import NAMED, LookWords, ToldCount, ToldEdit, names_of
from shared_models.season.double_counts import DoubleCount

MOST_SHOWN = 20


@dataclass(frozen=True, slots=True)
class EditApart:
    """Values of one thing that were set apart, told and as they lie in the records."""

    told: ToldEdit
    edits: tuple[BlindEdit, ...]


@dataclass(frozen=True, slots=True)
class CountApart:
    """A trap that was counted twice, told and as it lies in the records."""

    told: ToldCount
    double: DoubleCount


@dataclass(frozen=True, slots=True)
class Apart:
    """All that is to be decided; `more` is said where there are more than a screen shows at once."""

    edits: tuple[EditApart, ...] = ()
    counts: tuple[CountApart, ...] = ()
    more: str = ""

    def __bool__(self) -> bool:
        return bool(self.edits or self.counts)


def apart(store: PhoneStore, recs: Collection[str] | None = None) -> Apart:
    """What is to be decided of everything, or of these trees, traps, gardens and what belongs to them by id."""
    wanted = None if recs is None else sorted(recs)
    edits = _edits(store, wanted)
    counts = [one for one in store.looks.double_counts() if wanted is None or one.trap in wanted]
    if not edits and not counts:
        return Apart()
    words = _words(store)
    shown = [EditApart(words.edit(one), one) for one in edits[:MOST_SHOWN]]
    twice = [CountApart(words.count(one), one) for one in counts[:MOST_SHOWN]]
    left = len(edits) + len(counts) - len(shown) - len(twice)
    more = say_many("{count} more comes after these.", "{count} more come after these.", left) if left else ""
    return Apart(tuple(shown), tuple(twice), more)


def _edits(store: PhoneStore, wanted: list[str] | None) -> list[tuple[BlindEdit, ...]]:
    """A walking order is decided as a whole, also on the page of one tree or trap of it."""
    found = store.looks.blind_edits(wanted)
    if wanted is None or not any(one.field == ORDER for one in found):
        return together(found)
    everything = together(store.looks.blind_edits())
    return [group for group in everything if any(one.rec in wanted for one in group)]


def said_by(who: str, when: str) -> str:
    """Who said something, and when."""
    return say("{who}, {when}", who=who, when=when)


def _words(store: PhoneStore) -> LookWords:
    names = names_of(record for kind in NAMED for record in store.few.standing(kind))

    def fields(rec: str) -> dict[str, object]:
        found = store.folded(rec)
        return found.fields if found else {}

    return LookWords(names, fields, when_in_words)
