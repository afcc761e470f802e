"""The rules by which work falls due: each with its figure and source, changed for the group, switched off, put back."""

from functools import partial
from typing import Any

from mobile.screens.screen import Screen
from mobile.widgets.buttons import Action, Primary, Row
from mobile.widgets.columns import Line
from mobile.widgets.fields import NumberField
from mobile.widgets.sheet import Sheet
from mobile.widgets.words import heading, small
from mobile.workflows.asking import Work
from mobile.workflows.due_rules import (
    RuleLine,
    day_of_year,
    restore_rule,
    rule_lines,
    set_due_rule,
    switch_off,
)
from shared_models.errors import BadInputError
from shared_models.language import capital, say, word


class DueRulesScreen(Screen):
    """A list; a touch on a rule asks for another figure."""

    title = word("What falls due")

    def show(self) -> None:
        """As they hold now."""
        self.ask(rule_lines, self._tell)

    def _tell(self, lines: list[RuleLine]) -> None:
        place = self.reading.scroll_y
        self.reading.fill(
            heading(say("What falls due, by which rules")),
            small(say("A figure that you change holds for the whole group from its next sharing on.")),
            *(self._row(line) for line in lines),
        )
        self.reading.scroll_y = place

    def _row(self, line: RuleLine) -> Row:
        sign = "person" if line.own else "clock"
        return Row(capital(line.what), partial(self._ask, line), second=line.in_words, sign=sign)

    def _ask(self, line: RuleLine) -> None:
        self.lay(RuleSheet(line, self._set))

    def _set(self, line: RuleLine, work: Work[Any], sentence: str) -> None:
        self.ask(work, lambda _: self._kept(line, sentence))

    def _kept(self, before: RuleLine, sentence: str) -> None:
        self.recorded(sentence, lambda store: restore_rule(store, before))
        self.ask(rule_lines, self._tell)


class RuleSheet(Sheet):
    """One rule: another figure, none of it, or the published one again."""

    def __init__(self, line: RuleLine, then: Any) -> None:
        super().__init__(capital(line.what))
        self._rule, self._then = line, then
        self._fields = _day_fields(line) if line.is_day_of_year else [_figure_field(line)]
        off = Action(say("Ask for nothing by this rule"), self._off, bold=False)
        back = Action(say("Back to {published}", published=line.published), self._back, bold=False)
        for widget in (
            small(line.in_words),
            Line(*self._fields),
            Primary(say("Keep for the group"), self._keep),
            *([back] if line.own else []),
            *([off] if line.value is not None else []),
        ):
            self.paper.column.add_widget(widget)

    def _keep(self) -> None:
        try:
            value = self._typed()
        except BadInputError as error:
            self._fields[0].error = str(error)
            return
        if value is None:
            self._fields[0].error = say("Type a figure.")
            return
        key = self._rule.key
        self._do(lambda store: set_due_rule(store, key, value), say("The group’s own figure is kept."))

    def _typed(self) -> float | None:
        """The figure; BadInputError where it is none."""
        if not self._rule.is_day_of_year:
            return self._fields[0].number()
        day, month = (field.whole() for field in self._fields)
        return day_of_year(month, day)

    def _off(self) -> None:
        key = self._rule.key
        self._do(lambda store: switch_off(store, key), say("Nothing is asked for by this rule any more."))

    def _back(self) -> None:
        key = self._rule.key
        self._do(lambda store: set_due_rule(store, key, None), say("The published figure holds again."))

    def _do(self, work: Work[Any], sentence: str) -> None:
        self.close()
        self._then(self._rule, work, sentence)


def _figure_field(line: RuleLine) -> NumberField:
    return NumberField(line.figure_asked, "" if line.value is None else f"{line.value:g}")


def _day_fields(line: RuleLine) -> list[NumberField]:
    month, day = divmod(int(line.value or 0), 100)
    return [NumberField(say("Day"), str(day or "")), NumberField(say("Month"), str(month or ""))]
