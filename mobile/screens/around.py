"""What a screen has around it, and what the frame has around itself: two interfaces. Hold nothing."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Protocol, TypeVar

from mobile.screens.where import Way
from mobile.widgets.sheet import Sheet

if TYPE_CHECKING:  # these bring the phone's records with them, which are loaded after the first frame
    from mobile.workflows.asking import Errand, Work
    from mobile.workflows.device_choices import DeviceChoices

T = TypeVar("T")


class Files(Protocol):
    """Files that leave the device and come to it."""

    @property
    def can_hand_out(self) -> bool:
        """Whether another app can be given a file; else it is put into a folder that the person names."""

    @property
    def can_choose(self) -> bool:
        """Whether the device can show its files to choose one from."""

    def folder(self) -> str:
        """Where a file goes if nobody says otherwise."""

    def hand_out(self, file: str) -> None:
        """Let the person choose the app that gets a file."""


class Errands(Protocol):
    """What the app does for the frame and its screens."""

    @property
    def files(self) -> Files:
        """The device's files."""

    def choose_file(self, then: Callable[[str], Any]) -> None:
        """Let the person choose a file; answer on the drawing thread, or not at all."""

    def ask(self, work: "Work[T]", then: Callable[[T], Any], failed: Callable[[Exception], Any]) -> None:
        """Do work on the phone's records elsewhere; answer on the drawing thread."""

    def ask_network(
        self, errand: "Errand[T]", then: Callable[[T], Any], failed: Callable[[Exception], Any]
    ) -> None:
        """Connect or share beside everything else; answer on the drawing thread."""

    def ask_long(self, work: "Work[T]", then: Callable[[T], Any], failed: Callable[[Exception], Any]) -> None:
        """Work something out that takes seconds, beside everything else; answer on the drawing thread.

        What it writes, it writes in small parts, each of which may be the last.
        """

    def felt(self) -> None:
        """Let the finger feel that something was recorded, if the person wants that."""

    def take_choices(self, chosen: "DeviceChoices") -> None:
        """Look and feel as the person chose, from now on."""

    def look_around(self) -> None:
        """Open the invented seasons instead of the person's own records."""

    def leave_invented(self) -> None:
        """Open the person's own records again."""

    def zone(self) -> str:
        """The time zone that the device believes in; empty where it tells none."""


class Around(Protocol):
    """What the frame does for a screen; `Screen` has a method of its own for each."""

    errands: Errands
    way: Way

    def bind(self, **watched: Any) -> Any:
        """Be told of changes, such as of the window's size."""

    def ask(self, work: "Work[T]", then: Callable[[T], Any]) -> None:
        """Have work done on the phone's records; what cannot be done is told in a sentence."""

    def ask_network(self, errand: "Errand[T]", then: Callable[[T], Any]) -> None:
        """Have something done that takes a network."""

    def ask_long(
        self, work: "Work[T]", then: Callable[[T], Any], otherwise: Callable[[], Any] | None = None
    ) -> None:
        """Have something worked out that takes seconds; `otherwise` is called where it could not be, which was told."""

    def recorded(self, sentence: str, undo: "Work[Any] | None", undone: Callable[[], Any] | None) -> None:
        """Say what was recorded, and offer to take it back."""

    def keep(self, typed: dict[str, Any]) -> None:
        """Remember what was typed here."""

    def go(self, screen: str, **about: Any) -> None:
        """To a screen."""

    def instead(self, screen: str, **about: Any) -> None:
        """To a screen in place of this one."""

    def back(self) -> bool:
        """Back; False where there is nothing behind."""

    def lay(self, sheet: Sheet) -> None:
        """Lay a sheet over everything."""

    def close_sheets(self) -> None:
        """Close whatever lies over the screen."""

    def apologise(self, sentence: str) -> None:
        """Say what could not be done."""
