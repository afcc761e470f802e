"""Things one below the other: a column as high as what is in it, and one that scrolls. Knows no content."""

from typing import Any

from kivy.core.window import Window
from kivy.metrics import dp
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.scrollview import ScrollView

from mobile.theme import theme
from mobile.widgets.painted import Painted


class Column(BoxLayout):
    """One below the other, as high as its content."""

    def __init__(self, *content: Any, **given: Any) -> None:
        given = {"orientation": "vertical", "spacing": theme.gap(), "size_hint_y": None, **given}
        super().__init__(**given)
        self.bind(minimum_height=self.setter("height"))
        self.fill(*content)

    def fill(self, *content: Any) -> None:
        """Show this instead of what was there."""
        self.clear_widgets()
        for widget in content:
            self.add_widget(widget)


class Line(BoxLayout):
    """Side by side, all as high as the highest."""

    def __init__(self, *content: Any, **given: Any) -> None:
        given = {"spacing": theme.gap(), "size_hint_y": None, **given}
        super().__init__(**given)
        for widget in content:
            self.add_widget(widget)

    def add_widget(self, widget: Any, *args: Any, **given: Any) -> None:
        """Grow with it."""
        super().add_widget(widget, *args, **given)
        widget.bind(height=self._grow)
        self._grow()

    def remove_widget(self, widget: Any, *args: Any, **given: Any) -> None:
        """Shrink without it."""
        super().remove_widget(widget, *args, **given)
        widget.unbind(height=self._grow)
        self._grow()

    def _grow(self, *_: object) -> None:
        self.height = max((widget.height for widget in self.children), default=0)


class Even(BoxLayout):
    """Things to touch side by side, each as high as the one that needs most."""

    def __init__(self, *content: Any, **given: Any) -> None:
        super().__init__(**{"spacing": theme.gap(), "size_hint_y": None, **given})
        for widget in content:
            widget.size_hint_y = 1
            widget.bind(minimum_height=self._grow, least=self._grow)
            self.add_widget(widget)
        self._grow()

    def _grow(self, *_: object) -> None:
        needed = [max(dp(widget.least), widget.minimum_height) for widget in self.children]
        self.height = max(needed, default=0)


class Card(Column, Painted):
    """A few lines that belong together, on a ground of their own. `warning=True` gives it a strong edge."""

    def __init__(self, *content: Any, warning: bool = False, **given: Any) -> None:
        given = {"padding": theme.gap(1.5), "ground_role": "raised", **given}
        super().__init__(*content, edge_role="warning" if warning else "", **given)


class Scroll(ScrollView):
    """A column that may be longer than its place."""

    def __init__(self, **given: Any) -> None:
        given = {"do_scroll_x": False, "bar_width": dp(4), "scroll_type": ["bars", "content"], **given}
        super().__init__(**given)
        self.column = Column(padding=[0, theme.gap(), theme.gap(), theme.gap()])
        self.add_widget(self.column)
        theme.follow(self._look)
        self._look()

    def fill(self, *content: Any) -> None:
        """Show this from its top on."""
        self.column.fill(*content)
        self.scroll_y = 1.0

    def _look(self, *_: object) -> None:
        self.bar_color = theme.colour("line")
        self.bar_inactive_color = theme.colour("line")


def window_is_low() -> bool:
    """A phone that lies on its side: too low to stack a list above a pad."""
    return bool(Window.height < dp(480) and Window.width > Window.height)
