"""A job as it is typed: trees in words, what is offered, label facts as texts, and what is refused by field."""

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.first_start import name_garden
from mobile.workflows.job import record_job
from mobile.workflows.job_form import (
    JobForm,
    ProductForm,
    form_from,
    job_offered,
    jobs_to_choose,
    product_as_typed,
    record_form,
)
from mobile.workflows.moments import Told
from mobile.workflows.tree_plans import own_method
from mobile.workflows.tree_words import chosen, chosen_by_text, offers_for
from mobile.workflows.trees import add_row
from shared_models.errors import BadInputError
from shared_models.records.jobs import Job
from shared_models.seasons import Hemisphere
from shared_models.vocabulary import Reach

LABEL = ProductForm("Invented white film", "X-17", rate="3 kg", pre_harvest_days="7", re_entry_hours="4")


def spray(row: tuple[str, ...], garden: str, **more: object) -> JobForm:
    """A spray of three trees as it stands in the form."""
    given = {"trees": row[:3], "garden": garden, "chosen": True, "products": (LABEL,), **more}
    return JobForm("kaolin_film", **given)  # type: ignore[arg-type]


def test_neighbours_are_called_from_to_and_two_by_both_names(
    phone: PhoneStore, garden: str, row: tuple[str, ...]
) -> None:
    assert chosen(phone, garden, [*row[:3], *row[5:7], row[11]]).in_words == "6 trees: 1–3, 6, 7, 12"
    assert chosen(phone, garden, row[:1]).in_words == "1 tree: 1"
    assert chosen(phone, garden, row).in_words == "all 12 trees of Lower garden"
    assert chosen(phone, garden, ()).in_words == "the whole of Lower garden"
    assert chosen_by_text(phone, garden, "2-4, 9").trees == (*row[1:4], row[8])


def test_the_garden_of_the_last_job_and_its_trees_are_offered_first(
    phone: PhoneStore, garden: str, row: tuple[str, ...]
) -> None:
    upper = name_garden(phone, "Hill", Hemisphere.NORTH).garden
    add_row(phone, upper, 3, prefix="A")
    add_row(phone, upper, 2, prefix="B")
    assert [offer.garden for offer in offers_for(phone, "netting")] == [upper, garden]
    record_job(phone, "netting", trees=row[4:6])
    first, second = offers_for(phone, "netting")
    assert first.garden == garden and first.last_time is not None and first.last_time.trees == row[4:6]
    assert [one.in_words for one in second.rows] == ["3 trees: A1–A3", "2 trees: B1, B2"]
    assert second.last_time is None and second.all_trees is not None and len(second.all_trees.trees) == 5


def test_own_methods_are_offered_and_sprays_come_last(phone: PhoneStore, row: tuple[str, ...]) -> None:
    own_method(phone, "paper collar", Reach.TREE)
    record_job(phone, "pruning", trees=row[:2], told=Told("2026-09-01"))
    choices = jobs_to_choose(phone)
    names = [choice.name for choice in choices]
    assert "Paper collar" in names and "Bagging" not in names and "Drops rounds" not in names
    assert [choice.is_spray for choice in choices] == sorted(choice.is_spray for choice in choices)
    assert next(one.last for one in choices if one.key == "pruning") == "last: Tuesday 1 September"


def test_a_form_is_the_same_after_it_was_kept_as_plain_text(row: tuple[str, ...], garden: str) -> None:
    form = spray(row, garden, minutes="40", partly=True)
    assert form_from("kaolin_film", form.plain()) == form
    assert form_from("kaolin_film", form.plain() | {"of_a_later_release": 1}) == form


def test_a_spray_is_recorded_as_its_label_was_typed(
    phone: PhoneStore, garden: str, row: tuple[str, ...]
) -> None:
    done = record_form(phone, spray(row, garden, minutes="40", wind_m_s="2,5", target="carppo"))
    job = phone.get(Job, done.job)
    assert job is not None and (job.minutes, job.wind_m_s, job.target) == (40, 2.5, "CARPPO")
    assert product_as_typed(job.products[0]) == LABEL
    assert done.sentence == "Kaolin film: 3 trees: 1–3."
    assert any("First day to pick: Saturday 19 September" in sentence for sentence in done.to_read)
    done.take_back(phone)
    assert phone.get(Job, done.job) is None


def test_label_words_that_are_no_number_are_recorded_as_such(
    phone: PhoneStore, garden: str, row: tuple[str, ...]
) -> None:
    label = ProductForm("Invented", pre_harvest_days="not_given", re_entry_hours="until_dry", flower="yes")
    job = phone.get(Job, record_form(phone, spray(row, garden, products=(label,))).job)
    assert job is not None and product_as_typed(job.products[0]) == label


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"chosen": False}, "trees"),
        ({"products": ()}, "products"),
        ({"products": (ProductForm(),)}, "name"),
        ({"products": (ProductForm("X", pre_harvest_days="a week"),)}, "pre_harvest_days"),
        ({"products": (ProductForm("X", least_interval_days="1.5"),)}, "least_interval_days"),
        ({"minutes": "forty"}, "minutes"),
        ({"bbch": "6"}, "bbch"),
    ],
)
def test_what_cannot_be_taken_is_named_and_nothing_is_recorded(
    phone: PhoneStore, garden: str, row: tuple[str, ...], change: dict[str, object], field: str
) -> None:
    with pytest.raises(BadInputError) as refused:
        record_form(phone, spray(row, garden, **change))
    assert refused.value.field == field and phone.all(Job) == []


def test_cautions_come_with_the_first_name_and_say_what_is_mistyped(
    phone: PhoneStore, garden: str, row: tuple[str, ...]
) -> None:
    assert job_offered(phone, spray(row, garden, products=(ProductForm(),))).cautions == ()
    said = " ".join(job_offered(phone, spray(row, garden)).cautions)
    assert "The label is the law" in said and "First day to pick: Saturday 19 September" in said
    mistyped = job_offered(phone, spray(row, garden, products=(ProductForm("X", pre_harvest_days="?"),)))
    assert mistyped.cautions == ("“?” is no number; write it with digits, such as 12.",)


def test_labels_typed_before_are_offered_once_and_the_newest_version(
    phone: PhoneStore, garden: str, row: tuple[str, ...]
) -> None:
    older = ProductForm("Invented white film", pre_harvest_days="3")
    record_form(phone, spray(row, garden, products=(older,), told=Told("2026-08-01")))
    record_form(phone, spray(row, garden))
    assert job_offered(phone, JobForm("kaolin_film")).typed_before == (LABEL,)
    assert job_offered(phone, spray(row, garden)).typed_before == ()
    assert job_offered(phone, JobForm("netting")).typed_before == ()


def test_label_hours_run_from_the_end_of_work_that_was_told_by_its_beginning(
    phone: PhoneStore, garden: str, row: tuple[str, ...]
) -> None:
    told = Told("2026-09-12T07:00:00+02:00")
    done = record_form(phone, spray(row, garden, told=told, minutes="90"))
    job = phone.get(Job, done.job)
    assert job is not None and job.ended == "2026-09-12T08:30:00+02:00"
    assert any("Keep people and animals out until 12:30 Saturday" in sentence for sentence in done.to_read)
    longer = record_form(
        phone, spray(row, garden, told=told, minutes="600")
    )  # never an end that is still to come
    assert (found := phone.get(Job, longer.job)) is not None and found.ended == "2026-09-12T10:00:00+02:00"
    for moment in (Told(), Told("2026-09-11")):
        other = phone.get(Job, record_form(phone, spray(row, garden, told=moment, minutes="90")).job)
        assert other is not None and other.ended is None
