"""Fields to type in, each with its question above and, where something cannot be taken, a whole sentence below.

Know no record: what cannot be taken is said by whoever asked, but for a number field that holds no number.
"""

from collections.abc import Callable
from typing import Any

from kivy.metrics import dp
from kivy.properties import StringProperty
from kivy.uix.textinput import TextInput

from mobile.theme import BODY, LEAST, STROKE, theme
from mobile.widgets.columns import Column
from mobile.widgets.painted import Painted
from mobile.widgets.words import Words, small
from shared_models.errors import BadInputError
from shared_models.language import say


class Typed(Painted, TextInput):
    """The line that is typed into; Tab, Enter and Escape are left to the screen."""

    def __init__(self, **given: Any) -> None:
        given = {
            "multiline": False,
            "size_hint_y": None,
            "write_tab": False,
            "background_normal": "",
            "background_active": "",
            "background_color": (0, 0, 0, 0),
            **given,
        }
        super().__init__(**given)
        self.ground_role, self.edge_role = "ground", "line"
        theme.follow(self._look)
        self.bind(focus=self._focus, line_height=self._look)
        self._look()

    def keyboard_on_key_down(self, window: Any, keycode: tuple[int, str], text: str, modifiers: Any) -> Any:
        """Letters and arrows are the field's; moving on is not."""
        if keycode[1] in ("tab", "enter", "escape", "numpadenter", "up", "down"):
            return False
        return super().keyboard_on_key_down(window, keycode, text, modifiers)

    def _look(self, *_: object) -> None:
        self.font_size = theme.type(BODY)
        self.foreground_color = self.cursor_color = theme.colour("ink")
        self.selection_color = [*theme.colour("accent")[:3], 0.35]
        self.height = max(dp(LEAST), self.line_height + 2 * theme.gap(1.5))
        rest = (self.height - self.line_height) / 2
        self.padding = [theme.gap(1.5), rest, theme.gap(1.5), rest]

    def _focus(self, *_: object) -> None:
        self.edge_role, self.edge_width = ("ink", 3) if self.focus else ("line", STROKE)


class TextField(Column):
    """A question, a line to type in, and room for a sentence about it. `then` is told every change of the text."""

    error = StringProperty("")

    def __init__(
        self, question: str, text: str = "", then: Callable[[str], Any] | None = None, **given: Any
    ) -> None:
        super().__init__(spacing=theme.gap(0.5))
        self.typed = Typed(text=text, **given)
        self._error = small("", role="warning")
        self.fill(Words(question), self.typed, self._error)
        self.bind(error=self._tell)
        self.typed.bind(text=self._changed)
        self._then = then

    @property
    def text(self) -> str:
        """What stands in it, without blanks around it."""
        return str(self.typed.text).strip()

    @text.setter
    def text(self, text: str) -> None:
        self.typed.text = text

    def _changed(self, *_: object) -> None:
        self.error = ""
        if self._then:
            self._then(self.typed.text)

    def _tell(self, *_: object) -> None:
        self._error.text = self.error


class NumberField(TextField):
    """A field for a number with a decimal point or comma; a phone shows its number keys."""

    def __init__(
        self, question: str, text: str = "", then: Callable[[str], Any] | None = None, **given: Any
    ) -> None:
        super().__init__(question, text, then, **{"input_type": "number", **given})

    def number(self) -> float | None:
        """The number; None where nothing is typed. BadInputError, also shown below, where it is none."""
        if not self.text:
            return None
        try:
            return float(self.text.replace(",", "."))
        except ValueError:
            self.error = say("“{text}” is no number; write it with digits, such as 12.", text=self.text[:20])
            raise BadInputError(self.error) from None

    def whole(self) -> int | None:
        """The whole number; None where nothing is typed. BadInputError, also shown below, where it is none."""
        number = self.number()
        if number is None or number.is_integer():
            return None if number is None else int(number)
        self.error = say(
            "{text} is no whole number; write it without a part, such as 12.", text=self.text[:20]
        )
        raise BadInputError(self.error)
