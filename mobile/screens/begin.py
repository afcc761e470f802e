"""First start: whose phone this is, and the time zone of the gardens. Everything else can wait."""

from mobile.screens.look_around import look_around_row
from mobile.screens.screen import Screen
from mobile.theme import theme
from mobile.widgets.buttons import Primary
from mobile.widgets.columns import Line
from mobile.widgets.fields import TextField
from mobile.widgets.sign import Sign
from mobile.widgets.touchable import Touchable
from mobile.widgets.words import Words, heading
from mobile.workflows.first_start import begin
from shared_models.language import say, word


class BeginScreen(Screen):
    """A name or initials, and a zone that the device knows already."""

    title = word("Pomeward")

    def show(self) -> None:
        """Two questions."""
        draft = self.where.draft
        self._name = TextField(
            say("Your name or initials"), draft.get("name", ""), lambda text: self.keep(name=text)
        )
        self._zone = TextField(
            say("Time zone of your gardens"),
            draft.get("zone", self.frame.errands.zone()),
            lambda text: self.keep(zone=text),
        )
        trees = Line(*(Sign(name, side=44, size_hint_x=1) for name in ("tree", "moth", "bag", "fruit")))
        self.reading.fill(
            trees,
            heading(say("Keep count of your apples and pears")),
            Words(say("Everything you record stays on this phone first. No account, no network is needed.")),
            self._name,
            self._zone,
            look_around_row(self),
        )
        self.reading.column.spacing = theme.gap(2)

    def beside_back(self) -> list[Touchable]:
        """Begin."""
        return [Primary(say("Begin"), self._begin)]

    def _begin(self) -> None:
        name, zone = self._name.text, self._zone.text
        if not name:
            self._name.error = say("A name or initials are needed, so that others see who recorded what.")
            return
        self.ask(lambda store: begin(store, name, zone), lambda _: self.instead("steps"))
