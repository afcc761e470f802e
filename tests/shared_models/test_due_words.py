"""The words of due work: a sentence for every kind, and a reason that names figure and source."""

from datetime import date

import pytest

from shared_models.due_words import due_reason, due_sentence
from shared_models.reference.work_rules import WorkRules, published_rules
from shared_models.timing.due_work import DueKind, DueLine, Why

RULES = WorkRules({})
LINES = {
    DueKind.TRAP: DueLine(DueKind.TRAP, Why.AGE, RULES.rule("trap_check_to_biofix"), "g", "t", None, 4),
    DueKind.LURE: DueLine(DueKind.LURE, Why.AGE, RULES.rule("lure_age"), "g", "t", None, 43),
    DueKind.LINER: DueLine(DueKind.LINER, Why.MOTHS, RULES.rule("liner_moths"), "g", "t", number=31),
    DueKind.HANG: DueLine(DueKind.HANG, Why.FLIGHT, RULES.rule("hang_traps"), "g", since=date(2026, 4, 17)),
    DueKind.BAGGING: DueLine(DueKind.BAGGING, Why.STAGE, RULES.rule("bagging_from_bbch"), "g"),
    DueKind.BAG_CHECK: DueLine(DueKind.BAG_CHECK, Why.AGE, RULES.rule("bag_check"), "g", days=14),
    DueKind.DROPS: DueLine(DueKind.DROPS, Why.AGE, RULES.rule("drops_round"), "g", days=8),
    DueKind.BANDS_ON: DueLine(DueKind.BANDS_ON, Why.SEASON, RULES.rule("bands_on"), "g"),
    DueKind.BANDS_OFF: DueLine(DueKind.BANDS_OFF, Why.SEASON, RULES.rule("bands_off"), "g"),
}
SAID = {
    DueKind.TRAP: "Trap T1: count, last 4 days ago.",
    DueKind.LURE: "Trap T1: the lure is 6 weeks old.",
    DueKind.LINER: "Trap T1: change the liner, 31 moths since the last new one.",
    DueKind.HANG: "Hill: hang the traps, moths may fly from 2026-04-17.",
    DueKind.BAGGING: "Hill: bag fruit, it is big enough.",
    DueKind.BAG_CHECK: "Hill: look at the bags, last 14 days ago.",
    DueKind.DROPS: "Hill: drops round, last 8 days ago.",
    DueKind.BANDS_ON: "Hill: put the trunk bands on.",
    DueKind.BANDS_OFF: "Hill: take the trunk bands off.",
}


@pytest.mark.parametrize("kind", DueKind)
def test_each_kind_of_work_has_its_sentence(kind: DueKind):
    assert due_sentence(LINES[kind], "Hill", "T1") == SAID[kind]


@pytest.mark.parametrize("key", published_rules())
def test_a_reason_names_the_figure_and_where_it_comes_from(key: str):
    rule = RULES.rule(key)
    reason = due_reason(DueLine(DueKind.TRAP, Why.AGE, rule, "g"))
    assert rule.what in reason and (rule.source in reason or "Common practice" in reason)


def test_reasons_tell_figures_with_their_units():
    told = {
        key: due_reason(DueLine(DueKind.TRAP, Why.AGE, RULES.rule(key), "g")) for key in published_rules()
    }
    assert "(3 days)" in told["trap_check_to_biofix"] and "(97 °C-days)" in told["hang_traps"]
    assert "(BBCH 71)" in told["bagging_from_bbch"] and told["bagging_from_bbch"].count("Unchecked") == 1
    assert "(day 1 of month 6, in the south half a year later)" in told["bands_on"]


def test_a_figure_of_the_group_s_own_is_called_so():
    own = WorkRules({"lure_age": 35.0}).rule("lure_age")
    assert due_reason(DueLine(DueKind.LURE, Why.AGE, own, "g", "t")) == "Your group's own figure: 35 days."
