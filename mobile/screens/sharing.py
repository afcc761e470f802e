"""Sharing: what is not shared, what needs a look and what to do, and the touch that shares. Never waited for."""

from mobile.screens.apart_cards import apart_cards
from mobile.screens.copies import copies_row
from mobile.screens.places import SCREENS
from mobile.screens.screen import Screen
from mobile.widgets.buttons import Action, Primary, Row
from mobile.widgets.columns import Card
from mobile.widgets.notices import Notice
from mobile.widgets.touchable import Touchable
from mobile.widgets.words import Words, heading, small
from mobile.workflows.sharing import NeedsALookLine, SharingView, Tried, share_now, sharing_view
from shared_models.language import say, word


class SharingScreen(Screen):
    """How it stands with the group."""

    title = word("Sharing")

    def show(self) -> None:
        """As it is on this phone; no network is asked."""
        self._ask("")

    def beside_back(self) -> list[Touchable]:
        """Share, or connect first; can be touched once it is known which."""
        self._next = Primary(say("Share now"), self._share, disabled=True)
        return [self._next]

    def _ask(self, went_wrong: str) -> None:
        self.ask(sharing_view, lambda view: self._tell(view, went_wrong))

    def _tell(self, view: SharingView, went_wrong: str) -> None:
        self.reading.fill(
            heading(view.group or say("No group yet")),
            *([Notice(went_wrong)] if went_wrong else []),
            *(Words(sentence) for sentence in view.standing),
            *(
                []
                if view.connected
                else [small(say("A group’s coordinator gives you an address and a code."))]
            ),
            *([Words(say("Needs a look"), bold=True)] if view.needs_a_look or view.apart else []),
            *(self._needs_a_look(line) for line in view.needs_a_look),
            *apart_cards(self, view.apart),
            copies_row(self),
            *(
                [Row(say("Connect anew, with another code"), self._connect, sign="person")]
                if view.connected
                else []
            ),
        )
        self._next.disabled = False
        if not view.connected:
            self._next.text, self._next.then = say("Connect to a group"), self._connect

    def _needs_a_look(self, line: NeedsALookLine) -> Card:
        opening = [Action(say("Open it"), lambda: self.go("history_line", rec=line.rec))]
        words = [Words(line.what, bold=True), Words(line.why), small(line.to_do)]
        return Card(*words, *(opening if line.rec and "history_line" in SCREENS else []), warning=True)

    def _connect(self) -> None:
        self.go("connect")

    def _share(self) -> None:
        self._next.disabled, self._next.text = True, say("Sharing …")
        self.ask_network(share_now, self._shared)

    def _shared(self, tried: Tried) -> None:
        self._next.text = say("Share now")
        if tried.done:
            self.recorded(tried.sentence)
        self._ask("" if tried.done else tried.sentence)
