"""After a spray: label facts typed from the person's own label, for many trees at once, with the usual cautions.

Nothing is filled in or recommended here: no product, no dose, no mix. Cautions are sentences; they never block, and
never delete what was done. Offers `FromLabel`, `SprayTold`, `cautions`, `record_spray`.
"""

from collections.abc import Sequence
from dataclasses import dataclass, fields
from datetime import date
from typing import Literal

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.drafting import said
from mobile.workflows.job import record_job
from mobile.workflows.label_clocks import (
    NOT_GIVEN,
    UNTIL_DRY,
    first_picking_day,
    names_of,
    pre_harvest_days,
    re_entry_ends,
    re_entry_hours,
    sprays_of,
)
from mobile.workflows.moments import NOW, Told
from mobile.workflows.spoken_moments import as_known, day_in_words, time_in_words
from mobile.workflows.spray_record import record_kind
from mobile.workflows.stages import stage_noted
from shared_models.entries import Fields
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.records.fields import Doubt
from shared_models.records.jobs import Job, Product
from shared_models.records.kinds import check_fields
from shared_models.when import parse_when

__all__ = ["NOT_GIVEN", "UNTIL_DRY", "FromLabel", "SprayDone", "SprayTold", "cautions", "record_spray"]

FLOWERS_OPEN = range(60, 70)  # BBCH 60 first flowers open … 69 end of flowering (BBCH monograph, from memory)


@dataclass(frozen=True, slots=True)
class FromLabel:
    """One product of the mix, as its label names it; everything is typed by the person, and may be left out.

    `pre_harvest_days` [calendar days] may be `NOT_GIVEN`; `re_entry_hours` [h] may be `UNTIL_DRY` or `NOT_GIVEN`.
    """

    name: str
    registration: str | None = None
    active_substance: str | None = None
    rate: str | None = None
    amount: float | None = None
    amount_unit: str | None = None
    pre_harvest_days: int | Literal["not_given"] | None = None
    re_entry_hours: float | Literal["until_dry", "not_given"] | None = None
    most_applications: int | None = None
    least_interval_days: int | None = None
    not_while_in_flower: bool | None = None

    def fields(self) -> Fields:
        """As they are recorded."""
        return said(**{one.name: getattr(self, one.name) for one in fields(self)})


@dataclass(frozen=True, slots=True)
class SprayTold:
    """A whole spray as it was told: method, mix, trees or a whole garden, and what stood beside it.

    water [l], treated_area [m²], wind [m/s], temperature [°C]; target is an EPPO code, bbch two digits.
    """

    method: str
    products: Sequence[FromLabel]
    trees: Sequence[str] = ()
    garden: str | None = None
    ended: str | None = None
    minutes: int | None = None
    people: int | None = None
    partly: bool = False
    cost: float | None = None
    water_l: float | None = None
    treated_area_m2: float | None = None
    target: str | None = None
    bbch: str | None = None
    wind_m_s: float | None = None
    temperature_c: float | None = None
    operator: str | None = None
    certificate: str | None = None
    rain_after: bool | None = None
    note: str | None = None
    told: Told = NOW


@dataclass(frozen=True, slots=True)
class SprayDone:
    """A spray that was recorded, its cautions, and what does not seem to fit."""

    job: str
    cautions: tuple[str, ...]
    notes: tuple[str, ...]
    doubts: tuple[Doubt, ...]


def record_spray(store: PhoneStore, spray: SprayTold) -> SprayDone:
    """Record a spray; the same cautions as before it come back with it."""
    warned = cautions(store, spray)
    done = record_job(
        store,
        spray.method,
        trees=spray.trees,
        garden=spray.garden,
        ended=spray.ended,
        minutes=spray.minutes,
        people=spray.people,
        partly=spray.partly,
        told=spray.told,
        **_label_and_weather(spray),
    )
    return SprayDone(done.job, warned, done.notes, done.doubts)


def cautions(store: PhoneStore, spray: SprayTold) -> tuple[str, ...]:
    """What to say of a spray, before and after it is recorded; BadInputError where what was typed cannot be taken."""
    job = _as_job(store, spray)
    return (
        say(
            "The label is the law: what follows only reminds of what was typed from it. Wear what it asks for, keep "
            "children and animals away, and mind drift."
        ),
        *_flower_cautions(store, job),
        *_re_entry_cautions(store, job),
        *_picking_cautions(job),
        *_application_cautions(store, job),
        as_known(store.now()),
        record_kind(store, job),
    )


def _label_and_weather(spray: SprayTold) -> Fields:
    names = (
        "cost",
        "water_l",
        "treated_area_m2",
        "target",
        "bbch",
        "wind_m_s",
        "temperature_c",
        "operator",
        "certificate",
        "rain_after",
        "note",
    )
    return {"products": [one.fields() for one in spray.products]} | said(
        **{name: getattr(spray, name) for name in names}
    )


def _as_job(store: PhoneStore, spray: SprayTold) -> Job:
    if not spray.products:
        raise BadInputError(say("Type the product's name as it stands on its label."), "products")
    told = said(method=spray.method, trees=list(spray.trees) or None, garden=spray.garden, ended=spray.ended)
    typed = spray.told.fields(store, told) | told | _label_and_weather(spray)
    for complaint in check_fields(Job.kind, typed, creates=True):
        raise BadInputError(complaint.sentence, complaint.field)
    return Job.model_validate(typed)


def _flower_cautions(store: PhoneStore, job: Job) -> list[str]:
    marked = [one for one in job.products if one.not_while_in_flower]
    if not marked:
        return []
    stage = job.bbch or stage_noted(store, job)
    if stage is None:
        return [
            say(
                "{names}: not while in flower, says the label. The growth stage is not noted.",
                names=names_of(marked),
            )
        ]
    if int(stage) not in FLOWERS_OPEN:
        return []
    return [
        say(
            "Flowers are open (BBCH {bbch}), and {names} must not be used while in flower, says the label: "
            "bees are at risk.",
            bbch=stage,
            names=names_of(marked),
        )
    ]


def _re_entry_cautions(store: PhoneStore, job: Job) -> list[str]:
    found = [*_typed_re_entry(store, job)]
    if any(one.re_entry_hours == UNTIL_DRY for one in job.products):
        found.append(say("Keep people and animals out at least until the spray is dry, as the label says."))
    silent = [one for one in job.products if one.re_entry_hours in (None, NOT_GIVEN)]
    if silent:
        found.append(
            say(
                "{names}: no re-entry interval was typed; see the label before anybody goes in.",
                names=names_of(silent),
            )
        )
    return found


def _typed_re_entry(store: PhoneStore, job: Job) -> list[str]:
    hours = re_entry_hours(job.products)
    if hours is None:
        return []
    ended = parse_when(job.ended or job.when).instant or parse_when(job.when).instant
    if ended is None:
        return [
            say(
                "Keep out for {hours} hours from the end of the spray; its time of day is not noted.",
                hours=f"{hours:g}",
            )
        ]
    until = re_entry_ends(ended, hours).astimezone(store.now().tzinfo)
    if until <= store.now():
        return [say("The typed re-entry interval has ended ({until}).", until=time_in_words(until))]
    return [
        say(
            "Keep people and animals out until {until}: {hours} hours from the end of the spray, "
            "the longest re-entry interval of the mix.",
            until=f"{time_in_words(until)}, {day_in_words(until.date())}",
            hours=f"{hours:g}",
        )
    ]


def _picking_cautions(job: Job) -> list[str]:
    found = []
    days, sprayed = pre_harvest_days(job.products), parse_when(job.when).last
    if days is not None and sprayed is None:
        found.append(say("The day of the spray is not known, so the first day to pick cannot be reckoned."))
    elif days is not None and sprayed is not None:
        found.append(
            say(
                "First day to pick: {first} ({sprayed} and {days} calendar days, the longest pre-harvest interval "
                "of the mix). Drops for juice or animals are inside it too.",
                first=day_in_words(first_picking_day(sprayed, days)),
                sprayed=day_in_words(sprayed),
                days=days,
            )
        )
    silent = [one for one in job.products if not isinstance(one.pre_harvest_days, int)]
    if silent:
        found.append(
            say(
                "{names}: no pre-harvest interval was typed; see the label before picking.",
                names=names_of(silent),
            )
        )
    return found


def _application_cautions(store: PhoneStore, job: Job) -> list[str]:
    """Applications of a product so far on the same trees, and days since the last, beside what the label allows."""
    found = []
    day = parse_when(job.when).last
    for product in job.products:
        histories = [_days_of(store, tree, product, day) for tree in job.trees]
        found += _applications(product, 1 + max(map(len, histories), default=0))
        for earlier in histories:
            found += _too_soon(product, earlier, day)
    return list(dict.fromkeys(found))


def _days_of(store: PhoneStore, tree: str, product: Product, until: date | None) -> list[date]:
    """The days on which a product was sprayed on a tree, of the year before a day."""
    days = [
        parse_when(job.when).last
        for job in sprays_of(store, tree)
        if any(_same_product(one, product) for one in job.products)
    ]
    return sorted(day for day in days if day and until and 0 <= (until - day).days < _A_YEAR)


_A_YEAR = 365  # applications of "a season" are counted over the year up to the spray [days]


def _same_product(one: Product, other: Product) -> bool:
    if one.registration and other.registration:
        return one.registration.casefold() == other.registration.casefold()
    return one.name.strip().casefold() == other.name.strip().casefold()


def _applications(product: Product, number: int) -> list[str]:
    """How many there have been with this one, beside what the label allows."""
    most = product.most_applications
    if most is None:
        return []
    if number <= most:
        return [
            say(
                "{name}: application {number} on a tree within a year, of {most} that the label allows.",
                name=product.name,
                number=number,
                most=most,
            )
        ]
    return [
        say(
            "{name}: this is application {number} on a tree within a year; the label allows {most}.",
            name=product.name,
            number=number,
            most=most,
        )
    ]


def _too_soon(product: Product, earlier: Sequence[date], day: date | None) -> list[str]:
    least = product.least_interval_days
    if least is None or not earlier or day is None or (day - earlier[-1]).days >= least:
        return []
    return [
        say(
            "{name}: {days} days after the last application ({last}); the label asks for at least {least}.",
            name=product.name,
            days=(day - earlier[-1]).days,
            last=day_in_words(earlier[-1]),
            least=least,
        )
    ]
