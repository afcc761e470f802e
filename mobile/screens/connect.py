"""Connecting this phone to a group: the address of its server and a one-time code. Everything recorded stays."""

from mobile.screens.screen import Screen
from mobile.widgets.buttons import Primary
from mobile.widgets.fields import TextField
from mobile.widgets.notices import Notice
from mobile.widgets.touchable import Touchable
from mobile.widgets.words import Words, heading, small
from mobile.workflows.asking import Sharing
from mobile.workflows.sharing import Tried, connect_and_share
from shared_models.connecting_text import BEGINS, is_connecting_text
from shared_models.language import say, word


class ConnectScreen(Screen):
    """Two lines to type, as the coordinator gave them; or one text that holds both."""

    title = word("Connect to a group")

    def show(self) -> None:
        """Empty, or as it was typed; the code is never kept."""
        self._url = TextField(
            say("Address of the group’s server"),
            self.where.draft.get("url", ""),
            lambda text: self.keep(url="" if is_connecting_text(text) else text),
            input_type="url",
        )
        self._code = TextField(say("One-time code"))
        self._show_all("")

    def beside_back(self) -> list[Touchable]:
        """Connect."""
        self._next = Primary(say("Connect"), self._connect)
        return [self._next]

    def _show_all(self, sentence: str) -> None:
        self.reading.fill(
            heading(say("Share with your group")),
            *([Notice(sentence)] if sentence else []),
            Words(
                say(
                    "What you recorded stays on this phone, and the group gets a copy. What the group has comes here."
                )
            ),
            self._url,
            self._code,
            small(say("The code is good once, and for ten minutes. Capitals and hyphens do not matter.")),
            small(
                say(
                    "If you were sent one long text that begins with “{begins}”, put all of it in the first line "
                    "and leave the second empty.",
                    begins=BEGINS,
                )
            ),
        )

    def _connect(self) -> None:
        url, code = self._url.text, self._code.text
        self._next.disabled, self._next.text = True, say("Connecting …")

        def errand(phone: Sharing) -> Tried:
            return connect_and_share(phone, url, code)

        self.ask_network(errand, self._tried)

    def _tried(self, tried: Tried) -> None:
        self._next.disabled, self._next.text = False, say("Connect")
        if tried.done:
            self.recorded(tried.sentence)
            self.instead("sharing")
        else:
            self._show_all(tried.sentence)
