"""What frames every screen: the top line, the bar of places or of back and next, the undo bar. Know no place's content."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Any

from kivy.graphics import Color, Rectangle
from kivy.metrics import dp
from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from mobile.theme import LEAST, SMALL, TOP_LINE, theme
from mobile.widgets.columns import Line
from mobile.widgets.painted import Painted
from mobile.widgets.sign import Sign
from mobile.widgets.touchable import Then, Touchable
from mobile.widgets.words import Words
from shared_models.language import say


@dataclass(frozen=True, slots=True)
class Tab:
    """One place of the bottom bar."""

    name: str
    sign: str
    words: str


class TopLine(Touchable):
    """Where one is, and how it stands with sharing; 48 dp, since it is touched seldom."""

    title = StringProperty("")
    state_of_sharing = StringProperty("")
    marked = BooleanProperty(False)  # on a ground of its own, where what is shown is not the person's own

    def __init__(self, then: Then) -> None:
        super().__init__(
            "", then, least=TOP_LINE, rest_role="ground", corner=0, padding=[theme.gap(2), theme.gap(0.5)]
        )
        self._title = Words("", bold=True, size_hint_x=0.8, pos_hint={"center_y": 0.5})
        self._sharing = Words("", points=SMALL, role="quiet", halign="right", pos_hint={"center_y": 0.5})
        self.bind(title=self.tell, state_of_sharing=self.tell, marked=self._mark)
        self.tell()

    def tell(self, *_: object) -> None:
        """The words of now."""
        if hasattr(self, "_title"):
            self._title.text, self._sharing.text = self.title, self.state_of_sharing
        super().tell()

    def _mark(self, *_: object) -> None:
        roles = ("accent", "accent_pressed", "accent_ink") if self.marked else ("ground", "pressed", "ink")
        self.rest_role, self.press_role, self._title.role = roles
        self._sharing.role = "accent_ink" if self.marked else "quiet"
        self._sharing.bold = self.marked

    def beside(self) -> list[Widget]:
        """Place left, sharing right."""
        if not hasattr(self, "_title"):
            return []
        return [self._title, *([self._sharing] if self.state_of_sharing else [])]


class Place(Touchable):
    """One place of the bottom bar; the current one has heavier strokes, bold words and a bar above."""

    current = BooleanProperty(False)

    def __init__(self, tab: Tab, then: Then) -> None:
        look = {"upright": True, "rest_role": "ground", "corner": 0, "middle": True, "points": 14}
        super().__init__(
            tab.words, then, sign=tab.sign, **{**look, "spacing": 0, "padding": [0, theme.gap()]}
        )
        self.tab = tab
        with self.canvas.after:
            self._bar_colour = Color(0, 0, 0, 0)
            self._bar = Rectangle()
        self.bind(current=self.tell, pos=self._place_bar, size=self._place_bar)
        theme.follow(self._place_bar)

    def tell(self, *_: object) -> None:
        """Shape and weight say which one it is."""
        self.bold = self.current
        super().tell()
        self._sign.weight, self._sign.side = (1.6 if self.current else 1), 24
        self._place_bar()

    def _place_bar(self, *_: object) -> None:
        if hasattr(self, "_bar"):
            self._bar_colour.rgba = theme.colour("ink") if self.current else [0, 0, 0, 0]
            # Not `self.top`: Kivy still tells the old one while it tells of the new size.
            self._bar.pos, self._bar.size = (self.x, self.y + self.height - dp(4)), (self.width, dp(4))


class BottomBar(Line):
    """The places, side by side."""

    def __init__(self, tabs: list[Tab], go: Callable[[str], Any]) -> None:
        self.places = [Place(tab, partial(go, tab.name)) for tab in tabs]
        super().__init__(*self.places, spacing=0)

    def mark(self, name: str) -> None:
        """Show which place one is at."""
        for place in self.places:
            place.current = place.tab.name == name


class BackBar(BoxLayout):
    """*Back* at the left where something lies behind, and beside it the thing to do next.

    `brief` shows *Back* by its sign alone, where the bar shares its row.
    """

    brief = BooleanProperty(False)

    def __init__(self, back: Then | None, *beside: Touchable) -> None:
        super().__init__(spacing=theme.gap(), size_hint_y=None, padding=[theme.gap(), theme.gap(0.5)])
        self._back = Touchable(say("Back"), back, sign="back", size_hint_x=None, edge_role="line", bold=True)
        for widget in (*([self._back] if back else []), *beside):
            widget.size_hint_y = 1
            widget.bind(minimum_height=self._grow)
            self.add_widget(widget)
        theme.follow(self._grow)
        self.bind(brief=self._grow)
        self._grow()

    def _grow(self, *_: object) -> None:
        self._back.text = "" if self.brief else say("Back")
        self._back.width = theme.gap(8) if self.brief else theme.type(62) + theme.gap(7)
        highest = max((widget.minimum_height for widget in self.children), default=0)
        self.height = max(dp(LEAST), highest) + theme.gap()


class UndoBar(Painted, BoxLayout):
    """What was recorded last, and *Undo*; stays until the next thing is recorded. Takes no room while empty.

    `brief` shows *Undo* by its word alone, where the bar shares its row.
    """

    brief = BooleanProperty(False)

    def __init__(self) -> None:
        super().__init__(spacing=theme.gap(), size_hint_y=None, height=0, padding=[theme.gap(), 0, 0, 0])
        self.ground_role, self.corner = "raised", 0
        self._sign = Sign("done", side=22, pos_hint={"center_y": 0.5})
        self._words = Words("", points=SMALL, pos_hint={"center_y": 0.5})
        self._undo = Touchable(
            say("Undo"), sign="undo", bold=True, size_hint_x=None, rest_role="pressed", corner=0
        )
        self._words.bind(height=self._grow)
        self.bind(brief=self._grow)
        theme.follow(self._grow)

    @property
    def sentence(self) -> str:
        """What is shown."""
        return str(self._words.text)

    def show(self, sentence: str, undo: Then | None = None) -> None:
        """Say what was recorded; `undo` takes it back, None where it cannot be taken back by one touch."""
        self._words.text, self._undo.then = sentence, undo
        shown = [self._sign, self._words, *([self._undo] if undo else [])]
        if shown != self.children[::-1]:
            self.clear_widgets()
            for widget in shown:
                self.add_widget(widget)
        self._grow()

    def clear(self) -> None:
        """Say nothing."""
        self._words.text = ""
        self.clear_widgets()
        self._grow()

    def _grow(self, *_: object) -> None:
        self._undo.sign = "" if self.brief else "undo"
        self._undo.width = theme.type(56) + theme.gap(3 if self.brief else 8)
        self.height = max(dp(LEAST), self._words.height + theme.gap()) if self._words.text else 0
        self._undo.height = self.height
