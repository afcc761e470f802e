"""Sprays: typed from the label, warned about, never blocked, never filled in."""

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.first_start import name_garden
from mobile.workflows.moments import Told
from mobile.workflows.spray import NOT_GIVEN, UNTIL_DRY, FromLabel, SprayTold, cautions, record_spray
from mobile.workflows.stages import note_stage
from mobile.workflows.tree_choice import choose_trees, trees_as_last_time
from shared_models.errors import BadInputError
from shared_models.records.jobs import Job
from shared_models.seasons import Hemisphere
from tests.mobile.phones import SetClock


def said_of(phone: PhoneStore, *mix: FromLabel, trees: tuple[str, ...], **more: object) -> str:
    """All cautions of a spray, before it is recorded."""
    return " ".join(cautions(phone, SprayTold("granulovirus", mix, trees=trees, **more)))  # type: ignore[arg-type]


def test_every_label_fact_is_kept_as_typed_for_many_trees_at_once(
    phone: PhoneStore, garden: str, row: tuple[str, ...]
) -> None:
    product = FromLabel(
        "Product one",
        registration="R-123",
        active_substance="virus",
        rate="100 ml/ha",
        amount=12.5,
        amount_unit="ml",
        pre_harvest_days=3,
        re_entry_hours=4,
        most_applications=10,
        least_interval_days=8,
        not_while_in_flower=False,
    )
    told = SprayTold(
        "granulovirus",
        [product],
        trees=choose_trees(phone, garden, "3-7, 12"),
        ended="2026-09-12T10:00:00+02:00",
        minutes=35,
        water_l=9.5,
        treated_area_m2=150,
        target="CARPPO",
        bbch="81",
        wind_m_s=1.5,
        temperature_c=18,
        operator="Ada",
        told=Told(when="2026-09-12T09:25:00+02:00"),
    )
    done = record_spray(phone, told)
    job = phone.get(Job, done.job)
    assert job is not None and done.doubts == ()
    assert job.trees == [*row[2:7], row[11]]
    assert {name: getattr(job.products[0], name) for name in product.fields()} == product.fields()
    assert (job.water_l, job.target, job.bbch, job.operator, job.minutes) == (9.5, "CARPPO", "81", "Ada", 35)
    assert trees_as_last_time(phone, "granulovirus") == tuple(job.trees)


def test_nothing_is_filled_in(phone: PhoneStore, tree: str) -> None:
    done = record_spray(phone, SprayTold("horticultural_oil", [FromLabel("Oil")], trees=[tree]))
    assert phone.entries_of(done.job)[0].f == {
        "method": "horticultural_oil",
        "products": [{"name": "Oil"}],
        "trees": [tree],
        "when": "2026-09-12T10:00:00+02:00",
    }


def test_a_seven_day_interval_from_the_first_of_september_allows_picking_from_the_eighth(
    phone: PhoneStore, row: tuple[str, ...]
) -> None:
    mix = FromLabel("One", pre_harvest_days=7), FromLabel("Two", pre_harvest_days=3)
    said = said_of(phone, *mix, trees=row, told=Told(when="2026-09-01T19:00:00+02:00"))
    assert "First day to pick: Tuesday 8 September (Tuesday 1 September and 7 calendar days" in said


def test_re_entry_is_told_by_the_longest_of_the_mix(phone: PhoneStore, row: tuple[str, ...]) -> None:
    mix = FromLabel("One", re_entry_hours=4), FromLabel("Two", re_entry_hours=24)
    said = said_of(phone, *mix, trees=row)
    assert "out until 10:00 Sunday, Sunday 13 September: 24 hours from the end" in said


def test_an_interval_that_has_run_out_is_called_ended_and_no_more(phone: PhoneStore, tree: str) -> None:
    said = said_of(
        phone, FromLabel("One", re_entry_hours=4), trees=(tree,), told=Told(when="2026-09-11T10:00:00+02:00")
    )
    assert "The typed re-entry interval has ended (14:00 Friday)." in said


def test_until_dry_and_not_given_are_answers(phone: PhoneStore, tree: str) -> None:
    mix = (
        FromLabel("One", re_entry_hours=UNTIL_DRY, pre_harvest_days=0),
        FromLabel("Two", re_entry_hours=NOT_GIVEN, pre_harvest_days=NOT_GIVEN),
    )
    said = said_of(phone, *mix, trees=(tree,))
    assert "at least until the spray is dry" in said
    assert "Two: no re-entry interval was typed" in said and "Two: no pre-harvest interval was typed" in said


def test_a_spray_without_its_time_of_day_counts_hours_from_its_end(phone: PhoneStore, tree: str) -> None:
    said = said_of(phone, FromLabel("One", re_entry_hours=4), trees=(tree,), told=Told(when="2026-09-12"))
    assert "its time of day is not noted" in said


@pytest.mark.parametrize(
    ("bbch", "warned"), [("59", False), ("60", True), ("65", True), ("69", True), ("71", False)]
)
def test_open_flowers_are_said_where_the_label_asks(
    phone: PhoneStore, tree: str, bbch: str, warned: bool
) -> None:
    marked = FromLabel("One", not_while_in_flower=True)
    assert ("Flowers are open" in said_of(phone, marked, trees=(tree,), bbch=bbch)) is warned
    assert "Flowers are open" not in said_of(phone, FromLabel("One"), trees=(tree,), bbch=bbch)


def test_a_flower_mark_without_a_stage_says_that_the_stage_is_missing(phone: PhoneStore, tree: str) -> None:
    said = said_of(phone, FromLabel("One", not_while_in_flower=True), trees=(tree,))
    assert "growth stage is not noted" in said


def test_a_stage_that_was_noted_stands_in_for_one_that_was_not_typed(
    phone: PhoneStore, garden: str, tree: str
) -> None:
    marked = FromLabel("One", not_while_in_flower=True)
    note_stage(phone, "65", garden=garden)
    assert "Flowers are open (BBCH 65)" in said_of(phone, marked, trees=(tree,))
    note_stage(phone, "71", tree=tree)
    assert "Flowers are open" not in said_of(phone, marked, trees=(tree,))
    assert "Flowers are open (BBCH 62)" in said_of(phone, marked, trees=(tree,), bbch="62")


def test_a_stage_of_another_garden_or_of_long_ago_says_nothing(
    phone: PhoneStore, tree: str, clock: SetClock
) -> None:
    marked = FromLabel("One", not_while_in_flower=True)
    note_stage(phone, "65", garden=name_garden(phone, "Far", Hemisphere.NORTH).garden)
    note_stage(phone, "65", tree=tree, told=Told(when="2026-08-10"))
    assert "The growth stage is not noted" in said_of(phone, marked, trees=(tree,))
    with pytest.raises(BadInputError, match="no stage"):
        note_stage(phone, "98", tree=tree)


def test_too_many_and_too_soon_are_said_and_recorded_all_the_same(
    phone: PhoneStore, row: tuple[str, ...], clock: SetClock
) -> None:
    product = FromLabel("One", registration="R-1", most_applications=2, least_interval_days=8)
    for _ in range(2):
        record_spray(phone, SprayTold("granulovirus", [product], trees=row[:3]))
        clock.move(days=5)
    renamed = FromLabel("One, new bottle", registration="r-1", most_applications=2, least_interval_days=8)
    done = record_spray(phone, SprayTold("granulovirus", [renamed], trees=row[2:6]))
    said = " ".join(done.cautions)
    assert "this is application 3 on a tree within a year; the label allows 2" in said
    assert "5 days after the last application (Thursday 17 September); the label asks for at least 8" in said
    assert phone.get(Job, done.job) is not None
    other_tree = said_of(phone, renamed, trees=row[7:8])
    assert "application 1 on a tree within a year, of 2 that the label allows" in other_tree


def test_each_spray_defers_to_the_label_and_says_as_known_when(phone: PhoneStore, tree: str) -> None:
    said = cautions(phone, SprayTold("granulovirus", [FromLabel("One")], trees=[tree]))
    assert said[0].startswith("The label is the law") and "children and animals" in said[0]
    assert said[-2].startswith("As known on this phone at 10:00 Saturday")
    assert said[-1] == "This is not a legal spray record."


@pytest.mark.parametrize(
    ("mix", "field"),
    [
        ([], "products"),
        ([FromLabel("")], "products.0.name"),
        ([FromLabel("One", pre_harvest_days=-1)], "products.0.pre_harvest_days"),
        ([FromLabel("One", re_entry_hours=10**9)], "products.0.re_entry_hours"),
    ],
)
def test_what_cannot_be_taken_is_named_and_nothing_is_kept(
    phone: PhoneStore, tree: str, mix: list[FromLabel], field: str
) -> None:
    with pytest.raises(BadInputError) as refused:
        record_spray(phone, SprayTold("granulovirus", mix, trees=[tree]))
    assert str(refused.value.field).startswith(field) and str(refused.value).endswith(".")
    assert phone.all(Job) == []


def test_a_spray_on_no_tree_is_kept_and_doubted(phone: PhoneStore) -> None:
    done = record_spray(phone, SprayTold("granulovirus", [FromLabel("One")]))
    assert [doubt.field for doubt in done.doubts] == ["trees"]
