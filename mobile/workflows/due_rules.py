"""The rules by which work falls due, as a group may change them: its own figures, switched off, and back again.

Offers `rule_lines`, `set_due_rule`, `switch_off`, `restore_rule` and `day_of_year`.
"""

from dataclasses import dataclass
from datetime import date

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.own_rules import own_rules
from shared_models.due_words import figure, source, unit_words
from shared_models.errors import BadInputError
from shared_models.fold import DELETED
from shared_models.language import say
from shared_models.records.timing import DueRule, due_rule_id
from shared_models.reference.work_rules import WorkRules, published_rules

MONTH_AND_DAY = "month and day"


@dataclass(frozen=True, slots=True)
class RuleLine:
    """One rule: what it says, its figure as it holds, whose that is, and the published figure with its source."""

    key: str
    what: str
    figure: str
    value: float | None
    unit: str
    source: str
    own: bool
    published: str

    @property
    def is_day_of_year(self) -> bool:
        """Whether its figure is a month and a day."""
        return self.unit == MONTH_AND_DAY

    @property
    def figure_asked(self) -> str:
        """The question for another figure, in its unit."""
        return say("Figure in {unit}", unit=unit_words(self.unit))

    @property
    def in_words(self) -> str:
        """Its figure and where that comes from."""
        if self.own:
            return say(
                "{figure}, your group’s own. Published: {published}. {source}",
                figure=self.figure,
                published=self.published,
                source=self.source,
            )
        return say("{figure}. {source}", figure=self.figure, source=self.source)


def rule_lines(store: PhoneStore) -> list[RuleLine]:
    """All rules by which work falls due, as they hold now."""
    rules, published = WorkRules(own_rules(store)), published_rules()
    found = [(rules.rule(key), figure(usual)) for key, usual in published.items()]
    return [
        RuleLine(one.key, one.what, figure(one), one.value, one.unit, source(one), one.own, usual)
        for one, usual in found
    ]


def day_of_year(month: int | None, day: int | None) -> float:
    """A month and a day as the figure of a rule; BadInputError where no year has that day."""
    try:
        told = date(2001, month or 0, day or 0)  # no leap year: a rule is to hold every year
    except ValueError:
        raise BadInputError(
            say("No year has that day; type the month from 1 to 12 and a day of it."), "value"
        ) from None
    return float(told.month * 100 + told.day)


def set_due_rule(store: PhoneStore, key: str, value: float | None) -> None:
    """Set the group's own figure for a rule; None goes back to the published one. BadInputError names an unknown rule."""
    _refuse_unknown(key)
    if value is None:
        if store.get(DueRule, due_rule_id(key)) is not None:
            store.undo(due_rule_id(key))
        return
    store.record(DueRule.kind, {"key": key, "value": value, "off": False, DELETED: False}, due_rule_id(key))


def switch_off(store: PhoneStore, key: str) -> None:
    """Ask for nothing by this rule any more, in the whole group."""
    _refuse_unknown(key)
    store.record(DueRule.kind, {"key": key, "off": True, DELETED: False}, due_rule_id(key))


def restore_rule(store: PhoneStore, before: RuleLine) -> None:
    """Let a rule hold as it held before."""
    if before.own and before.value is None:
        switch_off(store, before.key)
    else:
        set_due_rule(store, before.key, before.value if before.own else None)


def _refuse_unknown(key: str) -> None:
    if key not in published_rules():
        raise BadInputError(say("There is no rule “{key}”; nothing was changed.", key=key[:40]), "key")
