"""The frame around every screen: top line, undo bar, bottom bar, sheets; where one is, and the way back.

Keeps no records: work is handed to `errands`, which does it on another thread. The place is saved on every change.
"""

import logging
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, TypeVar

from kivy.clock import Clock
from kivy.core.window import Window
from kivy.metrics import dp
from kivy.uix.boxlayout import BoxLayout

from mobile.screens.around import Errands
from mobile.screens.places import SCREENS, screen_class, tabs
from mobile.screens.where import Way, Where
from mobile.theme import COLUMN, theme
from mobile.widgets.bars import BackBar, BottomBar, TopLine, UndoBar
from mobile.widgets.columns import window_is_low
from mobile.widgets.glass import Glass
from mobile.widgets.notices import Apology, Warned
from mobile.widgets.sheet import Sheet
from mobile.widgets.words import Words
from shared_models.errors import PomewardError
from shared_models.language import say, spoken

if TYPE_CHECKING:
    from mobile.screens.screen import Screen
    from mobile.workflows.asking import Errand, Work

T = TypeVar("T")
START = "today"


class Frame(Glass):
    """Everything in the window."""

    def __init__(self, errands: Errands) -> None:
        super().__init__()
        self.errands = errands
        self.way = Way(Where(START))
        self.screen: Screen | None = None
        self._screens: dict[str, Screen] = {}
        self._save_waits = self._line_waits = False
        self._column = BoxLayout(orientation="vertical", size_hint=(None, 1), pos_hint={"center_x": 0.5})
        self.top_line = TopLine(self._top_line_touched)
        self.stage = BoxLayout()
        self.undo_bar = UndoBar()
        self._foot = BoxLayout(size_hint_y=None)
        self.places = BottomBar(tabs(), self.go)
        self._bar: BoxLayout = self.places
        for widget in (self.top_line, self.stage, self._foot):
            self._column.add_widget(widget)
        self.add_widget(self._column)
        self.top_line.title = say("Pomeward")
        self.stage.add_widget(Words(say("Opening what is on this phone …"), halign="center", size_hint_y=1))
        self._shorten = Clock.create_trigger(self._be_brief, -1)
        self.bind(size=self._fit)
        self.undo_bar.bind(height=self._fit)
        theme.follow(self._look)
        self._look()
        self._foot_of(self.places)

    # ------------------------------------------------------------ where one is
    def arrive(self, way: Way) -> None:
        """Be at a place as it was saved."""
        self._move(way)

    def end(self) -> None:
        """Nothing here asks for anything any more."""
        if self.screen is not None:
            self.screen.left()

    def begin_anew(self, invented: bool) -> None:
        """Other records are opened: nothing of what was shown of the ones before stays."""
        self.end()
        self.close_sheets()
        self.undo_bar.clear()
        self.screen, self._screens = None, {}
        self.top_line.marked, self.top_line.title = invented, say("Pomeward")
        self.top_line.state_of_sharing = say("Invented: touch to leave") if invented else ""
        opening = (
            say("Opening the invented seasons …") if invented else say("Opening what is on this phone …")
        )
        self.stage.clear_widgets()
        self.stage.add_widget(Words(opening, halign="center", size_hint_y=1))

    def go(self, screen: str, **about: Any) -> None:
        """To a screen; a place of the bottom bar has nothing behind it."""
        there = Where(screen, about)
        self._move(Way(there) if screen in {tab.name for tab in tabs()} else self.way.on(there))

    def instead(self, screen: str, **about: Any) -> None:
        """To a screen in place of this one."""
        self._move(self.way.instead(Where(screen, about)))

    def back(self) -> bool:
        """Close a sheet, else go back, else to the first place; False where one is there already."""
        if self.sheet is not None:
            self.sheet.close()
            return True
        before = self.way.back()
        if before is None and self.way.here.screen in {START, "begin"}:
            return False
        self._move(before or Way(Where(START)))
        return True

    def keep(self, typed: dict[str, Any]) -> None:
        """Remember what was typed here."""
        self.way = self.way.with_draft(typed)
        self._save()

    def _move(self, way: Way) -> None:
        self.end()
        self.close_sheets()
        self.way = way
        self.screen = self._screen(way.here.screen)
        self.stage.clear_widgets()
        self.stage.add_widget(self.screen)
        self.top_line.title = spoken(self.screen.title)
        self._foot_of(self._bar_for(self.screen))
        self.screen.open(way.here)
        self._save()
        self.tell_sharing()

    def _top_line_touched(self) -> None:
        if self.top_line.marked:
            self.errands.leave_invented()
        elif "sharing" in SCREENS:
            self.go("sharing")

    def _screen(self, name: str) -> "Screen":
        if name not in self._screens:
            self._screens[name] = screen_class(name)(self)
        return self._screens[name]

    def _bar_for(self, screen: "Screen") -> BoxLayout:
        name = self.way.here.screen
        if name in {place.tab.name for place in self.places.places}:
            self.places.mark(name)
            return self.places
        return BackBar(self.back if self.way.behind else None, *screen.beside_back())

    # ------------------------------------------------------------ asking and telling
    def ask(self, work: "Work[T]", then: Callable[[T], Any]) -> None:
        """Have work done on the phone's records; what cannot be done is told in a sentence."""
        self.errands.ask(work, then, self.failed)

    def ask_network(self, errand: "Errand[T]", then: Callable[[T], Any]) -> None:
        """Have something done that takes a network, beside everything else."""
        self.errands.ask_network(errand, then, self.failed)

    def ask_long(
        self, work: "Work[T]", then: Callable[[T], Any], otherwise: Callable[[], Any] | None = None
    ) -> None:
        """Have something worked out that takes seconds, beside everything else."""

        def failed(error: Exception) -> None:
            self.failed(error)
            if otherwise is not None:
                otherwise()

        self.errands.ask_long(work, then, failed)

    def failed(self, error: Exception) -> None:
        """Tell what could not be done."""
        if isinstance(error, PomewardError):
            self.apologise(str(error))
            return
        logging.getLogger("pomeward").error("unexpected", exc_info=error)
        self.apologise(
            say(
                "Something went wrong that should not. What was recorded before is kept; this was not recorded."
            )
        )

    def recorded(
        self, sentence: str, undo: "Work[Any] | None" = None, undone: Callable[[], Any] | None = None
    ) -> None:
        """Say what was recorded, let the finger feel it, and offer to take it back."""
        self.errands.felt()
        self.undo_bar.show(sentence, (lambda: self._take_back(sentence, undo, undone)) if undo else None)
        self.tell_sharing()

    def shared_by_itself(self, new: int) -> None:
        """An exchange that nobody asked for is over; what came is shown where nothing is being touched."""
        self.tell_sharing()
        if new and self.way.here.screen == START and self.sheet is None and self.screen is not None:
            self.screen.again()

    def _take_back(self, sentence: str, undo: "Work[Any]", undone: Callable[[], Any] | None) -> None:
        def then(_: object) -> None:
            self.undo_bar.show(say("Taken back: {what}", what=sentence))
            self.tell_sharing()
            if undone is not None:
                undone()
            elif self.screen is not None:
                self.screen.again()

        self.undo_bar.show(sentence)  # a second touch must not take back twice
        self.ask(undo, then)

    def tell_sharing(self) -> None:
        """Bring the top line up to date; asked for at most once a second, since every touch changes it."""
        if not self._line_waits:
            self._line_waits = True
            Clock.schedule_once(self._ask_sharing, 1)

    def _ask_sharing(self, *_: object) -> None:
        # Brings the records with it, hence only after the first frame.
        from mobile.workflows.sharing_line import sharing_line

        self._line_waits = False
        if self.top_line.marked:
            return  # nothing of it is ever shared; the line says how to leave
        self.ask(sharing_line, self._tell_how_it_stands)

    def _tell_how_it_stands(self, line: str) -> None:
        if not self.top_line.marked:  # asked before the invented seasons were opened
            self.top_line.state_of_sharing = line

    # ------------------------------------------------------------ sheets
    @property
    def sheet(self) -> Sheet | None:
        """The sheet that lies on top."""
        return next((widget for widget in self.children if isinstance(widget, Sheet)), None)

    def lay(self, sheet: Sheet) -> None:
        """Lay a sheet over everything."""
        Window.release_all_keyboards()
        self.add_widget(sheet)

    def close_sheets(self) -> None:
        """Close whatever lies over the screen."""
        while self.sheet is not None:
            self.sheet.close()

    def apologise(self, sentence: str) -> None:
        """Say what could not be done."""
        self.lay(Apology(sentence))

    def warn(self, sentence: str) -> None:
        """Say what is wrong and what to do."""
        self.lay(Warned(say("Please read this"), [sentence]))

    def tell_saved(self, sentences: Sequence[str]) -> None:
        """Say what was saved from a damaged file, at each start until it was read."""
        self.lay(Warned(say("Your records were put in order"), sentences, self._saved_was_read))

    def _saved_was_read(self) -> None:
        from mobile.workflows.saved_records import was_read

        self.ask(was_read, lambda _: None)

    # ------------------------------------------------------------ looks
    def _foot_of(self, bar: BoxLayout) -> None:
        self._bar.unbind(height=self._fit)
        self._bar = bar
        bar.bind(height=self._fit)
        self._foot.clear_widgets()
        self._foot.add_widget(self.undo_bar)
        self._foot.add_widget(bar)
        self._fit()

    def _fit(self, *_: object) -> None:
        low, wide = window_is_low(), min(self.width, dp(COLUMN))
        self._column.width = self.width if low else wide
        beside = low and self._bar is not self.places  # five places need the whole width
        self._shorten()
        self._foot.orientation = "horizontal" if beside else "vertical"
        heights = (self.undo_bar.height, self._bar.height)
        self._foot.height = max(heights) if beside else sum(heights)
        shown = 1.3 if self.undo_bar.height else 0.001
        self.undo_bar.size_hint_x = shown if beside else 1

    def _be_brief(self, *_: object) -> None:
        """Signs and words of the bars; never amid a layout, which counts on what it began with."""
        if isinstance(self._bar, BackBar):
            self._bar.brief = window_is_low()
        self.undo_bar.brief = window_is_low() and self._bar is not self.places

    def _look(self, *_: object) -> None:
        Window.clearcolor = theme.colour("ground")

    # ------------------------------------------------------------ saving the place
    def _save(self) -> None:
        if not self._save_waits:
            self._save_waits = True
            self.errands.ask(self._save_now, lambda _: None, self.failed)

    def _save_now(self, store: Any) -> None:
        self._save_waits = False  # first: what changes from here on is saved by a further errand
        store.save_place(self.way.plain() | {"title": self.top_line.title})
