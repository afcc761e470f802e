"""What every screen is made on: a part to read that scrolls, a part at the thumb, and ways to ask, go and come back.

A screen never waits: it asks for work on the phone's records, and the answer comes when it is there. An answer for a
place that was left meanwhile is dropped.
"""

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, TypeVar

from kivy.metrics import dp
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from mobile.screens.around import Around
from mobile.screens.where import Where
from mobile.theme import theme
from mobile.widgets.columns import Column, Scroll, window_is_low
from mobile.widgets.long_list import LongList
from mobile.widgets.sheet import Sheet
from mobile.widgets.touchable import Touchable

if TYPE_CHECKING:  # these bring the phone's records with them, which are loaded after the first frame
    from mobile.workflows.asking import Errand, Work

T = TypeVar("T")


class Screen(BoxLayout):
    """One place of the app. A subclass sets `title` (a marked word), overrides `show`, and fills `reading` and `thumb`."""

    title = ""
    tab = ""  # the place of the bottom bar that it belongs to

    def __init__(self, frame: Around) -> None:
        super().__init__(padding=[theme.gap(), 0], spacing=theme.gap())
        self.frame = frame
        self.where = Where("")
        self.reading = Scroll()
        self._upper: Widget = self.reading
        self.thumb = Column(padding=[0, 0, 0, theme.gap()])
        self.add_widget(self.reading)
        self.add_widget(self.thumb)
        self._visit = 0
        frame.bind(size=self._turn)
        self.thumb.bind(children=self._turn)
        theme.follow(self._turn)
        self._turn()

    # ------------------------------------------------------------ to override
    def show(self) -> None:
        """Show the place `self.where`; called at every visit, on an empty screen."""
        raise NotImplementedError

    def beside_back(self) -> list[Touchable]:
        """What stands beside *Back*: the thing to do next. Not asked on a place of the bottom bar."""
        return []

    def number_key(self, number: int) -> None:
        """A number key was pressed on a keyboard; does nothing where a screen has no pad."""

    # ------------------------------------------------------------ to call
    def ask(self, work: "Work[T]", then: Callable[[T], Any]) -> None:
        """Have work done on the phone's records; `then` gets the answer on the drawing thread, if still here.

        Where it cannot be done, the person is told in a sentence and `then` is not called.
        """
        visit = self._visit
        self.frame.ask(work, lambda answer: then(answer) if visit == self._visit else None)

    def ask_network(self, errand: "Errand[T]", then: Callable[[T], Any]) -> None:
        """As `ask`, for connecting and sharing: a thread of its own, so that touches are still written at once."""
        visit = self._visit
        self.frame.ask_network(errand, lambda answer: then(answer) if visit == self._visit else None)

    def ask_long(
        self, work: "Work[T]", then: Callable[[T], Any], otherwise: Callable[[], Any] | None = None
    ) -> None:
        """As `ask`, for what takes seconds: a thread of its own, so that touches are written at once.

        It writes nothing, or in small parts that touches come between and each of which may be the last. `otherwise`
        is called, if still here, after the person was told that it cannot be done.
        """
        visit = self._visit
        self.frame.ask_long(
            work,
            lambda answer: then(answer) if visit == self._visit else None,
            lambda: otherwise() if otherwise and visit == self._visit else None,
        )

    def recorded(
        self, sentence: str, undo: "Work[Any] | None" = None, undone: Callable[[], Any] | None = None
    ) -> None:
        """Say what was recorded and offer to undo it; `undone` is called after that, else the screen is shown anew."""
        self.frame.recorded(sentence, undo, undone)

    def keep(self, **typed: Any) -> None:
        """Save what was typed and is not recorded yet; it is in `self.where.draft` after a restart."""
        self.frame.keep(typed)
        self.where = self.frame.way.here

    def go(self, screen: str, **about: Any) -> None:
        """Go on to a screen; back leads here again."""
        self.frame.go(screen, **about)

    def instead(self, screen: str, **about: Any) -> None:
        """Go to a screen in place of this one; back leads to where this one came from."""
        self.frame.instead(screen, **about)

    def back(self) -> None:
        """Go back."""
        self.frame.back()

    def long_list(self, listed: LongList) -> None:
        """Show a long list in place of the reading part; it scrolls by itself."""
        self._replace(listed)

    def lay(self, sheet: Sheet) -> None:
        """Lay a sheet over the screen."""
        self.frame.lay(sheet)

    def close_sheets(self) -> None:
        """Close whatever lies over the screen."""
        self.frame.close_sheets()

    def apologise(self, sentence: str) -> None:
        """Say in a sentence what cannot be done."""
        self.frame.apologise(sentence)

    def again(self) -> None:
        """Show the same place anew, as after an undo."""
        self.open(self.frame.way.here)

    # ------------------------------------------------------------ called by the frame
    def open(self, where: Where) -> None:
        """Be at a place; answers to what was asked before are dropped."""
        self._visit += 1
        self.where = where
        self._replace(self.reading)
        self.reading.fill()
        self.thumb.fill()
        self.show()

    def left(self) -> None:
        """Somebody went elsewhere."""
        self._visit += 1

    def _replace(self, upper: Widget) -> None:
        if upper not in self.children:
            self.remove_widget(self._upper)
            self.add_widget(upper, index=1)
        self._upper = upper
        self._turn()

    def _turn(self, *_: object) -> None:
        """Stack, or side by side where the window is low."""
        low = window_is_low() and bool(self.thumb.children)
        self.orientation = "horizontal" if low else "vertical"
        if (self.children[0] is self.thumb) == (low and theme.keys_left):
            self.children.reverse()  # Kivy counts from the end
            self._trigger_layout()
        if not self.thumb.children:
            self.thumb.height = dp(0)
