"""When, in one garden: what comes next, which visits made the biofix, heat so far, events as bands of days, cold nights.

Every sentence is the workflow's; how it is worked out, and choosing another way, is one touch away.
"""

from functools import partial

from kivy.uix.widget import Widget

from mobile.screens.screen import Screen
from mobile.screens.season_parts import Title
from mobile.theme import theme
from mobile.widgets.buttons import Action, Row
from mobile.widgets.columns import Card, Column
from mobile.widgets.sheet import Sheet
from mobile.widgets.touchable import Touchable
from mobile.widgets.words import Words, heading, small
from mobile.workflows.garden_page import About, GardenPage, PageLine, Section, garden_page
from shared_models.language import say, say_many, word
from shared_models.timing_words import Standing

SIGN_OF = {
    About.FLIGHT: "moth",
    About.CLOCK: "clock",
    About.TEMPERATURES: "day",
    About.BLOOM: "tree",
    About.COLD: "warning",
    About.SPRAYS: "spray",
}
SIGN_OF_STANDING = {
    Standing.REACHED: "done",
    Standing.NOW: "chosen",
    Standing.NO_END: "open",
    Standing.AHEAD: "open",
    Standing.NOT_KNOWN: "unsure",
}


class TimingScreen(Screen):
    """`about` names the garden."""

    title = word("When")

    def show(self) -> None:
        """As known today."""
        garden = self.garden
        self.ask(lambda store: garden_page(store, garden), self._tell)

    @property
    def garden(self) -> str:
        """The garden."""
        return str(self.where.about["garden"])

    def beside_back(self) -> list[Touchable]:
        """Temperatures are typed in the evening, day after day."""
        return [Action(say("Lowest and highest"), self._type, sign="day", bold=False)]

    def _tell(self, page: GardenPage) -> None:
        coming = [Card(Words(page.coming, bold=True))] if page.coming else []
        self.reading.fill(
            heading(page.name),
            small(page.as_known),
            *coming,
            *(widget for section in page.sections for widget in self._section(section)),
        )
        self.thumb.fill(Action(say("How this is worked out"), self._how, sign="unsure", bold=False))

    def _how(self) -> None:
        self.go("timing_how", garden=self.garden)

    def _type(self) -> None:
        self.go("temperature", garden=self.garden)

    def _section(self, section: Section) -> list[Widget]:
        plain = [line for line in section.lines if line.stands is None]
        events = [line for line in section.lines if line.stands is not None]
        return [
            Title(section.heading, SIGN_OF[section.about]),
            *([Card(*(Words(line.sentence) for line in plain))] if plain else []),
            *(self._event(line) for line in events if not line.unchecked),
            *_quoted([line for line in events if line.unchecked]),
        ]

    def _event(self, line: PageLine) -> Row:
        """Published; a touch tells by whom."""
        stands = line.stands or Standing.NOT_KNOWN
        sources = partial(self._tell_sources, line)
        return Row(line.sentence, sources, sign=SIGN_OF_STANDING[stands], bold=stands is Standing.NOW)

    def _tell_sources(self, line: PageLine) -> None:
        sheet = Sheet(say("Where this comes from"), Words(line.sentence, bold=True), Words(line.sources))
        sheet.paper.column.add_widget(Action(say("Close"), sheet.close))
        self.lay(sheet)


def _quoted(lines: list[PageLine]) -> list[Widget]:
    """Figures that nobody checked: apart from the published ones, smaller, and shown on a touch."""
    if not lines:
        return []
    told = Column(spacing=theme.gap())
    head = say_many(
        "{count} event quoted from memory, unchecked",
        "{count} events quoted from memory, unchecked",
        len(lines),
    )

    def turn() -> None:
        shown = (
            []
            if told.children
            else [Column(small(one.sentence), small(one.sources), spacing=0) for one in lines]
        )
        told.fill(*shown)

    return [Row(head, turn, sign="unsure", sign_after="more"), told]
