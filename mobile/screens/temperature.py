"""The lowest and the highest temperature of a day, in either unit; day after day without leaving the place."""

from datetime import date

from mobile.screens.day_field import day_sheet
from mobile.screens.garden_choice import garden_question
from mobile.screens.screen import Screen
from mobile.widgets.buttons import Primary, Row
from mobile.widgets.choices import Choice
from mobile.widgets.columns import Card, Line
from mobile.widgets.fields import NumberField
from mobile.widgets.touchable import Touchable
from mobile.widgets.words import Words, small
from mobile.workflows.asking import Store
from mobile.workflows.corrections import undo
from mobile.workflows.day_temperatures import DayNoted, DayOffered, day_noted, day_offered, note_day
from mobile.workflows.moments import today
from mobile.workflows.spoken_moments import day_with_year
from shared_models.errors import BadInputError
from shared_models.language import say, word


class TemperatureScreen(Screen):
    """Unit and reading habit are those of the last time."""

    title = word("Lowest and highest")

    def show(self) -> None:
        """The next day to type."""
        garden = self.where.draft.get("garden") or self.where.about.get("garden")
        self.ask(lambda store: (day_offered(store, garden), today(store)), self._tell)

    def beside_back(self) -> list[Touchable]:
        """Keep it."""
        return [Primary(say("Keep this day"), self._keep)]

    def _tell(self, found: tuple[DayOffered, date]) -> None:
        offered, last = found
        draft = self.where.draft
        asked, self._garden = garden_question(offered.gardens, offered.garden, self._chosen)
        self._day, self._last = offered.day, last
        self._which = Row(day_with_year(self._day), self._ask_day, sign="clock", bold=True)
        self._unit = Choice(
            [("C", say("°C")), ("F", say("°F"))], self._in_unit, draft.get("unit", offered.unit)
        )
        self._lowest = self._field("lowest", say("Lowest"))
        self._highest = self._field("highest", say("Highest"))
        habits = [
            ("morning", say("Read in the morning")),
            ("evening", say("Read in the evening")),
            ("midnight", say("From midnight to midnight")),
        ]
        self._habit = Choice(habits, lambda habit: self.keep(habit=habit), draft.get("habit", offered.habit))
        self.reading.fill(
            self._which,
            Line(self._lowest, self._highest),
            self._unit,
            *asked,
            Words(say("When is the thermometer read?")),
            self._habit,
            *([Card(*(small(line) for line in offered.there))] if offered.there else []),
        )

    def _ask_day(self) -> None:
        self.lay(day_sheet(say("Which day?"), self._day, self._last, self._on_day))

    def _on_day(self, day: date) -> None:
        self._day = day
        self._which.text = day_with_year(day)

    def _field(self, name: str, question: str) -> NumberField:
        return NumberField(question, self.where.draft.get(name, ""), lambda text: self.keep(**{name: text}))

    def _chosen(self, garden: str) -> None:
        self.keep(garden=garden)
        self.again()

    def _in_unit(self, unit: str) -> None:
        self.keep(unit=unit)

    def _keep(self) -> None:
        try:
            day, lowest, highest = self._day, self._lowest.number(), self._highest.number()
        except BadInputError:
            return  # the field says it
        garden, unit, habit = self._garden, self._unit.chosen, self._habit.chosen
        if garden is None:
            self.apologise(say("Temperatures belong to a garden; name one first."))
        elif lowest is None or highest is None:
            missing = self._lowest if lowest is None else self._highest
            missing.error = say("Type a temperature.")
        else:
            sentence = day_noted(day, lowest, highest, unit or "C")

            def work(store: Store) -> DayNoted:
                return note_day(store, garden, day, lowest, highest, "F" if unit == "F" else "C", habit=habit)

            self.ask(work, lambda noted: self._kept(sentence, noted))

    def _kept(self, sentence: str, noted: DayNoted) -> None:
        doubts = [doubt.sentence for doubt in noted.doubts]
        self.recorded(" ".join([sentence, *doubts]), lambda store: undo(store, noted.record))
        self.keep(lowest="", highest="")
        self.again()
