"""One line of the history by itself: what it says, every version of it in words, and how it can be mended.

Offers `record_page`, `correct_typed`, `correct_products` and `take_back_correction`; what is written is `corrections`'.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.corrections import Corrected, correct
from mobile.workflows.field_words import ValueWords
from mobile.workflows.history import HistoryLine, lines_of
from mobile.workflows.job_form import ProductForm, product_as_typed
from mobile.workflows.people import PersonLine, people
from mobile.workflows.spoken_moments import when_in_words
from mobile.workflows.tally import number_in_words
from mobile.workflows.traps import TrapLine, traps_in_walking_order
from mobile.workflows.versions import Version, versions
from mobile.workflows.when_told import record_fields
from shared_models.entries import Fields
from shared_models.errors import BadInputError
from shared_models.field_words import field_name, value_word
from shared_models.language import say
from shared_models.records.bag_checks import BagCheck
from shared_models.records.fields import Happening
from shared_models.records.gardens import LeftOut, Note
from shared_models.records.jobs import DayTemperature, Job
from shared_models.records.kinds import KINDS, record_of
from shared_models.records.scoring_checks import CutSample
from shared_models.records.tallies import Pick, Visit
from shared_models.records.timing import Stage
from shared_models.records.traps import TrapVisit
from shared_models.season.scores import worst
from shared_models.vocabulary import Fruit, Round, Tallied


class Asked(StrEnum):
    """How a field is asked for."""

    WHOLE = "whole"
    NUMBER = "number"
    TEXT = "text"
    YES_NO = "yes_no"


# What is corrected by typing; date, person, tree and trap have ways of their own.
_CORRECTED: dict[type[Happening], dict[str, Asked]] = {
    TrapVisit: {"moths": Asked.WHOLE, "emptied": Asked.YES_NO, "liner_changed": Asked.YES_NO},
    Visit: {"took": Asked.WHOLE, "left": Asked.WHOLE, "material": Asked.TEXT, "pause_minutes": Asked.WHOLE},
    Pick: {
        "total": Asked.WHOLE,
        "weight_kg": Asked.NUMBER,
        "fruit_per_kg": Asked.NUMBER,
        "taken_by_others": Asked.WHOLE,
    },
    Job: {
        "minutes": Asked.WHOLE,
        "people": Asked.WHOLE,
        "cost": Asked.NUMBER,
        "note": Asked.TEXT,
        "partly": Asked.YES_NO,
        "rain_after": Asked.YES_NO,
    },
    BagCheck: {
        "still_on": Asked.WHOLE,
        "fell_empty": Asked.WHOLE,
        "fell_with_fruit": Asked.WHOLE,
        "torn": Asked.WHOLE,
        "note": Asked.TEXT,
    },
    CutSample: {"cut": Asked.WHOLE, "found": Asked.WHOLE},
    DayTemperature: {"lowest": Asked.NUMBER, "highest": Asked.NUMBER},
    Stage: {"bbch": Asked.TEXT},
    Note: {"text": Asked.TEXT},
}
_ONLY_BAGGING = frozenset({"took", "left", "material"})


@dataclass(frozen=True, slots=True)
class FieldAsked:
    """One field that can be corrected, with what stands there now as it would be typed."""

    field: str
    name: str
    asked: Asked
    now: str


@dataclass(frozen=True, slots=True)
class VersionRead:
    """One version in words: when it was entered and by whom, what it changed, and why."""

    heading: str
    changes: tuple[str, ...]
    reason: str


@dataclass(frozen=True, slots=True)
class TallyLine:
    """What a visit tallied of one kind: fruit of a mark, or bags (None), with its number in words."""

    fruit: Fruit | None
    in_words: str


@dataclass(frozen=True, slots=True)
class RecordPage:
    """Everything that a screen shows of one record."""

    line: HistoryLine
    about: str
    doubts: tuple[str, ...]
    versions: tuple[VersionRead, ...]
    fields: tuple[FieldAsked, ...]
    products: tuple[ProductForm, ...]
    where: Fields
    tree: str | None
    traps: tuple[TrapLine, ...]
    people: tuple[PersonLine, ...]
    can_be_corrected: bool
    tallies: tuple[TallyLine, ...]


def record_page(store: PhoneStore, rec: str) -> RecordPage:
    """The page of a record; BadInputError where this phone has none that happened."""
    folded = store.folded(rec)
    record = record_of(folded) if folded else None
    if folded is None or not isinstance(record, Happening):
        raise BadInputError(say("This record is not on this phone."), "rec")
    (line,) = lines_of(store, [record], folded.deleted)
    trap = isinstance(record, TrapVisit)
    return RecordPage(
        line,
        " · ".join([line.in_words, line.who]),
        tuple(doubt.sentence for doubt in record.doubts()),
        tuple(_read(ValueWords(store), version) for version in versions(store, rec)),
        tuple(_asked(record)),
        tuple(product_as_typed(one) for one in record.products) if isinstance(record, Job) else (),
        record_fields(record),
        record.tree if isinstance(record, Visit) else None,
        tuple(traps_in_walking_order(store)) if trap else (),
        tuple(one for one in people(store) if not one.retired),
        not isinstance(record, LeftOut) and not folded.deleted,
        tuple(_tallied(store, record)) if isinstance(record, Visit) else (),
    )


def correct_typed(store: PhoneStore, rec: str, typed: Mapping[str, str | bool], reason: str) -> Corrected:
    """Correct what was typed otherwise than it stands; BadInputError where nothing was, or it cannot be taken."""
    page = record_page(store, rec)
    changes = {
        one.field: _value(one, typed[one.field])
        for one in page.fields
        if one.field in typed and _as_typed(typed[one.field]) != one.now
    }
    if not changes:
        raise BadInputError(say("Nothing was changed; type what it should be."), "field")
    return correct(store, rec, reason, **changes)


def take_back_correction(store: PhoneStore, rec: str) -> Corrected:
    """Say of the newest change what was said before it; both stay readable."""
    last = versions(store, rec)[-1]
    folded = store.folded(rec)
    fields = KINDS[folded.kind].model_fields if folded else {}
    before = {
        one.field: fields[one.field].default if one.before is None else one.before for one in last.changes
    }
    return correct(store, rec, say("The correction was taken back."), **before)


def correct_products(
    store: PhoneStore, rec: str, products: tuple[ProductForm, ...], reason: str
) -> Corrected:
    """Correct what was typed from the labels of a spray."""
    return correct(store, rec, reason, products=[one.read().fields() for one in products])


def _tallied(store: PhoneStore, visit: Visit) -> list[TallyLine]:
    """By the worst mark of a fruit, as adjustments name it; bags counted by the box cannot be adjusted."""
    sums: dict[Fruit | None, float] = {}
    for count in store.tallies(visit.rec):
        fruit = worst(count.marks) if count.what == Tallied.FRUIT else None
        if fruit is not None or visit.bags_by_the_box is None:
            sums[fruit] = sums.get(fruit, 0) + count.n
    return [
        TallyLine(
            fruit,
            say(
                "{what}: {number}",
                what=value_word(fruit.value) if fruit else say("bags"),
                number=number_in_words(n),
            ),
        )
        for fruit, n in sums.items()
    ]


def _asked(record: Happening) -> list[FieldAsked]:
    kinds = _CORRECTED.get(type(record), {})
    bagging = not isinstance(record, Visit) or record.round is Round.BAGGING
    return [
        FieldAsked(field, field_name(field), asked, _typed(getattr(record, field)))
        for field, asked in kinds.items()
        if bagging or field not in _ONLY_BAGGING
    ]


def _typed(value: Any) -> str:
    """A value as it would be typed; yes and nothing for switches."""
    if value is None or value is False:
        return ""
    if value is True:
        return "yes"
    return f"{value:g}" if isinstance(value, float) else str(value)


def _as_typed(value: str | bool) -> str:
    return _typed(value) if isinstance(value, bool) else value.strip()


def _value(asked: FieldAsked, typed: str | bool) -> Any:
    """A typed value as it is recorded; an emptied field is recorded as not said."""
    if isinstance(typed, bool):
        return typed
    text = typed.strip()
    if asked.asked is Asked.TEXT or not text:
        return text or None
    try:
        number = float(text.replace(",", "."))
    except ValueError:
        raise BadInputError(
            say("“{text}” is no number; write it with digits, such as 12.", text=text[:20]), asked.field
        ) from None
    if asked.asked is Asked.NUMBER:
        return number
    if not number.is_integer():
        raise BadInputError(
            say("{text} is no whole number; write it without a part, such as 12.", text=text[:20]),
            asked.field,
        )
    return int(number)


def _read(words: ValueWords, version: Version) -> VersionRead:
    what = say("undone") if version.undid else say("put back") if version.redid else ""
    heading = " · ".join(part for part in (when_in_words(version.entered), version.who, what) if part)
    changes = tuple(
        say("{field}: {after}", field=field_name(one.field), after=words.of(one.field, one.after))
        if one.before is None
        else say(
            "{field}: {after}, before that {before}",
            field=field_name(one.field),
            before=words.of(one.field, one.before),
            after=words.of(one.field, one.after),
        )
        for one in version.changes
    )
    return VersionRead(heading, changes, version.reason or "")
