"""Label arithmetic from the sprays that this phone knows: when people may go in, and the first day to pick.

The label is the law; these are reminders of what was typed from it. They block nothing, and no warning is not "no
spray". The longest interval of a mix governs. A pre-harvest interval is counted in calendar days of the garden.
Offers `first_picking_day`, `label_warnings` (picking or gathering drops on a day), `keep_outs`.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.spoken_moments import as_known, day_in_words, time_in_words
from mobile.workflows.tree_list import TreeList
from shared_models.language import say, say_many
from shared_models.records.jobs import Job, Product
from shared_models.when import parse_when


@dataclass(frozen=True, slots=True)
class KeepOut:
    """A re-entry interval that runs: the trees, until when (None where the label says until dry), and a sentence."""

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


def label_warnings(store: PhoneStore, tree: str, day: date | None) -> tuple[str, ...]:
    """What to say before fruit of a tree is picked, or its drops are gathered, on a day."""
    if day is None:
        return ()
    sentences = [_picking_sentence(job, day) for job in sprays_of(store, tree)]
    found = list(dict.fromkeys(sentence for sentence in sentences if sentence))
    return (*found, as_known(store.now())) if found else ()


def keep_outs(store: PhoneStore) -> list[KeepOut]:
    """The re-entry intervals that run now, soonest to end first."""
    here = store.now()
    found = []
    for job in _sprays(store):
        until = _re_entry_of(job)
        if until is not None and until > here:
            found.append(_keep_out(store, job, until.astimezone(here.tzinfo)))
    return sorted(found, key=lambda one: (one.until or here, one.job))


def sprays_of(store: PhoneStore, tree: str) -> list[Job]:
    """The jobs with products that reached a tree, by day."""
    trees = TreeList(store)
    line = trees.line(tree)
    records = trees.records_of(tree)
    return [
        job
        for job in _sprays(store)
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


def _re_entry_of(job: Job) -> datetime | None:
    hours = re_entry_hours(job.products)
    moment = parse_when(job.ended or job.when).instant or parse_when(job.when).instant
    return re_entry_ends(moment, hours) if hours is not None and moment is not None else None


def _keep_out(store: PhoneStore, job: Job, until: datetime) -> KeepOut:
    trees = TreeList(store)
    labels = [trees.line(tree).label for tree in job.trees if tree in {line.tree for line in trees.all()}]
    sentence = say(
        "Trees {labels}: keep out until {until}, the end of the typed interval after {names}.",
        labels=", ".join(labels) or say("of the garden"),
        until=time_in_words(until),
        names=names_of(job.products),
    )
    return KeepOut(job.rec, tuple(job.trees), until, sentence)


def _sprays(store: PhoneStore) -> list[Job]:
    jobs = [job for job in store.all(Job) if job.products]
    return sorted(jobs, key=lambda job: (job.moment.order, job.rec))
