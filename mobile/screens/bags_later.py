"""After bagging: bags taken off before picking, and a look at how they hang."""

from mobile.screens.screen import Screen
from mobile.screens.when import WhenLine, told_of
from mobile.widgets.buttons import Action, Primary
from mobile.widgets.columns import Card
from mobile.widgets.fields import NumberField
from mobile.widgets.touchable import Touchable
from mobile.widgets.words import Words, heading, small
from mobile.workflows.asking import Store
from mobile.workflows.bag_checks import BagsChecked, BagsSeen, check_bags
from mobile.workflows.bagging import take_bags_off
from mobile.workflows.job import JobDone
from mobile.workflows.tree_list import TreeLine, TreeList
from shared_models.errors import BadInputError
from shared_models.language import say, spoken, word

SEEN = (
    ("still_on", word("Still on")),
    ("fell_empty", word("Fell empty")),
    ("fell_with_fruit", word("Fell with fruit")),
    ("torn", word("Torn")),
)


class BagsLaterScreen(Screen):
    """Numbers of one look; what is left empty was not looked at."""

    title = word("Bags later on")

    def show(self) -> None:
        """As it was typed."""
        tree = str(self.where.about["tree"])
        self.ask(lambda store: TreeList(store).line(tree), self._tell)

    def beside_back(self) -> list[Touchable]:
        """Keep the look."""
        return [Primary(say("Keep this look"), self._keep_look)]

    def _tell(self, line: TreeLine) -> None:
        self._line = line
        self._fields = {name: self._field(name, spoken(words)) for name, words in SEEN}
        self._off = self._field("off", say("How many, if counted?"))
        self.reading.fill(
            heading(say("Tree {tree}", tree=line.label)),
            WhenLine(self, where={"tree": line.tree}),
            Words(say("How do the bags hang?"), bold=True),
            *self._fields.values(),
            small(say("Leave empty what you did not look at; none is 0.")),
            Card(
                Words(say("Bags taken off, so that the fruit colours or is picked"), bold=True),
                self._off,
                Action(say("Note bags taken off"), self._take_off),
            ),
        )

    def _field(self, name: str, question: str) -> NumberField:
        return NumberField(question, self.where.draft.get(name, ""), lambda text: self.keep(**{name: text}))

    def _keep_look(self) -> None:
        try:
            seen = BagsSeen(**{name: field.whole() for name, field in self._fields.items()})
        except BadInputError:
            return  # the field says it
        tree, told = self._line.tree, told_of(self.where)
        self.ask(lambda store: check_bags(store, tree, seen, told), self._kept)

    def _kept(self, checked: BagsChecked) -> None:
        def undo(store: Store) -> None:
            store.undo(checked.check)

        label = self._line.label
        doubts = [doubt.sentence for doubt in checked.doubts]
        kept = say("Bags of tree {tree}: {found}.", tree=label, found=checked.in_words)
        self.recorded(" ".join([kept, *doubts]), undo)
        self.back()

    def _take_off(self) -> None:
        try:
            number = self._off.whole()
        except BadInputError:
            return  # the field says it
        tree, told = self._line.tree, told_of(self.where)
        self.ask(lambda store: take_bags_off(store, [tree], number=number, told=told), self._taken_off)

    def _taken_off(self, done: JobDone) -> None:
        def undo(store: Store) -> None:
            store.undo(done.job)

        self.recorded(say("Tree {tree}: bags taken off.", tree=self._line.label), undo)
        self.back()
