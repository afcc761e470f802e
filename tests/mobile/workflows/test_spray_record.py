"""What a written record of a spray still lacks by the rule that was chosen, and the sign at a sprayed row.

Fields: 7 CFR 110.3 (United States) and Regulations (EC) 1107/2009 article 67 and (EU) 2023/564.
"""

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.moments import Told
from mobile.workflows.spray import UNTIL_DRY, FromLabel, SprayTold, cautions, record_spray
from mobile.workflows.spray_record import choose_spray_rule, row_sign, spray_rule
from shared_models.errors import BadInputError
from shared_models.records.gardens import Garden, Tree
from shared_models.spray_records import SprayRule, rule_names
from tests.mobile.phones import SetClock

AT = Told(when="2026-09-12T09:25:00+02:00")
WHOLE = FromLabel("One", registration="R-1", rate="1 ml/l", amount=12, amount_unit="ml")


def last_caution(phone: PhoneStore, product: FromLabel, tree: str, **more: object) -> str:
    """What is said of the record itself, which is said last."""
    told = {"told": AT, "treated_area_m2": 20.0, "operator": "Ada", "certificate": "C-1", "bbch": "81"} | more
    return cautions(phone, SprayTold("granulovirus", [product], trees=[tree], **told))[-1]  # type: ignore[arg-type]


def test_without_a_chosen_rule_it_is_no_legal_record(phone: PhoneStore, tree: str) -> None:
    assert spray_rule(phone) is SprayRule.NONE
    assert last_caution(phone, WHOLE, tree) == "This is not a legal spray record."


@pytest.mark.parametrize("rule", [SprayRule.UNITED_STATES, SprayRule.EUROPE])
def test_with_all_fields_of_the_rule_nothing_is_missing(
    phone: PhoneStore, garden: str, tree: str, rule: SprayRule
) -> None:
    choose_spray_rule(phone, rule)
    phone.record(Tree.kind, {"species": "MABSD"}, tree)
    phone.record(Garden.kind, {"lat": 46.0, "lon": 11.0}, garden)
    sentence = last_caution(phone, WHOLE, tree)
    assert sentence.startswith("All fields that") and "not a legal" not in sentence


@pytest.mark.parametrize(
    ("rule", "changed", "missing"),
    [
        (SprayRule.UNITED_STATES, {"operator": None}, "operator"),
        (SprayRule.UNITED_STATES, {"certificate": None}, "certificate number"),
        (SprayRule.EUROPE, {"treated_area_m2": None}, "treated area"),
        (SprayRule.EUROPE, {"bbch": None}, "growth stage (BBCH)"),
        (SprayRule.EUROPE, {"told": Told(when="2026-09-12")}, "time of day"),
        (SprayRule.UNITED_STATES, {"told": Told(when="2026-09-10/2026-09-11")}, "day"),
    ],
)
def test_each_field_that_is_left_out_is_named(
    phone: PhoneStore, garden: str, tree: str, rule: SprayRule, changed: dict[str, object], missing: str
) -> None:
    choose_spray_rule(phone, rule)
    phone.record(Tree.kind, {"species": "MABSD"}, tree)
    phone.record(Garden.kind, {"lat": 46.0, "lon": 11.0}, garden)
    sentence = last_caution(phone, WHOLE, tree, **changed)
    assert sentence.startswith("This is not a legal spray record by") and sentence.endswith(
        f"missing: {missing}."
    )


@pytest.mark.parametrize(
    ("rule", "product", "missing"),
    [
        (SprayRule.EUROPE, FromLabel("One", rate="1 ml/l"), "registration number"),
        (SprayRule.EUROPE, FromLabel("One", registration="R-1"), "rate"),
        (
            SprayRule.UNITED_STATES,
            FromLabel("One", registration="R-1", amount=3),
            "total amount with its unit",
        ),
    ],
)
def test_every_product_of_the_mix_must_be_complete(
    phone: PhoneStore, garden: str, tree: str, rule: SprayRule, product: FromLabel, missing: str
) -> None:
    choose_spray_rule(phone, rule)
    phone.record(Tree.kind, {"species": "MABSD"}, tree)
    phone.record(Garden.kind, {"lat": 46.0, "lon": 11.0}, garden)
    assert last_caution(phone, product, tree).endswith(f"missing: {missing}.")


def test_an_unknown_species_or_position_is_missing_too(phone: PhoneStore, tree: str) -> None:
    choose_spray_rule(phone, SprayRule.EUROPE)
    assert last_caution(phone, WHOLE, tree).endswith(
        "missing: crop (species of every tree), position of the garden."
    )
    assert len(list(rule_names())) == len(SprayRule)


def test_a_sign_for_the_row_says_where_when_and_until_when(
    phone: PhoneStore, row: tuple[str, ...], clock: SetClock
) -> None:
    mix = [
        FromLabel("One", re_entry_hours=24, pre_harvest_days=7),
        FromLabel("Two", re_entry_hours=UNTIL_DRY),
    ]
    done = record_spray(
        phone, SprayTold("granulovirus", mix, trees=row[:2], ended="2026-09-12T09:55:00+02:00", told=AT)
    )
    sign = row_sign(phone, done.job)
    assert sign.splitlines() == [
        "SPRAYED",
        "Trees: 1, 2",
        "When: Saturday 12 September, 09:25",
        "With: One, Two",
        "Keep out until Sunday 13 September, 09:55.",
        "Keep out at least until the spray has dried.",
        "First day to pick, drops too: Saturday 19 September (7 days).",
        "Two: see the label before picking.",
        "Keep children and animals away. The label is the law; this sign only reminds of what was typed from it.",
        "As known on this phone at 10:00 Saturday; a spray on another phone may not be shared yet.",
    ]


def test_a_sign_is_made_of_sprays_only(phone: PhoneStore, tree: str) -> None:
    with pytest.raises(BadInputError):
        row_sign(phone, tree)
