"""Trees in a row: how many, the first number, a letter before it, the cultivar. One tree is a row of one."""

from mobile.screens.garden_choice import garden_question
from mobile.screens.screen import Screen
from mobile.widgets.buttons import Primary
from mobile.widgets.choices import Stepper
from mobile.widgets.fields import NumberField, TextField
from mobile.widgets.touchable import Touchable
from mobile.widgets.words import Words, heading
from mobile.workflows.asking import Store
from mobile.workflows.first_start import gardens
from mobile.workflows.trees import TreesAdded, add_row, row_label
from shared_models.errors import BadInputError
from shared_models.language import say, say_many, word
from shared_models.records.gardens import Garden

USUAL = 12


class RowOfTreesScreen(Screen):
    """Some numbers; what they make is said before it is kept."""

    title = word("Add trees")

    def show(self) -> None:
        """As it was typed."""
        self.ask(gardens, self._tell)

    def beside_back(self) -> list[Touchable]:
        """Keep them."""
        return [Primary(say("Keep these trees"), self._keep)]

    def number_key(self, number: int) -> None:
        """Numbers are typed into the fields."""

    def _tell(self, known: list[Garden]) -> None:
        draft = self.where.draft
        asked, self._garden = garden_question(
            known, draft.get("garden") or self.where.about.get("garden"), self._chosen
        )
        self._count = Stepper(draft.get("count", USUAL), self._counted, least=1, most=500)
        self._prefix = TextField(
            say("Letter before the number, if any"),
            draft.get("prefix", ""),
            lambda text: self._typed(prefix=text),
        )
        self._first = NumberField(
            say("First number"), draft.get("first", "1"), lambda text: self._typed(first=text)
        )
        self._cultivar = TextField(
            say("Cultivar, if all are the same"),
            draft.get("cultivar", ""),
            lambda text: self._typed(cultivar=text),
        )
        self._labels = Words("")
        self.reading.fill(
            heading(say("How many trees in the row?")),
            self._count,
            self._labels,
            *asked,
            self._first,
            self._prefix,
            self._cultivar,
        )
        self._preview()

    def _chosen(self, garden: str) -> None:
        self._garden = garden
        self.keep(garden=garden)

    def _counted(self, count: int) -> None:
        self.keep(count=count)
        self._preview()

    def _typed(self, **text: str) -> None:
        self.keep(**text)
        self._preview()

    def _preview(self) -> None:
        count, prefix, text = int(self._count.value), self._prefix.text, self._first.text
        if not text.isdecimal():
            self._labels.text = ""
            return
        first, last = row_label(prefix, int(text)), row_label(prefix, int(text) + count - 1)
        self._labels.text = (
            say("One tree, labelled {label}.", label=first)
            if count == 1
            else say("Labelled {first} to {last}.", first=first, last=last)
        )

    def _keep(self) -> None:
        try:
            first = self._first.whole()
        except BadInputError:
            return  # the field says it
        garden, count, prefix, cultivar = (
            self._garden,
            int(self._count.value),
            self._prefix.text,
            self._cultivar.text,
        )
        if garden is None:
            self.apologise(say("A tree stands in a garden; name one first."))
            return

        def work(store: Store) -> TreesAdded:
            return add_row(
                store, garden, count, prefix=prefix, first=1 if first is None else first, cultivar=cultivar
            )

        self.ask(work, self._kept)

    def _kept(self, added: TreesAdded) -> None:
        def undo(store: Store) -> None:
            for tree in added.trees:
                store.undo(tree)

        sentence = say_many("{count} tree is added.", "{count} trees are added.", len(added.trees))
        self.recorded(" ".join([sentence, *added.notes[:1]]), undo)
        self.back()
