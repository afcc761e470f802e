"""Naming a garden: its name, and whether it lies in the north or in the south, since its seasons follow from that."""

from mobile.screens.screen import Screen
from mobile.widgets.buttons import Primary
from mobile.widgets.choices import Choice
from mobile.widgets.fields import TextField
from mobile.widgets.touchable import Touchable
from mobile.widgets.words import Words, heading, small
from mobile.workflows.asking import Store
from mobile.workflows.first_start import GardenNamed, name_garden
from shared_models.language import say, word
from shared_models.seasons import Hemisphere


class NameGardenScreen(Screen):
    """A name and a choice of two."""

    title = word("Name a garden")

    def show(self) -> None:
        """Empty, or as it was typed."""
        draft = self.where.draft
        self._name = TextField(
            say("What is it called?"), draft.get("name", ""), lambda text: self.keep(name=text)
        )
        half = Hemisphere(draft["half"]) if "half" in draft else None
        self._half = Choice(
            [
                (Hemisphere.NORTH, say("North of the equator")),
                (Hemisphere.SOUTH, say("South of the equator")),
            ],
            lambda chosen: self.keep(half=chosen.value),
            half,
        )
        self.reading.fill(
            heading(say("A place with trees")),
            self._name,
            Words(say("Where does it lie?")),
            self._half,
            small(say("Seasons begin on 1 January in the north and on 1 July in the south.")),
        )

    def beside_back(self) -> list[Touchable]:
        """Keep it."""
        return [Primary(say("Keep this garden"), self._keep)]

    def _keep(self) -> None:
        name, half = self._name.text, self._half.chosen
        if not name:
            self._name.error = say("Give it a name, such as “Lower garden”.")
            return
        self.ask(lambda store: name_garden(store, name, half), lambda made: self._kept(name, made))

    def _kept(self, name: str, made: GardenNamed) -> None:
        def undo(store: Store) -> None:
            store.undo(made.garden)

        self.recorded(say("Garden “{name}” is kept.", name=name), undo)
        self.back()
