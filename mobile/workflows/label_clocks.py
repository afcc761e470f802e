"""Label arithmetic from the sprays that this phone knows: when people may go in, and the first day to pick.

The label is the law; these are reminders of what was typed from it. They block nothing, and no warning is not "no
spray". The longest interval of a mix governs. A pre-harvest interval is counted in calendar days of the garden.
Offers `first_picking_day`, `label_warnings` (picking or gathering drops on a day), `labels_of_garden` (both, of one
garden), `keep_outs`.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Literal

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.spoken_moments import as_known, day_in_words, time_in_words, when_in_words
from mobile.workflows.tree_list import TreeList
from shared_models.language import say, say_many
from shared_models.records.jobs import Job, Product
from shared_models.when import parse_when

UNTIL_DRY: Literal["until_dry"] = "until_dry"
NOT_GIVEN: Literal["not_given"] = "not_given"


@dataclass(frozen=True, slots=True)
class KeepOut:
    """A reason to keep out: the trees, until when (None where the label gives no number of hours), and a sentence."""

    job: str
    trees: tuple[str, ...]
    until: datetime | None
    sentence: str


def first_picking_day(sprayed: date, pre_harvest_days: int) -> date:
    """The first day to pick after a spray.

    Args:
        sprayed: local day of the spray, whatever the hour.
        pre_harvest_days: the interval as typed from the label [calendar days].
    Returns:
        sprayed + pre_harvest_days [local day].
    Misleads:
        where a label counts otherwise; the label goes before.

    Sprayed on 1 September with 7 days: not before 8 September.

    >>> first_picking_day(date(2026, 9, 1), 7)
    datetime.date(2026, 9, 8)

    Source: calendar days, common practice.
    """
    return sprayed + timedelta(days=pre_harvest_days)


def re_entry_ends(ended: datetime, hours: float) -> datetime:
    """When a typed re-entry interval has ended: the end of the spray plus the hours [h], across a change of clocks too.

    >>> re_entry_ends(datetime.fromisoformat("2026-06-04T14:30:00+02:00"), 4).isoformat()
    '2026-06-04T18:30:00+02:00'
    """
    # By way of UTC: in one zone, adding hours would move the clock's hands and not the time.
    return (ended.astimezone(UTC) + timedelta(hours=hours)).astimezone(ended.tzinfo)


def label_warnings(
    store: PhoneStore, tree: str, day: date | None, trees: TreeList | None = None
) -> tuple[str, ...]:
    """What to say before fruit of a tree is picked, or its drops are gathered, on a day. The list spares reading it."""
    if day is None:
        return ()
    sentences = [_picking_sentence(job, day) for job in sprays_of(store, tree, trees)]
    found = list(dict.fromkeys(sentence for sentence in sentences if sentence))
    return (*found, as_known(store.now())) if found else ()


def labels_of_garden(store: PhoneStore, garden: str, day: date, since: date) -> tuple[str, ...]:
    """What the sprays of a garden since a day ask for: to keep out now, and not to pick yet on `day`."""
    trees = TreeList(store)
    sprays = [
        job
        for job in _by_day(store.few.begun_since(Job, since))
        if job.garden == garden or any(trees.line(tree).garden == garden for tree in _known(job, trees))
    ]
    concerned = {job.rec for job in sprays}
    out = [one.sentence for one in keep_outs(store) if one.job in concerned]
    found = [*out, *(told for job in sprays if (told := _of_trees(job, _picking_sentence(job, day), trees)))]
    return (*dict.fromkeys(found), as_known(store.now())) if found else ()


def _of_trees(job: Job, sentence: str | None, trees: TreeList) -> str:
    if sentence is None:
        return ""
    return say("Trees {labels}: {sentence}", labels=_labels(job, trees), sentence=sentence)


def _known(job: Job, trees: TreeList) -> list[str]:
    return [tree for tree in job.trees if trees.label(tree)]


def keep_outs(store: PhoneStore) -> list[KeepOut]:
    """What keeps people out now: first what has no end in hours, then the soonest to end."""
    here = store.now()
    recent = store.few.begun_since(Job, here.date() - _LONGEST_INTERVAL)
    running = [job for job in _by_day(recent) if _may_concern(job, here)]
    if not running:
        return []
    trees = TreeList(store)
    found = [one for job in running for one in _keep_outs_of(job, _labels(job, trees), here)]
    return sorted(found, key=lambda one: (one.until or here, one.job))


def sprays_of(store: PhoneStore, tree: str, trees: TreeList | None = None) -> list[Job]:
    """The jobs with products that reached a tree, by day."""
    listed = trees or TreeList(store)
    line = listed.line(tree)
    records = listed.records_of(tree)
    return [
        job
        for job in _by_day(store.few.naming(Job, [*records, line.garden]))
        if records & set(job.trees) or (not job.trees and job.garden == line.garden)
    ]


def pre_harvest_days(products: Iterable[Product]) -> int | None:
    """The longest pre-harvest interval of a mix that was typed; None where none was."""
    typed = [one.pre_harvest_days for one in products]
    return max((days for days in typed if isinstance(days, int)), default=None)


def re_entry_hours(products: Iterable[Product]) -> float | None:
    """The longest re-entry interval of a mix that was typed in hours; None where none was."""
    typed = [one.re_entry_hours for one in products]
    return max((float(hours) for hours in typed if isinstance(hours, int | float)), default=None)


def names_of(products: Sequence[Product]) -> str:
    """The products of a mix as labelled."""
    return ", ".join(product.name for product in products)


def _picking_sentence(job: Job, day: date) -> str | None:
    sprayed = parse_when(job.when).last
    days = pre_harvest_days(job.products)
    if sprayed is None:
        return say(
            "The day of a spray with {names} is not known, so the first day to pick cannot be reckoned; "
            "see the label.",
            names=names_of(job.products),
        )
    if sprayed > day:
        return None
    if days is None:
        return say(
            "{names}, sprayed on {sprayed}: no pre-harvest interval was typed; see the label before picking.",
            names=names_of(job.products),
            sprayed=day_in_words(sprayed),
        )
    return _too_early(job, sprayed, days, day) or _partly_typed(job, sprayed)


def _too_early(job: Job, sprayed: date, days: int, day: date) -> str | None:
    first = first_picking_day(sprayed, days)
    if day >= first:
        return None
    return say_many(
        "{names}, sprayed on {sprayed}: pre-harvest interval {days} days, so the first day to pick is {first}; "
        "{day} is {count} day too early. Drops for juice or animals are inside it too. The label is the law.",
        "{names}, sprayed on {sprayed}: pre-harvest interval {days} days, so the first day to pick is {first}; "
        "{day} is {count} days too early. Drops for juice or animals are inside it too. The label is the law.",
        (first - day).days,
        names=names_of(job.products),
        sprayed=day_in_words(sprayed),
        days=days,
        first=day_in_words(first),
        day=day_in_words(day),
    )


def _partly_typed(job: Job, sprayed: date) -> str | None:
    silent = [one for one in job.products if not isinstance(one.pre_harvest_days, int)]
    if not silent:
        return None
    return say(
        "{names}, sprayed on {sprayed}: no pre-harvest interval was typed; see the label before picking.",
        names=names_of(silent),
        sprayed=day_in_words(sprayed),
    )


# How long Today names a spray whose label gives no number of hours [h]. It says nothing of when anybody may go in:
# 72 hours is the longest interval that 40 CFR 156.208 sets by toxicity alone (the number from memory).
REMINDED_HOURS = 72
# A label's interval is 2400 hours at most, and a spray noted as between two days may have begun a season before.
_LONGEST_INTERVAL = timedelta(hours=2400, days=366)


@dataclass(frozen=True, slots=True)
class _SprayEnd:
    """When a spray had certainly ended, and a sentence where that is not the moment itself."""

    moment: datetime
    counted: str = ""


def _may_concern(job: Job, here: datetime) -> bool:
    longest = max(re_entry_hours(job.products) or 0, REMINDED_HOURS)
    return here < re_entry_ends(_end_of_spray(job, here).moment, longest)


def _keep_outs_of(job: Job, labels: str, here: datetime) -> Iterator[KeepOut]:
    """What one spray asks for now; the products of a mix may ask for different things, and each of them is said."""
    ended, hours = _end_of_spray(job, here), re_entry_hours(job.products)
    until = None if hours is None else re_entry_ends(ended.moment, hours).astimezone(here.tzinfo)
    if until is not None and until > here:
        yield KeepOut(job.rec, tuple(job.trees), until, _until_in_words(job, labels, until, ended, here))
    if here < re_entry_ends(ended.moment, REMINDED_HOURS):
        for sentence in _without_an_end(job, labels):
            yield KeepOut(job.rec, tuple(job.trees), None, sentence)


def _end_of_spray(job: Job, here: datetime) -> _SprayEnd:
    """The moment of its end; of a day (or several) the end of the last; of no known day, when it was entered."""
    told = [moment for moment in map(parse_when, filter(None, [job.ended, job.when])) if moment.last]
    if not told or told[0].last is None:
        counted = say("The day of the spray was not noted; counted from when it was entered.")
        return _SprayEnd(datetime.fromisoformat(job.entered), counted)
    instant, day = told[0].instant, told[0].last
    if instant is not None:
        return _SprayEnd(instant)
    counted = say("The time of day was not noted; counted from the end of {day}.", day=day_in_words(day))
    return _SprayEnd(datetime.combine(day + timedelta(days=1), time.min, here.tzinfo), counted)


def _until_in_words(job: Job, labels: str, until: datetime, ended: _SprayEnd, here: datetime) -> str:
    soon = until - here < timedelta(days=6)  # further on, a weekday alone might be that of the week before
    sentence = say(
        "Trees {labels}: keep out until {until}, the end of the typed interval after {names}.",
        labels=labels,
        until=time_in_words(until) if soon else when_in_words(until.isoformat()),
        names=names_of(job.products),
    )
    return " ".join(filter(None, [sentence, ended.counted]))


def _without_an_end(job: Job, labels: str) -> Iterator[str]:
    wet = [one for one in job.products if one.re_entry_hours == UNTIL_DRY]
    silent = [one for one in job.products if one.re_entry_hours in (None, NOT_GIVEN)]
    if wet:
        yield say(
            "Trees {labels}: keep out until the spray has dried ({names}).",
            labels=labels,
            names=names_of(wet),
        )
    if silent:
        yield say(
            "Trees {labels}: no re-entry interval was typed for {names}; see the label before anybody goes in.",
            labels=labels,
            names=names_of(silent),
        )


def _labels(job: Job, trees: TreeList) -> str:
    named = [trees.label(tree) for tree in job.trees]
    return ", ".join(dict.fromkeys(label for label in named if label)) or say("of the garden")


def _by_day(jobs: Iterable[Job]) -> list[Job]:
    """Sprays among jobs, by day."""
    return sorted((job for job in jobs if job.products), key=lambda job: (job.moment.order, job.rec))
