"""Which fields a written record of a spray asks for, by the rule that somebody chose, and which of them are missing.

"A record is said to be none until every field that the chosen rule asks for is filled in", and even then it is the
person's own to keep: local rules go before. The fields are those of 7 CFR 110.3 (United States, restricted-use
products; read through an agency's page) and of Regulation (EC) 1107/2009 article 67 with Implementing Regulation (EU)
2023/564 (read in the regulation's text). Where the European rule asks for a field only if the authorisation limits it
(growth stage, time of day) it is asked for here, since nobody but the label knows.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import StrEnum

from shared_models.language import say, spoken, word
from shared_models.records.jobs import Job, Product


class SprayRule(StrEnum):
    """A rule that a record of a spray may have to meet; none where nobody chose one."""

    NONE = ""
    UNITED_STATES = "us"
    EUROPE = "eu"


NAMES = {
    SprayRule.UNITED_STATES: word("7 CFR 110.3 (United States)"),
    SprayRule.EUROPE: word("Regulation (EU) 2023/564"),
}


@dataclass(frozen=True, slots=True)
class SprayedPlace:
    """What is known of where it was sprayed, beside the job: whether all trees have a species, and a position."""

    crop_known: bool
    position_known: bool


def missing_fields(rule: SprayRule, job: Job, place: SprayedPlace) -> list[str]:
    """The names of the fields that the rule asks for and that are not filled in."""
    return [spoken(name) for name, is_there in _FIELDS[rule] if not is_there(job, place)]


def record_sentence(rule: SprayRule, job: Job, place: SprayedPlace) -> str:
    """What kind of record this is, by the rule that was chosen."""
    if rule is SprayRule.NONE:
        return say("This is not a legal spray record.")
    missing = missing_fields(rule, job, place)
    if missing:
        return say(
            "This is not a legal spray record by {rule}; missing: {fields}.",
            rule=spoken(NAMES[rule]),
            fields=", ".join(missing),
        )
    return say(
        "All fields that {rule} asks for are filled in. Whether that is enough here, local rules say.",
        rule=spoken(NAMES[rule]),
    )


# ---------------------------------------------------------------- the fields
Field = tuple[str, Callable[[Job, SprayedPlace], bool]]


def _of_each(has: Callable[[Product], bool]) -> Callable[[Job, SprayedPlace], bool]:
    return lambda job, place: bool(job.products) and all(has(one) for one in job.products)


_BOTH: tuple[Field, ...] = (
    (word("product"), _of_each(lambda one: bool(one.name.strip()))),
    (word("registration number"), _of_each(lambda one: bool(one.registration))),
    (word("place"), lambda job, place: bool(job.trees or job.garden)),
    (word("treated area"), lambda job, place: job.treated_area_m2 is not None),
    (word("crop (species of every tree)"), lambda job, place: place.crop_known),
    (word("day"), lambda job, place: job.moment.day is not None),
)
_FIELDS: dict[SprayRule, tuple[Field, ...]] = {
    SprayRule.NONE: (),
    SprayRule.UNITED_STATES: (
        *_BOTH,
        (
            word("total amount with its unit"),
            _of_each(lambda one: one.amount is not None and bool(one.amount_unit)),
        ),
        (word("operator"), lambda job, place: bool(job.operator)),
        (word("certificate number"), lambda job, place: bool(job.certificate)),
    ),
    SprayRule.EUROPE: (
        *_BOTH,
        (word("rate"), _of_each(lambda one: bool(one.rate))),
        (word("time of day"), lambda job, place: job.moment.instant is not None),
        (word("growth stage (BBCH)"), lambda job, place: job.bbch is not None),
        (word("position of the garden"), lambda job, place: place.position_known),
    ),
}


def rule_names() -> Iterator[tuple[SprayRule, str]]:
    """The rules that can be chosen, with their names."""
    yield SprayRule.NONE, say("none")
    yield from ((rule, spoken(name)) for rule, name in NAMES.items())
