"""Doubts across fields: they warn about what does not seem to fit, and never refuse it."""

import pytest

from shared_models.fold import fold
from shared_models.records.kinds import check_fields, record_of
from tests.builders import FieldPhone

PHONE = FieldPhone()
GARDEN = PHONE.garden()
TREE = PHONE.tree(GARDEN)
TRAP = PHONE.trap(GARDEN)
VISIT = PHONE.visit(TREE)


def doubts(entry):
    """The doubts of an entry's record, which is taken all the same."""
    assert check_fields(entry.kind, entry.f, creates=True) == []
    record = record_of(fold([entry]))
    assert record is not None
    return [(doubt.field, doubt.sentence) for doubt in record.doubts()]


def job(**fields):
    """A job on the tree."""
    return PHONE.job("netting", TREE, **fields)


def temperature(lowest, highest, unit="C"):
    """A day's temperature."""
    said = {"garden": GARDEN.rec, "when": "2026-06-04", "lowest": lowest, "highest": highest, "unit": unit}
    return PHONE.makes("day_temperature", said)


def hanging(**days):
    """Where the trap hangs."""
    return PHONE.makes("placement", {"trap": TRAP.rec, "garden": GARDEN.rec, **days})


DOUBTFUL = {
    "a latitude of the other half": (PHONE.garden(lat=-45), "lat"),
    "a southern garden in the north": (PHONE.garden(hemisphere="south", lat=45), "lat"),
    "bearing before planting": (PHONE.tree(GARDEN, year_planted=2020, bearing_from=2019), "bearing_from"),
    "a tree that is itself": (PHONE.same_tree(TREE, TREE), "b"),
    "treated and untreated": (PHONE.untreated(TREE, methods=["netting"]), "methods"),
    "a contrast of nothing": (PHONE.makes("planned_contrast", {"season": "2026", "when": "unknown"}), "a"),
    "a contrast of one mix": (
        PHONE.makes("planned_contrast", {"season": "2026", "when": "unknown", "a": ["netting"]}),
        "a",
    ),
    "a placement that ends first": (hanging(from_day="2026-06-04", to_day="2026-06-03"), "to_day"),
    "counted without a number": (
        PHONE.makes("trap_visit", {"trap": TRAP.rec, "when": "2026-06-04", "state": "counted"}),
        "moths",
    ),
    "more sexes than moths": (PHONE.trap_visit(TRAP, 3, males=2, females=2), "males"),
    "very many moths": (PHONE.trap_visit(TRAP, 501), "moths"),
    "more bags back than taken": (PHONE.visit(TREE, "bagging", took=50, left=51), "left"),
    "a look at bags without a number": (
        PHONE.makes("bag_check", {"tree": TREE.rec, "when": "2026-07-04"}),
        "still_on",
    ),
    "more torn than hang": (
        PHONE.makes("bag_check", {"tree": TREE.rec, "when": "2026-07-04", "still_on": 3, "torn": 4}),
        "torn",
    ),
    "unequal numbers scored twice": (
        PHONE.makes(
            "double_score",
            {
                "when": "2026-09-10",
                "second": TREE.rec,
                "first_marks": ["clean"],
                "second_marks": ["clean"] * 2,
            },
        ),
        "second_marks",
    ),
    "one person scoring twice": (
        PHONE.makes(
            "double_score",
            {
                "when": "2026-09-10",
                "second": PHONE.person_id,
                "first_marks": ["clean"],
                "second_marks": ["sting"],
            },
        ),
        "second",
    ),
    "more entries than cut": (
        PHONE.makes("cut_sample", {"tree": TREE.rec, "when": "2026-09-10", "cut": 3, "found": 4}),
        "found",
    ),
    "a bag on bare fruit": (PHONE.mark(VISIT, "clean", cover="bare", bag="on"), "bag"),
    "a number without one": (PHONE.makes("number", {"visit": VISIT.rec, "low": 3}), "n"),
    "from above to": (PHONE.makes("number", {"visit": VISIT.rec, "low": 9, "high": 3}), "low"),
    "kilograms alone": (PHONE.pick(TREE, weight_kg=20), "fruit_per_kg"),
    "a job on nothing": (PHONE.job("netting"), "trees"),
    "a job that ends before it begins": (
        job(when="2026-06-04T09:00:00+02:00", ended="2026-06-04T08:59:00+02:00"),
        "ended",
    ),
    "a job that ends before, told by its offset": (
        job(when="2026-06-04T09:00:00+01:00", ended="2026-06-04T09:30:00+02:00"),
        "ended",
    ),
    "lowest above highest": (temperature(20, 10), "lowest"),
    "Celsius that looks like Fahrenheit": (temperature(50, 72), "unit"),
}


@pytest.mark.parametrize(("entry", "field"), DOUBTFUL.values(), ids=DOUBTFUL.keys())
def test_what_does_not_fit_is_doubted_and_kept(entry, field):
    [(doubted, sentence)] = doubts(entry)
    assert doubted == field
    assert sentence[0].isupper() or sentence[0] in "“0123456789"
    assert sentence[-1] in ".?" and "{" not in sentence


NOT_DOUBTFUL = {
    "north": PHONE.garden(lat=45),
    "south": PHONE.garden(hemisphere="south", lat=-45),
    "on the equator": PHONE.garden(lat=0),
    "without a position": PHONE.garden(),
    "bearing in the year of planting": PHONE.tree(GARDEN, year_planted=2020, bearing_from=2020),
    "two trees": PHONE.same_tree(TREE, GARDEN),
    "left untreated": PHONE.untreated(TREE),
    "two mixes": PHONE.makes(
        "planned_contrast", {"season": "2026", "when": "unknown", "a": [], "b": ["netting"]}
    ),
    "one method": PHONE.makes(
        "planned_contrast", {"season": "2026", "when": "unknown", "with_method": "netting"}
    ),
    "hung and taken down on one day": hanging(from_day="2026-06-04", to_day="2026-06-04"),
    "none is a count": PHONE.trap_visit(TRAP, 0),
    "not visited": PHONE.trap_visit(TRAP, None),
    "all sexed": PHONE.trap_visit(TRAP, 500, males=250, females=250),
    "all bags back": PHONE.visit(TREE, "bagging", took=50, left=50),
    "a bag on bagged fruit": PHONE.mark(VISIT, "clean", cover="bagged", bag="on"),
    "from and to": PHONE.makes("number", {"visit": VISIT.rec, "low": 3, "high": 3}),
    "kilograms and fruit": PHONE.pick(TREE, weight_kg=20, fruit_per_kg=8),
    "a job on a garden": PHONE.job("mating_disruption", garden=GARDEN.rec),
    "a job that ends later, told by its offset": job(
        when="2026-06-04T09:30:00+02:00", ended="2026-06-04T09:00:00+01:00"
    ),
    "a job whose end is a day": job(when="2026-06-04T09:30:00+02:00", ended="2026-06-04"),
    "a job of unknown time": job(when="unknown", ended="2026-06-04"),
    "one temperature all day": temperature(10, 10),
    "a hot day in Fahrenheit": temperature(60, 95, "F"),
}


@pytest.mark.parametrize("entry", NOT_DOUBTFUL.values(), ids=NOT_DOUBTFUL.keys())
def test_what_fits_is_not_doubted(entry):
    assert doubts(entry) == []
