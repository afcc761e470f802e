"""The fields in which a part's pick is told: fruit in all, or kilograms; all scored; taken by others. Records nothing."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from kivy.uix.widget import Widget

from mobile.screens.where import Where
from mobile.widgets.choices import Choice, OnOff
from mobile.widgets.fields import NumberField
from mobile.widgets.words import Words
from mobile.workflows.picked_in_all import SaidOfPick
from mobile.workflows.picking_result import PartResult
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.report_words import named
from shared_models.vocabulary import AllScored


@dataclass(frozen=True, slots=True)
class Typed:
    """What stands in the fields, and whether that is anything at all."""

    said: SaidOfPick
    anything: bool


class PickedFields:
    """Of one part. What is typed is kept with the place until it is recorded."""

    def __init__(self, part: PartResult, where: Where, keep: Callable[..., Any]) -> None:
        self._part, self._where, self._keep = part, where, keep
        self._total = self._number("total", say("Picked in all, fruit"))
        self._kilograms = self._number("kg", say("Or picked in all, kg"))
        self._per_kg = self._number("per_kg", say("Fruit in a kilogram"))
        self._taken = self._number("taken", say("Taken by others (eaten, deer, wind), if any"))
        self._about = OnOff(
            say("About, not counted"), lambda yes: self._note("about", yes), bool(self._typed("about"))
        )
        every = self._typed("all_scored")
        self._all = Choice(
            [(AllScored.YES, say("Every picked fruit was scored")), (AllScored.NO, say("Some were not"))],
            lambda answer: self._note("all_scored", answer.value),
            AllScored(every) if every else None,
        )

    def widgets(self, several: bool) -> list[Widget]:
        """The fields; named by their part where there are several."""
        cover = named(self._part.cover)
        what = (
            say("Of the fruit of {cultivar}, {cover}", cultivar=self._part.name, cover=cover)
            if self._part.name
            else say("Of the fruit that is {cover}", cover=cover)
        )
        name = [Words(what, bold=True)] if several else []
        return [*name, self._all, self._total, self._about, self._kilograms, self._per_kg, self._taken]

    def said(self) -> Typed | None:
        """What stands in them; None where one cannot be taken, which the field says."""
        try:
            total, taken = self._total.whole(), self._taken.whole()
            weight, per_kg = self._kilograms.number(), self._per_kg.number()
        except BadInputError:
            return None
        answer = self._all.chosen
        said = SaidOfPick(
            self._part.place, self._part.cover, total, self._about.on, weight, per_kg, answer, taken
        )
        return Typed(said, any(one is not None for one in (total, weight, per_kg, answer, taken)))

    def _number(self, name: str, question: str) -> NumberField:
        return NumberField(question, self._typed(name) or "", lambda text: self._note(name, text))

    def _typed(self, name: str) -> Any:
        return self._where.draft.get(self._key(name))

    def _note(self, name: str, value: Any) -> None:
        self._keep(**{self._key(name): value})

    def _key(self, name: str) -> str:
        return f"{name} {self._part.place} {self._part.cover}"
