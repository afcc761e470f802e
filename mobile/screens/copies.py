"""Copies: what would be lost with this phone, the last copy, the touch that makes one, and the way to taking one in."""

from kivy.uix.widget import Widget

from mobile.screens.screen import Screen
from mobile.widgets.buttons import Action, Primary, Row
from mobile.widgets.columns import Card
from mobile.widgets.fields import TextField
from mobile.widgets.notices import Notice
from mobile.widgets.touchable import Touchable
from mobile.widgets.words import Words, heading, small
from mobile.workflows.asking import Store
from mobile.workflows.copies import CopiesView, CopyMade, copies_view, make_copy
from shared_models.language import say, word


class CopiesScreen(Screen):
    """How it stands, and one thing to do about it."""

    title = word("Copies")

    def show(self) -> None:
        """As it is now."""
        self._folder = TextField(
            say("Folder to put the copy into"),
            self.where.draft.get("folder") or self.frame.errands.files.folder(),
            lambda text: self.keep(folder=text),
        )
        self._ask(None)

    def beside_back(self) -> list[Touchable]:
        """Make one."""
        self._next = Primary(say("Make a copy"), self._make)
        return [self._next]

    def _ask(self, made: CopyMade | None) -> None:
        self.ask(copies_view, lambda view: self._tell(view, made))

    def _tell(self, view: CopiesView, made: CopyMade | None) -> None:
        self.reading.fill(
            heading(say("If this phone is lost")),
            *(self._made_line(made) if made else []),
            Words(view.lost),
            *([] if made else [Words(view.last)]),
            *self._where_to(),
            Row(
                say("Take in a copy"),
                lambda: self.go("take_in_copy"),
                second=say("From another phone, or back from a file of your own."),
                sign="copy",
            ),
            *([Words(say("Taken in last"), bold=True)] if view.taken else []),
            *map(Words, view.taken),
        )

    def _where_to(self) -> list[Widget]:
        kept = small(
            say("A copy is one file with all that was recorded. It holds no pictures and no passwords.")
        )
        return [kept] if self.frame.errands.files.can_hand_out else [self._folder, kept]

    def _made_line(self, made: CopyMade) -> list[Widget]:
        if not made.good:
            return [Notice(made.sentence)]
        files = self.frame.errands.files
        again = [Action(say("Hand it on once more"), lambda: files.hand_out(made.file))]
        return [Card(Words(made.sentence, bold=True), *(again if files.can_hand_out else []))]

    def _make(self) -> None:
        files = self.frame.errands.files
        folder = files.folder() if files.can_hand_out else self._folder.text
        self._next.disabled, self._next.text = True, say("Making and trying it …")

        def work(store: Store) -> CopyMade:
            return make_copy(store, folder)

        self.ask_long(work, self._made, self._ready)

    def _made(self, made: CopyMade) -> None:
        self._ready()
        self.recorded(say("A copy was made and tried out.") if made.good else say("A copy was made."))
        if self.frame.errands.files.can_hand_out:
            self.frame.errands.files.hand_out(made.file)
        self._ask(made)

    def _ready(self) -> None:
        self._next.disabled, self._next.text = False, say("Make a copy")


def copies_row(screen: Screen) -> Row:
    """The way here."""
    return Row(
        say("Copies"),
        lambda: screen.go("copies"),
        second=say("A file in a second place. Two phones without a server come together by it."),
        sign="copy",
    )
