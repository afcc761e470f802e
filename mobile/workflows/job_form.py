"""A job as it stands in a form: plain texts that are kept while they are typed, read and recorded as one job.

Everything about a spray is typed by the person from their own label. Offers `jobs_to_choose`, `JobForm`, `form_from`,
`job_offered` and `record_form`. The rules are `job`'s and `spray`'s.
"""

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, fields
from datetime import timedelta
from typing import Any, Literal

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.corrections import undo
from mobile.workflows.job import method_choices, record_job
from mobile.workflows.moments import NOW, Told
from mobile.workflows.people import PersonLine, name_of, people
from mobile.workflows.spoken_moments import when_in_words
from mobile.workflows.spray import NOT_GIVEN, UNTIL_DRY, FromLabel, SprayTold, cautions, record_spray
from mobile.workflows.tree_words import TreeOffers, TreesChosen, chosen, offers_for
from shared_models.errors import BadInputError
from shared_models.language import capital, say, spoken
from shared_models.records.jobs import Job, Product
from shared_models.report_words import METHOD_NAMES
from shared_models.vocabulary import BAGGING, DROPS_ROUND, SPRAYS, Method, Reach
from shared_models.when import When, parse_when


@dataclass(frozen=True, slots=True)
class ProductForm:
    """One product of the mix as typed; `yes` in `flower` where its label says not while in flower."""

    name: str = ""
    registration: str = ""
    active_substance: str = ""
    rate: str = ""
    amount: str = ""
    amount_unit: str = ""
    pre_harvest_days: str = ""
    re_entry_hours: str = ""
    most_applications: str = ""
    least_interval_days: str = ""
    flower: str = ""

    def read(self) -> FromLabel:
        """As facts of a label; BadInputError names the field that cannot be taken."""
        if not self.name.strip():
            raise BadInputError(say("Type the product's name as it stands on its label."), "name")
        return FromLabel(
            self.name.strip(),
            registration=_text(self.registration),
            active_substance=_text(self.active_substance),
            rate=_text(self.rate),
            amount=_number("amount", self.amount),
            amount_unit=_text(self.amount_unit),
            pre_harvest_days=_days(self.pre_harvest_days),
            re_entry_hours=_hours(self.re_entry_hours),
            most_applications=_whole("most_applications", self.most_applications),
            least_interval_days=_whole("least_interval_days", self.least_interval_days),
            not_while_in_flower=True if self.flower == "yes" else None,
        )


@dataclass(frozen=True, slots=True)
class JobForm:
    """Everything that stands in the form of one job."""

    method: str
    garden: str | None = None
    trees: tuple[str, ...] = ()
    chosen: bool = False  # whether it was said on what: without trees that is a whole garden
    minutes: str = ""
    people: str = ""
    partly: bool = False
    cost: str = ""
    note: str = ""
    water_l: str = ""
    treated_area_m2: str = ""
    target: str = ""
    bbch: str = ""
    wind_m_s: str = ""
    temperature_c: str = ""
    operator: str = ""
    certificate: str = ""
    rain_after: bool = False
    products: tuple[ProductForm, ...] = ()
    told: Told = field(default=NOW)

    @property
    def is_spray(self) -> bool:
        """Whether label facts are asked for."""
        return self.method in SPRAYS

    def plain(self) -> dict[str, Any]:
        """As it is kept at a place."""
        return {name: value for name, value in asdict(self).items() if name not in ("method", "told")}


@dataclass(frozen=True, slots=True)
class JobOffered:
    """What a form shows beside its fields: names, on what, and of a spray what to say before it is recorded."""

    method_name: str
    reach: Reach
    on: TreesChosen | None
    cautions: tuple[str, ...]
    typed_before: tuple[ProductForm, ...]
    offers: tuple[TreeOffers, ...]
    people: tuple[PersonLine, ...]
    who: str


@dataclass(frozen=True, slots=True)
class JobChoice:
    """One kind of work to choose; `last` says when it was done last, empty where it never was."""

    key: str
    name: str
    is_spray: bool
    last: str


@dataclass(frozen=True, slots=True)
class FormRecorded:
    """A job that was recorded, in a sentence, and everything to read about it."""

    job: str
    sentence: str
    to_read: tuple[str, ...]

    def take_back(self, store: PhoneStore) -> None:
        """Undo it."""
        undo(store, self.job)


def jobs_to_choose(store: PhoneStore) -> list[JobChoice]:
    """All kinds of work but bagging and drops rounds, which have places of their own; sprays come last."""
    last: dict[str, When] = {}
    for job in store.all(Job):
        if job.method not in last or job.moment.order > last[job.method].order:
            last[job.method] = job.moment
    found = [
        JobChoice(
            one.key,
            method_name(one, one.key),
            one.key in SPRAYS,
            say("last: {when}", when=when_in_words(last[one.key].text)) if one.key in last else "",
        )
        for one in method_choices(store)
        if one.key not in (BAGGING, DROPS_ROUND)
    ]
    return sorted(found, key=lambda choice: choice.is_spray)


def form_from(method: str, draft: Mapping[str, Any], told: Told = NOW) -> JobForm:
    """The form as it was kept; what a later release keeps besides is passed over."""
    known = {one.name for one in fields(JobForm)} - {"method", "told", "products", "trees"}
    kept = {name: draft[name] for name in known if name in draft}
    products = tuple(_product_from(one) for one in draft.get("products", ()))
    return JobForm(method, trees=tuple(draft.get("trees", ())), products=products, told=told, **kept)


def job_offered(store: PhoneStore, form: JobForm) -> JobOffered:
    """What to show beside the form now."""
    method = next((one for one in method_choices(store) if one.key == form.method), None)
    return JobOffered(
        method_name(method, form.method),
        method.reach if method else Reach.TREE,
        chosen(store, form.garden, form.trees) if form.chosen and form.garden else None,
        _cautions(store, form),
        products_typed_before(store, form) if form.is_spray else (),
        tuple(offers_for(store, form.method)),
        tuple(one for one in people(store) if not one.retired),
        name_of(store, form.told.done_by or (store.identity.person if store.identity else "")),
    )


def method_name(method: Method | None, key: str) -> str:
    """A method's name with a capital, as a heading; the group's own ones as they named them."""
    named = spoken(METHOD_NAMES[key]) if key in METHOD_NAMES else method.name if method else key
    return capital(named)


def record_form(store: PhoneStore, form: JobForm) -> FormRecorded:
    """Record what stands in the form; BadInputError names the field that cannot be taken, and nothing is recorded."""
    if not form.chosen or form.garden is None:
        raise BadInputError(say("Say first which trees, or that it was the whole garden."), "trees")
    on = chosen(store, form.garden, form.trees)
    sentence = say(
        "{method}: {trees}.",
        method=method_name(
            next((one for one in method_choices(store) if one.key == form.method), None), form.method
        ),
        trees=on.in_words,
    )
    if form.is_spray:
        sprayed = record_spray(store, _spray(store, form))
        doubts = [doubt.sentence for doubt in sprayed.doubts]
        return FormRecorded(sprayed.job, sentence, (*sprayed.notes, *doubts, *sprayed.cautions))
    done = record_job(
        store,
        form.method,
        trees=form.trees,
        garden=None if form.trees else form.garden,
        ended=_ended(store, form),
        minutes=_whole("minutes", form.minutes),
        people=_whole("people", form.people),
        partly=form.partly,
        cost=_number("cost", form.cost),
        note=_text(form.note),
        rain_after=form.rain_after or None,
        told=form.told,
    )
    return FormRecorded(done.job, sentence, (*done.notes, *(doubt.sentence for doubt in done.doubts)))


def products_typed_before(store: PhoneStore, form: JobForm, most: int = 4) -> tuple[ProductForm, ...]:
    """Label facts that this group typed for the same method before, newest first; those in the form already left out."""
    jobs = sorted(
        (job for job in store.all(Job) if job.method == form.method),
        key=lambda job: (job.moment.order, job.rec),
        reverse=True,
    )
    here = {one.name.strip().casefold() for one in form.products}
    found: dict[str, ProductForm] = {}
    for product in (product for job in jobs for product in job.products):
        if product.name.strip().casefold() not in here:
            found.setdefault(product.name.strip().casefold(), product_as_typed(product))
    return tuple(found.values())[:most]


def _spray(store: PhoneStore, form: JobForm) -> SprayTold:
    return SprayTold(
        form.method,
        [one.read() for one in form.products],
        trees=form.trees,
        garden=None if form.trees else form.garden,
        ended=_ended(store, form),
        minutes=_whole("minutes", form.minutes),
        people=_whole("people", form.people),
        partly=form.partly,
        cost=_number("cost", form.cost),
        water_l=_number("water_l", form.water_l),
        treated_area_m2=_number("treated_area_m2", form.treated_area_m2),
        target=_code(form.target),
        bbch=_text(form.bbch),
        wind_m_s=_number("wind_m_s", form.wind_m_s),
        temperature_c=_number("temperature_c", form.temperature_c),
        operator=_text(form.operator),
        certificate=_text(form.certificate),
        rain_after=form.rain_after or None,
        note=_text(form.note),
        told=form.told,
    )


def _ended(store: PhoneStore, form: JobForm) -> str | None:
    """The end of work that was told by the time it began and how long it took; label hours run from there.

    Nothing where it is recorded as it ends, which is now, or where no time of day is known.
    """
    began = parse_when(form.told.when).instant if form.told.when else None
    minutes = _whole("minutes", form.minutes)
    if began is None or minutes is None:
        return None
    return min(began + timedelta(minutes=minutes), store.now()).isoformat(timespec="seconds")


def _cautions(store: PhoneStore, form: JobForm) -> tuple[str, ...]:
    """What to say of a spray so far; nothing while a product has no name, the want of which is said when recording."""
    if not form.is_spray or not any(one.name.strip() for one in form.products):
        return ()
    try:
        return cautions(store, _spray(store, form))
    except BadInputError as error:
        return (str(error),)


def _product_from(kept: Mapping[str, Any]) -> ProductForm:
    known = {one.name for one in fields(ProductForm)}
    return ProductForm(**{name: str(value) for name, value in kept.items() if name in known})


def product_as_typed(product: Product) -> ProductForm:
    """The facts of a label that were recorded, as they were typed."""
    facts = product.model_dump()
    plain = {name: "" if value is None else _plain(value) for name, value in facts.items()}
    plain["flower"] = "yes" if facts.get("not_while_in_flower") else ""
    return _product_from(plain)


def _plain(value: Any) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)


def _text(text: str) -> str | None:
    return text.strip() or None


def _code(text: str) -> str | None:
    return text.strip().upper() or None


def _number(name: str, text: str) -> float | None:
    if not text.strip():
        return None
    try:
        return float(text.replace(",", "."))
    except ValueError:
        raise BadInputError(
            say("“{text}” is no number; write it with digits, such as 12.", text=text[:20]), name
        ) from None


def _whole(name: str, text: str) -> int | None:
    number = _number(name, text)
    if number is not None and not number.is_integer():
        raise BadInputError(
            say("{text} is no whole number; write it without a part, such as 12.", text=text[:20]), name
        )
    return None if number is None else int(number)


def _days(text: str) -> int | Literal["not_given"] | None:
    return NOT_GIVEN if text == NOT_GIVEN else _whole("pre_harvest_days", text)


def _hours(text: str) -> float | Literal["until_dry", "not_given"] | None:
    if text == NOT_GIVEN:
        return NOT_GIVEN
    return UNTIL_DRY if text == UNTIL_DRY else _number("re_entry_hours", text)
