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
from shared_models.vocabulary import AllScored, Certainty


@dataclass(frozen=True, slots=True)
class Typed:
    """What stands in the fields, and whether that is anything at all."""

    said: SaidOfPick
    anything: bool


class PickedFields:
    """Of one part. What is typed is kept with the place until it is recorded."""

    def __init__(self, part: PartResult, where: Where, keep: Callable[..., Any]) -> None:
        self._part, self._where, self._keep = part, where, keep
        self._before = _said_before(part)
        before = self._before
        self._total = self._number("total", say("Picked in all, fruit"), before.total)
        self._kilograms = self._number("kg", say("Or picked in all, kg"), before.weight_kg)
        self._per_kg = self._number("per_kg", say("Fruit in a kilogram"), before.fruit_per_kg)
        self._taken = self._number(
            "taken", say("Taken by others (eaten, deer, wind), if any"), before.taken_by_others
        )
        about = self._typed("about")
        self._about = OnOff(
            say("About, not counted"),
            lambda yes: self._note("about", yes),
            before.about if about is None else bool(about),
        )
        every = self._typed("all_scored") or before.all_scored
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
        """What stands in them otherwise than it is recorded; None where one cannot be taken, which the field says."""
        try:
            total, taken = self._total.whole(), self._taken.whole()
            weight, per_kg = self._kilograms.number(), self._per_kg.number()
        except BadInputError:
            return None
        if self._emptied():
            return None
        before, answer = self._before, self._all.chosen
        by_weight = (weight, per_kg) != (before.weight_kg, before.fruit_per_kg)
        said = SaidOfPick(
            self._part.place,
            self._part.cover,
            total,
            self._about.on,
            weight if by_weight else None,
            per_kg if by_weight else None,
            answer,
            taken,
        )
        changed = by_weight or (total, taken, answer) != (
            before.total,
            before.taken_by_others,
            before.all_scored,
        )
        return Typed(said, changed or (total is not None and said.about != before.about))

    def _emptied(self) -> bool:
        """Whether a field of what is recorded is empty now; leaving it so would keep what was recorded unseen."""
        before = self._before
        fields = (
            (self._total, before.total),
            (self._kilograms, before.weight_kg),
            (self._per_kg, before.fruit_per_kg),
            (self._taken, before.taken_by_others),
        )
        emptied = [field for field, number in fields if number is not None and not field.text]
        for field in emptied:
            field.error = say("This is recorded already; take it out in the history, where the reason stays.")
        return bool(emptied)

    def _number(self, name: str, question: str, recorded: float | None) -> NumberField:
        typed = self._typed(name)
        before = "" if recorded is None else f"{recorded:g}"
        return NumberField(question, before if typed is None else typed, lambda text: self._note(name, text))

    def _typed(self, name: str) -> Any:
        return self._where.draft.get(self._key(name))

    def _note(self, name: str, value: Any) -> None:
        self._keep(**{self._key(name): value})

    def _key(self, name: str) -> str:
        return f"{name} {self._part.place} {self._part.cover}"


def _said_before(part: PartResult) -> SaidOfPick:
    """What is recorded of the pick already, such as crates that were weighed."""
    told = part.told
    if told is None:
        return SaidOfPick(part.place, part.cover)
    return SaidOfPick(
        part.place,
        part.cover,
        told.total,
        told.total_certainty is Certainty.ESTIMATED and told.total is not None,
        told.weight_kg,
        told.fruit_per_kg,
        None if told.all_scored is AllScored.NOT_SAID else told.all_scored,
        told.taken_by_others,
    )
