"""What is said once a round of bagging: material and fruit size, and who puts the bags on. Records nothing by itself.

The answer goes with the person from tree to tree as plain arguments, so that it is there after a restart too.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

from mobile.screens.screen import Screen
from mobile.screens.where import Where
from mobile.widgets.buttons import Action, Primary
from mobile.widgets.choices import Choice
from mobile.widgets.fields import NumberField, TextField
from mobile.widgets.sheet import Sheet
from mobile.widgets.words import Words, small
from mobile.workflows.bagging import BagAnswer, BaggingRound, bag_answer
from mobile.workflows.people import PersonLine, add_person
from shared_models.errors import BadInputError
from shared_models.language import say


@dataclass(frozen=True, slots=True)
class RoundFacts:
    """The round so far: the bags (None while not said here), and a helper without a phone (None is oneself)."""

    answer: BagAnswer | None = None
    done_by: str | None = None

    def as_about(self) -> dict[str, Any]:
        """As arguments for the next place; what is not said is left out."""
        return {name: value for name, value in self.as_draft().items() if value is not None}

    def as_draft(self) -> dict[str, Any]:
        """As it is kept at a place."""
        said = self.answer is not None
        return {
            "material": self.answer.material if self.answer else None,
            "size": self.answer.fruit_size_mm if self.answer else None,
            "asked": said or None,
            "done_by": self.done_by,
        }


def facts_of(where: Where) -> RoundFacts:
    """What was said of the round at this place, or before coming here."""
    told = where.about | where.draft
    answer = BagAnswer(told.get("material"), told.get("size")) if told.get("asked") else None
    return RoundFacts(answer, told.get("done_by"))


def facts_in_words(facts: RoundFacts, walk: BaggingRound, known: Sequence[PersonLine]) -> str:
    """Such as "two-layer paper, fruit 22 mm · Ida"."""
    answer = facts.answer or walk.answer
    who = [line.name for line in known if line.person == facts.done_by or (line.is_me and not facts.done_by)]
    return " · ".join([answer_in_words(answer), *who])


def answer_in_words(answer: BagAnswer | None) -> str:
    """Which bags are put on, or that it was not said."""
    return answer.in_words if answer and answer.in_words else say("Which bags? Not said yet")


def ask_round(
    screen: Screen,
    facts: RoundFacts,
    walk: BaggingRound,
    known: Sequence[PersonLine],
    then: Callable[[RoundFacts], Any],
) -> None:
    """Ask for all of it; `then` is told what was answered. A helper named for the first time becomes a person."""
    before = facts.answer or walk.answer or walk.offered or BagAnswer()
    fields = BagFields(before)
    helpers = Choice(
        [(None if line.is_me else line.person, line.name) for line in known if not line.retired],
        lambda _: None,
        facts.done_by,
    )
    another = TextField(say("Or a helper without a phone, by name"))

    def keep() -> None:
        answer, name = fields.answer(), another.text
        if answer is None:
            return  # the field says it
        sheet.close()
        if name:
            screen.ask(lambda store: add_person(store, name), lambda who: then(RoundFacts(answer, who)))
        else:
            then(RoundFacts(answer, helpers.chosen))

    sheet = Sheet(
        say("This round"),
        small(say("Asked once; it stands on every tree of the round.")),
        *fields.widgets,
        Words(say("Who puts them on?")),
        helpers,
        another,
        Primary(say("Keep this"), keep),
    )
    screen.lay(sheet)


class BagFields:
    """Two fields: what the bags are made of, and how large the fruit is that goes in."""

    def __init__(self, before: BagAnswer) -> None:
        size = "" if before.fruit_size_mm is None else f"{before.fruit_size_mm:g}"
        self._material = TextField(say("What are the bags made of?"), before.material or "")
        self._size = NumberField(say("How large is the fruit, in mm?"), size)
        self.widgets = (self._material, self._size)

    def answer(self) -> BagAnswer | None:
        """What stands in them; None where one cannot be taken, which the field says."""
        try:
            return bag_answer(self._material.text, self._size.number())
        except BadInputError as error:
            field = self._material if error.field == "material" else self._size
            field.error = str(error)
            return None


def which_bags(
    offered: BagAnswer | None, then: Callable[[BagAnswer], Any], ask: Callable[[], Any]
) -> list[Any]:
    """The question on the first tree of a round: as last time by one touch, other bags, or left open."""
    last = (
        [
            Action(
                say("As last time: {bags}", bags=offered.in_words),
                partial(then, offered),
                bold=False,
                middle=False,
            )
        ]
        if offered and offered.in_words
        else []
    )
    return [*last, Action(say("Say which bags, once a round"), ask, bold=False, middle=False, sign="bag")]
