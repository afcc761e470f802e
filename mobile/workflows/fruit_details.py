"""What may be noted of one fruit beside its mark: where a larva went in, what was in it, what else harmed it.

Offers `FruitDetail`, `asked_of`, `noted_in_words`. Nobody has to answer, and nothing here changes a count. Writes
nothing.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass
from enum import StrEnum

from shared_models.entries import Fields
from shared_models.language import say, spoken, word
from shared_models.records.tallies import TallyMark
from shared_models.season.scores import DAMAGE
from shared_models.vocabulary import EntryPoint, Fruit

# The usual names of the trade for what else is seen on pome fruit at picking (common practice).
CAUSES: dict[Fruit, dict[str, str]] = {
    Fruit.OTHER: {
        "scab": word("scab"),
        "hail": word("hail"),
        "bird": word("bird"),
        "split": word("split"),
        "rot": word("rot"),
    },
    Fruit.OTHER_INSECT: {
        "sawfly": word("sawfly"),
        "leafroller": word("leafroller"),
        "maggot": word("maggot"),
        "wasp": word("wasp"),
    },
}
ENTRIES = {
    EntryPoint.SIDE: word("at the side"),
    EntryPoint.STEM: word("at the stem"),
    EntryPoint.CALYX: word("at the calyx"),
}


class Asked(StrEnum):
    """What may be asked of a fruit."""

    ENTRY = "entry"
    CAUSE = "cause"


@dataclass(frozen=True, slots=True)
class FruitDetail:
    """What was noted of one fruit; None was not."""

    entered_at: EntryPoint | None = None
    larva_found: bool | None = None
    cut_open: bool | None = None
    cause: str | None = None

    def fields(self) -> Fields:
        """As they are recorded; what is not noted is said too, so that a note can be taken back."""
        return asdict(self)

    @property
    def in_words(self) -> str:
        """Such as "at the calyx, larva found"; empty where nothing was noted."""
        larva = {True: say("larva found"), False: say("no larva found"), None: ""}[self.larva_found]
        parts = [
            spoken(ENTRIES[self.entered_at]) if self.entered_at else "",
            larva,
            say("cut open") if self.cut_open else "",
            cause_in_words(self.cause) if self.cause else "",
        ]
        return ", ".join(part for part in parts if part)


NOTHING_NOTED = FruitDetail()


def detail_of(mark: TallyMark) -> FruitDetail:
    """What was noted of a fruit."""
    return FruitDetail(mark.entered_at, mark.larva_found, mark.cut_open, mark.cause)


def asked_of(marks: Sequence[Fruit]) -> tuple[Asked, ...]:
    """What may be asked of a fruit with these marks; nothing of one that is clean."""
    entry = (Asked.ENTRY,) if set(marks) & {*DAMAGE, Fruit.NOT_SURE} else ()
    return (*entry, *((Asked.CAUSE,) if set(marks) & set(CAUSES) else ()))


def causes_of(marks: Sequence[Fruit]) -> tuple[tuple[str, str], ...]:
    """What is offered as the cause of these marks: as recorded, and in words."""
    return tuple((key, spoken(words)) for mark in marks for key, words in CAUSES.get(mark, {}).items())


def cause_in_words(cause: str) -> str:
    """A cause as people say it; one's own words as they were typed."""
    known = {key: words for causes in CAUSES.values() for key, words in causes.items()}
    return spoken(known[cause]) if cause in known else cause


def noted_in_words(marks: Iterable[TallyMark]) -> str:
    """What was noted of the fruit of a visit, counted; empty where nothing was."""
    noted = [detail_of(mark) for mark in marks]
    counted = Counter(one.entered_at for one in noted if one.entered_at)
    entries = [
        say("{number} {where}", number=counted[one], where=spoken(words))
        for one, words in ENTRIES.items()
        if counted[one]
    ]
    larvae, cut = sum(one.larva_found is True for one in noted), sum(one.cut_open is True for one in noted)
    causes = Counter(cause_in_words(one.cause) for one in noted if one.cause)
    parts = [
        *entries,
        *([say("a larva in {number}", number=larvae)] if larvae else []),
        *([say("{number} cut open", number=cut)] if cut else []),
        *(say("{cause} {number}", cause=cause, number=number) for cause, number in sorted(causes.items())),
    ]
    return say("Noted of single fruit: {parts}.", parts=", ".join(parts)) if parts else ""
