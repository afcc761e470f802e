"""A note in own words, about a tree, a trap or nothing in particular; kept while it is typed."""

from mobile.screens.screen import Screen
from mobile.screens.when import WhenLine, told_of
from mobile.widgets.buttons import Primary
from mobile.widgets.fields import TextField
from mobile.widgets.touchable import Touchable
from mobile.widgets.words import heading, small
from mobile.workflows.corrections import undo
from mobile.workflows.seen import SeenNoted, write_note
from shared_models.language import say, word


class NoteScreen(Screen):
    """`about` may name a record and what it is called."""

    title = word("A note")

    def show(self) -> None:
        """As it was typed."""
        named = self.where.about.get("named")
        self._text = TextField(
            say("What do you want to remember?"),
            self.where.draft.get("text", ""),
            lambda text: self.keep(text=text),
        )
        self.reading.fill(
            heading(say("About {what}", what=named) if named else say("In your own words")),
            self._text,
            WhenLine(self),
            small(say("Everybody who shares your records can read it.")),
        )

    def beside_back(self) -> list[Touchable]:
        """Keep it."""
        return [Primary(say("Keep this note"), self._keep)]

    def _keep(self) -> None:
        text, about, told = self._text.text, self.where.about.get("about"), told_of(self.where)
        if not text:
            self._text.error = say("Write something; an empty note is not kept.")
            return
        self.ask(lambda store: write_note(store, text, about=about, told=told), self._kept)

    def _kept(self, noted: SeenNoted) -> None:
        self.recorded(noted.sentence, lambda store: undo(store, noted.record))
        self.back()
