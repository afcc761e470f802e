"""The window: puts frame, worker and device together, and knows where everything is kept. Holds no rule.

The first frame is drawn before the database is opened: reading the records' code takes longer than drawing.
"""

import gc
import logging
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any, Protocol, TypeVar

from kivy.app import App
from kivy.clock import Clock
from kivy.config import Config
from kivy.core.window import Window

from mobile.device.buzzer import Buzzer, buzzer_here
from mobile.device.files import files_here
from mobile.device.zone import zone_here
from mobile.screens.around import Files
from mobile.screens.frame import START, Frame
from mobile.screens.keyboard import Keyboard
from mobile.screens.places import SCREENS, load_all, screen_class
from mobile.screens.where import Way, Where, way_from
from mobile.settings import Settings
from mobile.storage.glimpse import glimpse
from mobile.sync.pace import Pace
from mobile.theme import take_look
from mobile.worker import Worker

if TYPE_CHECKING:  # brings the records with it, which are loaded after the first frame
    from mobile.bootstrap import Phone
    from mobile.workflows.asking import Errand, Sharing, Work
    from mobile.workflows.device_choices import DeviceChoices
    from mobile.workflows.shares_by_itself import Quietly

T = TypeVar("T")

LOOK_EVERY = 5.0  # [s] whether it is time to share
REST_AFTER = 1.0  # [s] whoever comes back to a place touches something there first
SWITCH = 0.0005  # [s] a thread waits this long for another; a touch is written with some twenty such waits


class DeviceFiles(Files, Protocol):
    """The device's files, and the way in which it lets a person choose one."""

    def choose(self, then: Callable[[str], None]) -> None:
        """Ask for a file; `then` is told which, on any thread, or not at all."""


class PomewardApp(App):
    """The app on one folder of data. `clock` is set where a test or a demo lives through other days."""

    title = "Pomeward"

    def __init__(
        self,
        settings: Settings,
        clock: Callable[[], datetime] | None = None,
        buzzer: Buzzer | None = None,
        files: DeviceFiles | None = None,
    ) -> None:
        super().__init__(kv_file="")
        self._settings, self._clock = settings, clock
        self._buzzer = buzzer or buzzer_here()
        self.files: DeviceFiles = files or files_here()
        self._buzz, self._click = True, False
        self.invented = False  # whether the invented seasons are open instead of the person's own records
        self._threads = Threads(self._opened)
        self._pace = Pace(Clock.get_time())
        self._sharing = False
        self._look_to_share = Clock.create_trigger(self._share_if_due, LOOK_EVERY, interval=True)
        sys.setswitchinterval(SWITCH)
        gc.disable()  # until something is shown: a start makes much that stays and hardly any garbage

    def load_kv(self, filename: str | None = None) -> bool:
        """There are no layout files."""
        return False

    def build(self) -> Frame:
        """The frame, in its colours and with the name of the saved place, and nothing else in it yet."""
        seen = glimpse(self._settings.file)
        take_look(seen.choices)
        self.frame = Frame(self)
        self.frame.top_line.title = seen.title or self.frame.top_line.title
        self._keyboard = Keyboard(self.frame)
        return self.frame

    def on_start(self) -> None:
        """After the first frame: open the records and go where the person was."""
        Clock.schedule_once(lambda _: self._begin(), 0)

    def on_pause(self) -> bool:
        """The app may be put aside, and killed there: everything is on disk. A good moment for the day's copy."""
        if not self.invented:
            self.ask_long(lambda store: store.safe_keeping.keep_safe(), lambda _: None, self.frame.failed)
        return True

    def on_resume(self) -> None:
        """Back again: perhaps somewhere with a network."""
        self._pace.back_again(Clock.get_time())

    def on_stop(self) -> None:
        """Let the last touches be written."""
        self._look_to_share.cancel()
        self._keyboard.release()
        self.frame.end()
        self._threads.stop()

    # ------------------------------------------------------------ what the frame needs
    def ask(self, work: "Work[T]", then: Callable[[T], Any], failed: Callable[[Exception], Any]) -> None:
        """Do work on the records on the worker's thread."""
        self._threads.worker.do(lambda phone: work(phone.store), then, failed)

    def ask_network(
        self, errand: "Errand[T]", then: Callable[[T], Any], failed: Callable[[Exception], Any]
    ) -> None:
        """Connect or share on a thread of its own."""
        self._threads.network.do(errand, then, failed)

    def ask_long(self, work: "Work[T]", then: Callable[[T], Any], failed: Callable[[Exception], Any]) -> None:
        """Work something out that takes seconds, on a thread of its own: touches are written meanwhile."""
        self._threads.long.do(lambda phone: work(phone.store), then, failed)

    def choose_file(self, then: Callable[[str], Any]) -> None:
        """Let the person choose a file, by whatever the device shows for that."""
        self.files.choose(lambda file: _on_drawing_thread(lambda: then(file)))

    def felt(self) -> None:
        """Something was recorded: buzz and click by choice, and share it soon."""
        self._pace.something_new(Clock.get_time())
        if self._buzz:
            self._buzzer.buzz()
        if self._click:
            self._buzzer.click()

    def zone(self) -> str:
        """The device's time zone."""
        return zone_here()

    def take_choices(self, chosen: "DeviceChoices") -> None:
        """Look and feel as chosen, from now on."""
        take_look(asdict(chosen))
        self._buzz, self._click = chosen.buzz, chosen.click

    def look_around(self) -> None:
        """Put the person's own records aside and open the invented seasons."""

        def remember(store: Any) -> None:
            from mobile.workflows.invented import look_around

            look_around(store)

        self.ask(remember, lambda _: self._change(invented=True), self.frame.failed)

    def leave_invented(self) -> None:
        """Back to the person's own records."""
        self._change(invented=False)

    # ------------------------------------------------------------ start
    def _begin(self) -> None:
        self._threads.worker.start(self._not_opened)
        self.ask(_what_is_here, self._arrive, self._not_opened)

    def _not_opened(self, error: Exception) -> None:
        gc.enable()
        self.frame.failed(error)

    def _change(self, invented: bool) -> None:
        """Close one store and open the other, as at a start."""
        self.frame.begin_anew(invented)
        self._threads.stop()
        self._threads, self.invented = Threads(self._opened), invented
        self._threads.worker.start(self._not_opened)
        self.ask(_what_is_here if invented else _back_to_what_is_here, self._arrive, self._not_opened)

    def _arrive(self, here: "Here") -> None:
        if not self.invented:
            self.take_choices(here.chosen)
            if here.looking_around:
                self._change(invented=True)
                return
        self._threads.start_beside(self.frame.failed)
        self.frame.arrive(here.way)
        self._look_to_share()
        if not self.invented and here.saved:
            self.frame.tell_saved(here.saved)
        gc.freeze()  # what is there now stays; looking through it for garbage would cost some 20 ms each time
        gc.enable()
        Clock.schedule_once(lambda _: self._load_the_rest(), REST_AFTER)

    def _load_the_rest(self) -> None:
        self.ask_long(lambda _: load_all(), lambda _: None, self.frame.failed)
        if not self.invented:
            self.ask_long(_check_of_the_week, self._checked, self.frame.failed)

    def _checked(self, sentence: str | None) -> None:
        if sentence is not None:
            self.frame.warn(sentence)

    # ------------------------------------------------------------ sharing by itself
    def _share_if_due(self, _: float) -> None:
        if self.invented or self._sharing or not self._pace.is_due(Clock.get_time()):
            return
        self._sharing = True
        self.ask_network(_share_quietly, self._shared, self._not_shared)

    def _shared(self, quietly: "Quietly") -> None:
        self._sharing = False
        if quietly.went_through:
            self._pace.succeeded(Clock.get_time())
        else:
            self._pace.failed(Clock.get_time(), quietly.leave_alone)
        self.frame.shared_by_itself(quietly.new)

    def _not_shared(self, error: Exception) -> None:
        self._sharing = False
        self._pace.failed(Clock.get_time())
        logging.getLogger("pomeward").error("an exchange failed", exc_info=error)

    @contextmanager
    def _opened(self) -> "Iterator[Phone]":
        from mobile.bootstrap import invented, started

        opening = invented if self.invented else started
        with opening(self._settings) as phone:
            if self._clock is not None and not self.invented:
                phone.store.clock = self._clock
            yield phone


class Threads:
    """What works on one store: the thread that opens and closes it, and two beside it for what takes long."""

    def __init__(self, opening: "Callable[[], AbstractContextManager[Phone]]") -> None:
        self._opening = opening
        self._phone: Phone | None = None
        self.worker: Worker[Phone] = Worker(self._opened, _on_drawing_thread)
        self.network: Worker[Phone] = Worker(self._beside, _on_drawing_thread)
        self.long: Worker[Phone] = Worker(self._beside, _on_drawing_thread)

    def start_beside(self, failed: Callable[[Exception], Any]) -> None:
        """Start what works beside the records, once they are open."""
        for beside in (self.network, self.long):
            beside.start(failed)

    def stop(self) -> None:
        """Let the last touches be written, and close the store."""
        for beside in (self.network, self.long):
            beside.stop(within=1)  # an exchange that is broken off goes on at the next one
        self.worker.stop()

    @contextmanager
    def _opened(self) -> "Iterator[Phone]":
        with self._opening() as phone:
            self._phone = phone
            yield phone

    @contextmanager
    def _beside(self) -> "Iterator[Phone]":
        assert self._phone is not None  # started once the records are open
        yield self._phone


@dataclass(frozen=True, slots=True)
class Here:
    """What a start finds: where the person was, how the phone looks, whether they look around, what was saved."""

    way: Way
    chosen: "DeviceChoices"
    looking_around: bool
    saved: Sequence[str] = ()


def _what_is_here(store: Any) -> Here:
    from mobile.workflows.device_choices import choices
    from mobile.workflows.invented import is_looking_around

    saved = way_from(store.place(), frozenset(SCREENS)) or Way(Where(START))
    way = saved if store.identity is not None else Way(Where("begin"))
    screen_class(way.here.screen)  # off the drawing thread; the others follow when this one is shown
    return Here(way, choices(store), is_looking_around(store), _saved_in_words(store))


def _saved_in_words(store: Any) -> list[str]:
    if not store.safe_keeping.saved():  # as at nearly every start: the words are not even read
        return []
    from mobile.workflows.saved_records import saved_in_words

    return saved_in_words(store)


def _check_of_the_week(store: Any) -> str | None:
    from mobile.workflows.saved_records import check_of_the_week

    return check_of_the_week(store)


def _back_to_what_is_here(store: Any) -> Here:
    from mobile.workflows.invented import leave

    leave(store)
    return _what_is_here(store)


def _share_quietly(phone: "Sharing") -> "Quietly":
    from mobile.workflows.shares_by_itself import share_quietly

    return share_quietly(phone)


def _on_drawing_thread(call: Callable[[], None]) -> None:
    Clock.schedule_once(lambda _: call(), 0)


def run(settings: Settings) -> None:
    """Open the window and stay until it is closed."""
    Config.set("input", "mouse", "mouse,disable_multitouch")  # no red dots at a right click
    if Window.width > Window.height and not hasattr(sys, "getandroidapilevel"):
        Window.size = (412, 892)  # on a desk: as narrow as what it is made for
    PomewardApp(settings).run()
