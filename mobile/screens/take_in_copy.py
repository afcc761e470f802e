"""Taking in a copy: which file, what it holds, and what came of it. Nothing is taken before it was looked at."""

from kivy.uix.widget import Widget

from mobile.screens.screen import Screen
from mobile.widgets.buttons import Action, Primary
from mobile.widgets.columns import Card
from mobile.widgets.fields import TextField
from mobile.widgets.touchable import Touchable
from mobile.widgets.words import Words, heading, small
from mobile.workflows.copies_in import CopySeen, look_at_copy, take_in_copy
from shared_models.language import say, word


class TakeInCopyScreen(Screen):
    """A file, then what it holds, then the touch that takes it in."""

    title = word("Take in a copy")

    def show(self) -> None:
        """The file as it was named; it is looked at anew."""
        self._file = TextField(say("Where the file is"), self.where.draft.get("file", ""), self._named)
        self._fill()
        self._offer_to_look()

    def beside_back(self) -> list[Touchable]:
        """Look at it, then take it in."""
        self._next = Primary(say("Look at it"), self._look)
        return [self._next]

    def _fill(self, *content: Widget) -> None:
        self.reading.fill(
            heading(say("What another phone recorded")),
            Words(
                say(
                    "What is in the file comes to what is here. Nothing here is lost, and nothing is counted twice."
                )
            ),
            *self._choose(),
            self._file,
            *content,
        )

    def _choose(self) -> list[Widget]:
        if not self.frame.errands.files.can_choose:
            return [small(say("This device shows no list of files; type where the file is."))]
        return [
            Action(say("Choose a file"), lambda: self.frame.errands.choose_file(self._chosen), sign="find")
        ]

    def _chosen(self, file: str) -> None:
        if self.frame.way.here.screen == self.where.screen:  # else somebody went elsewhere meanwhile
            self._file.text = file
            self._look()

    def _named(self, text: str) -> None:
        self.keep(file=text)
        if self._next.then != self._look:
            self._fill()
            self._offer_to_look()

    def _offer_to_look(self) -> None:
        self._next.disabled, self._next.text, self._next.then = False, say("Look at it"), self._look

    # ------------------------------------------------------------ looking
    def _look(self) -> None:
        file = self._file.text
        self._next.disabled, self._next.text = True, say("Looking …")
        self.ask_long(lambda store: look_at_copy(store, file), self._seen, self._offer_to_look)

    def _seen(self, seen: CopySeen) -> None:
        self._offer_to_look()
        if not seen.new:
            self._fill(Card(*map(Words, seen.sentences), small(say("There is nothing to take in."))))
            return
        stays = small(
            say("What is taken in stays. Single records can be undone in the history, not all at once.")
        )
        self._fill(Card(*map(Words, seen.sentences), stays))
        self._next.text, self._next.then = say("Take it in"), self._take

    # ------------------------------------------------------------ taking in
    def _take(self) -> None:
        file = self._file.text
        self._next.disabled, self._next.text = True, say("Taking it in …")
        self.ask_long(lambda store: take_in_copy(store, file), self._taken, self._offer_to_look)

    def _taken(self, told: list[str]) -> None:
        self._offer_to_look()
        self.recorded(say("The copy was taken in."))
        self._fill(Card(*map(Words, told)))
