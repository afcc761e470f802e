"""The window: puts frame, worker and device together, and knows where everything is kept. Holds no rule.

The first frame is drawn before the database is opened: reading the records' code takes longer than drawing.
"""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from typing import TYPE_CHECKING, Any, TypeVar

from kivy.app import App
from kivy.clock import Clock
from kivy.config import Config
from kivy.core.window import Window

from mobile.device.buzzer import Buzzer, buzzer_here
from mobile.device.zone import zone_here
from mobile.screens.frame import START, Frame
from mobile.screens.keyboard import Keyboard
from mobile.screens.places import SCREENS, load_all
from mobile.screens.where import Way, Where, way_from
from mobile.settings import Settings
from mobile.theme import theme
from mobile.worker import Worker

if TYPE_CHECKING:  # brings the records with it, which are loaded after the first frame
    from mobile.bootstrap import Phone
    from mobile.workflows.asking import Errand, Work
    from mobile.workflows.device_choices import DeviceChoices

T = TypeVar("T")


class PomewardApp(App):
    """The app on one folder of data. `clock` is set where a test or a demo lives through other days."""

    title = "Pomeward"

    def __init__(
        self, settings: Settings, clock: Callable[[], datetime] | None = None, buzzer: Buzzer | None = None
    ) -> None:
        super().__init__(kv_file="")
        self._settings, self._clock = settings, clock
        self._buzzer = buzzer or buzzer_here()
        self._buzz, self._click = True, False
        self._phone: Phone | None = None
        self.worker: Worker[Phone] = Worker(self._opened, _on_drawing_thread)
        self._network: Worker[Phone] = Worker(self._beside, _on_drawing_thread)
        self._long: Worker[Phone] = Worker(self._beside, _on_drawing_thread)

    def load_kv(self, filename: str | None = None) -> bool:
        """There are no layout files."""
        return False

    def build(self) -> Frame:
        """The frame, with nothing in it yet."""
        self.frame = Frame(self)
        self._keyboard = Keyboard(self.frame)
        return self.frame

    def on_start(self) -> None:
        """After the first frame: open the records and go where the person was."""
        Clock.schedule_once(lambda _: self._begin(), 0)

    def on_pause(self) -> bool:
        """The app may be put aside, and killed there: everything is on disk."""
        return True

    def on_stop(self) -> None:
        """Let the last touches be written."""
        self._keyboard.release()
        for beside in (self._network, self._long):
            beside.stop(within=1)  # an exchange that is broken off goes on at the next one
        self.worker.stop()

    # ------------------------------------------------------------ what the frame needs
    def ask(self, work: "Work[T]", then: Callable[[T], Any], failed: Callable[[Exception], Any]) -> None:
        """Do work on the records on the worker's thread."""
        self.worker.do(lambda phone: work(phone.store), then, failed)

    def ask_network(
        self, errand: "Errand[T]", then: Callable[[T], Any], failed: Callable[[Exception], Any]
    ) -> None:
        """Connect or share on a thread of its own."""
        self._network.do(errand, then, failed)

    def ask_long(self, work: "Work[T]", then: Callable[[T], Any], failed: Callable[[Exception], Any]) -> None:
        """Work something out that takes seconds, on a thread of its own: touches are written meanwhile."""
        self._long.do(lambda phone: work(phone.store), then, failed)

    def felt(self) -> None:
        """Buzz and click by choice."""
        if self._buzz:
            self._buzzer.buzz()
        if self._click:
            self._buzzer.click()

    def zone(self) -> str:
        """The device's time zone."""
        return zone_here()

    def take_choices(self, chosen: "DeviceChoices") -> None:
        """Look and feel as chosen, from now on."""
        theme.scheme, theme.type_size = chosen.scheme, chosen.type_size
        self._buzz, self._click = chosen.buzz, chosen.click

    # ------------------------------------------------------------ start
    def _begin(self) -> None:
        self.worker.start(self.frame.failed)
        self.ask(_what_is_here, self._arrive, self.frame.failed)

    def _arrive(self, here: "tuple[bool, dict[str, Any] | None, DeviceChoices]") -> None:
        begun, saved, chosen = here
        for beside in (self._network, self._long):
            beside.start(self.frame.failed)
        self.take_choices(chosen)
        way = way_from(saved, frozenset(SCREENS)) or Way(Where(START))
        self.frame.arrive(way if begun else Way(Where("begin")))

    @contextmanager
    def _opened(self) -> "Iterator[Phone]":
        from mobile.bootstrap import started

        with started(self._settings) as phone:
            if self._clock is not None:
                phone.store.clock = self._clock
            load_all()
            self._phone = phone
            yield phone

    @contextmanager
    def _beside(self) -> "Iterator[Phone]":
        assert self._phone is not None  # started once the records are open
        yield self._phone


def _what_is_here(store: Any) -> "tuple[bool, dict[str, Any] | None, DeviceChoices]":
    from mobile.workflows.device_choices import choices

    return store.identity is not None, store.place(), choices(store)


def _on_drawing_thread(call: Callable[[], None]) -> None:
    Clock.schedule_once(lambda _: call(), 0)


def run(settings: Settings) -> None:
    """Open the window and stay until it is closed."""
    Config.set("input", "mouse", "mouse,disable_multitouch")  # no red dots at a right click
    if Window.width > Window.height and not hasattr(sys, "getandroidapilevel"):
        Window.size = (412, 892)  # on a desk: as narrow as what it is made for
    PomewardApp(settings).run()
