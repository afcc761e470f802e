"""Fruit of a tree that looked clean, cut open: how many, and in how many an entry was found. Changes no share."""

from mobile.screens.screen import Screen
from mobile.screens.when import WhenLine, told_of
from mobile.widgets.buttons import Primary
from mobile.widgets.fields import NumberField
from mobile.widgets.touchable import Touchable
from mobile.widgets.words import Words, heading, small
from mobile.workflows.asking import Store
from mobile.workflows.scoring_checks import cut_open
from mobile.workflows.tree_list import TreeLine, TreeList
from shared_models.errors import BadInputError
from shared_models.language import say, say_many, word


class CutOpenScreen(Screen):
    """Two numbers; none found is a number too."""

    title = word("Fruit cut open")

    def show(self) -> None:
        """As it was typed."""
        tree = str(self.where.about["tree"])
        self.ask(lambda store: TreeList(store).line(tree), self._tell)

    def beside_back(self) -> list[Touchable]:
        """Record them."""
        return [Primary(say("Record what was cut"), self._record)]

    def _tell(self, line: TreeLine) -> None:
        self._line = line
        self._cut = self._field("cut", say("How many that look clean were cut?"))
        self._found = self._field("found", say("In how many of them was an entry? None is 0"))
        self.reading.fill(
            heading(say("Tree {tree}", tree=line.label)),
            self._cut,
            self._found,
            WhenLine(self, where={"tree": line.tree}),
            Words(
                # Extension material on apple pests: entries through the calyx are hard to see without cutting, so a
                # sample is cut; that about 25 do is common practice.
                say(
                    "An entry through the calyx is hard to see from outside. About 25 fruit that look clean, "
                    "from all sides of the tree, tell how many are missed."
                )
            ),
            small(say("It stands beside the season’s comparison and raises no share in it.")),
            small(
                say("Cut on a board, away from the hand that holds the fruit; no blades for small children.")
            ),
        )

    def _field(self, name: str, question: str) -> NumberField:
        return NumberField(question, self.where.draft.get(name, ""), lambda text: self.keep(**{name: text}))

    def _record(self) -> None:
        try:
            cut, found = self._cut.whole(), self._found.whole()
        except BadInputError:
            return  # the field says it
        for field, number in ((self._cut, cut), (self._found, found)):
            if number is None:
                field.error = say("Type how many; none is 0.")
        if cut is None or found is None:
            return
        tree, told = self._line.tree, told_of(self.where)
        self.ask(
            lambda store: cut_open(store, tree, cut, found, told), lambda rec: self._recorded(rec, cut, found)
        )

    def _recorded(self, rec: str, cut: int, found: int) -> None:
        def undo(store: Store) -> None:
            store.undo(rec)

        about = dict(self.where.about)
        entries = say_many("an entry in {count}", "an entry in {count}", found) if found else say("no entry")
        sentence = say("Tree {tree}: {cut} cut, {found}.", tree=self._line.label, cut=cut, found=entries)
        self.back()
        self.recorded(sentence, undo, lambda: self.frame.go("cut_open", **about))
