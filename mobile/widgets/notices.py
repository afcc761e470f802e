"""Sentences that need reading: a warning with its sign and word, an error that stays until it is read. Know no record."""

from collections.abc import Callable, Sequence
from typing import Any

from mobile.theme import theme
from mobile.widgets.buttons import Action
from mobile.widgets.columns import Card, Line
from mobile.widgets.sheet import Sheet
from mobile.widgets.sign import Sign
from mobile.widgets.words import Words
from shared_models.language import say


class Notice(Card):
    """A sentence with the warning sign beside it."""

    def __init__(self, sentence: str, *content: Any) -> None:
        sign = Sign("warning", role="warning", pos_hint={"center_y": 0.5})
        self.words = Words(sentence, pos_hint={"center_y": 0.5})
        super().__init__(Line(sign, self.words, spacing=theme.gap(1.5)), *content, warning=True)


class Apology(Sheet):
    """What could not be done, in a sentence; closed by a touch."""

    def __init__(self, sentence: str) -> None:
        close = Action(say("Close"), self.close)
        super().__init__(say("That was not done"), Words(sentence), close)


class Warned(Sheet):
    """What happened and what to do, sentence by sentence; stays until it is closed, `read` where it has to be read."""

    def __init__(self, title: str, sentences: Sequence[str], read: Callable[[], Any] | None = None) -> None:
        self._read = read
        answer = Action(say("I have read it") if read else say("Close"), self._close)
        super().__init__(title, Notice(sentences[0]), *map(Words, sentences[1:]), answer)

    def _close(self) -> None:
        self.close()
        if self._read is not None:
            self._read()
