"""How everything looks: colours by their role, type sizes, distances. Knows no widget and no record.

Two schemes: *sun* is near-black on near-white, *dusk* the other way round. Text stands at 7:1 and more on its ground,
lines and signs at 3:1 and more (a test reckons it). One `theme` for the window; whoever paints follows it.
"""

from collections.abc import Callable, Mapping
from contextlib import suppress
from typing import Any
from weakref import WeakMethod

from kivy.event import EventDispatcher
from kivy.metrics import dp, sp
from kivy.properties import BooleanProperty, BoundedNumericProperty, NumericProperty, OptionProperty
from kivy.utils import get_color_from_hex

STEP = 8  # [dp] distances are multiples of this
CORNER = 8  # [dp]
STROKE = 1.75  # [dp] drawn lines
COLUMN = 640  # [dp] wider than this no text is read comfortably and no thumb reaches across

LEAST = 64  # [dp] any target, 10 mm
LEAST_KEY = 96  # [dp] keys that are struck in series
LEAST_PAD = 126  # [dp] the one pad of a counting screen, 20 mm
TOP_LINE = 48  # [dp] seldom touched

BODY, SMALL, TITLE, HUGE = 18, 16, 24, 72  # [sp] at type size 1.0

# Okabe and Ito 2002, as given in Wong, Nature Methods 8:441 (2011).
BLACK, ORANGE, SKY, GREEN = "#000000", "#E69F00", "#56B4E9", "#009E73"
YELLOW, BLUE, VERMILLION, PURPLE = "#F0E442", "#0072B2", "#D55E00", "#CC79A7"

ROLES = {
    "sun": {
        "ground": "#FEFEFC",
        "raised": "#EDEEE6",
        "pressed": "#D3D8CC",
        "ink": "#14140F",
        "quiet": "#3B3C35",
        "line": "#6B6B63",
        "accent": "#00503A",
        "accent_ink": "#FFFFFF",
        "accent_pressed": "#003325",
        "warning": "#842300",
    },
    "dusk": {
        "ground": "#101211",
        "raised": "#1F2422",
        "pressed": "#38403C",
        "ink": "#F4F4EC",
        "quiet": "#D8DBD1",
        "line": "#8F958E",
        "accent": "#7FD6B2",
        "accent_ink": "#06130D",
        "accent_pressed": "#B6EBD5",
        "warning": "#FFB48F",
    },
}
# Only these carry 3:1 on their ground; a sign beside each says the same without colour.
DATA = {
    "sun": (BLUE, VERMILLION, GREEN, PURPLE, BLACK),
    "dusk": (SKY, ORANGE, GREEN, PURPLE, YELLOW, VERMILLION),
}

Colour = list[float]  # red, green, blue, opacity, each 0 to 1


class Theme(EventDispatcher):
    """Colours by role and sizes of type; `revision` counts every change of either, and followers hear of it."""

    scheme = OptionProperty("sun", options=list(ROLES))
    type_size = BoundedNumericProperty(1.0, min=1.0, max=1.5)
    keys_left = BooleanProperty(False)  # what is touched most stands at the left of a phone on its side
    revision = NumericProperty(0)

    def __init__(self, **given: Any) -> None:
        self._followers: dict[tuple[int, Any], WeakMethod[Callable[[], Any]]] = {}
        super().__init__(**given)

    def follow(self, look: Callable[[], Any]) -> None:
        """Call a widget's method after every change, as long as the widget lives.

        Not `bind`: that looks through everything bound before, dead widgets too, and grows slower by the touch.
        """
        key = (id(look.__self__), look.__func__)  # type: ignore[attr-defined]
        self._followers[key] = WeakMethod(look, lambda _: self._followers.pop(key, None))

    def colour(self, role: str) -> Colour:
        """The colour of a role in the scheme of now."""
        return list(get_color_from_hex(ROLES[self.scheme][role]))

    def data_colour(self, number: int) -> Colour:
        """The colour of the first, second, … series of a chart."""
        colours = DATA[self.scheme]
        return list(get_color_from_hex(colours[number % len(colours)]))

    def type(self, size: float) -> float:
        """A type size [sp] as chosen by the person, in pixels."""
        return float(sp(size) * self.type_size)

    def gap(self, steps: float = 1) -> float:
        """A distance in steps of 8 dp, in pixels."""
        return float(dp(STEP * steps))

    def on_scheme(self, *_: object) -> None:
        """Everything is painted anew."""
        self._changed()

    def on_type_size(self, *_: object) -> None:
        """Everything is laid out anew."""
        self._changed()

    def on_keys_left(self, *_: object) -> None:
        """Screens change sides."""
        self._changed()

    def _changed(self) -> None:
        self.revision += 1
        for follower in list(self._followers.values()):
            look = follower()
            if look is not None:
                look()


def contrast(one: Colour, other: Colour) -> float:
    """How far two colours stand apart, 1 to 21 (WCAG 2.2, relative luminance)."""
    lighter, darker = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def _luminance(colour: Colour) -> float:
    parts = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in colour[:3])
    return sum(weight * part for weight, part in zip((0.2126, 0.7152, 0.0722), parts, strict=True))


theme = Theme()


def take_look(chosen: Mapping[str, Any]) -> None:
    """Look as chosen: `scheme`, `type_size`, `keys_left`; what is not said or cannot be stays as it is."""
    for name in ("scheme", "type_size", "keys_left"):
        with suppress(ValueError, TypeError):
            setattr(theme, name, chosen.get(name, getattr(theme, name)))
