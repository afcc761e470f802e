"""When, in one garden: what comes next, which visits made the biofix, heat so far, events as bands of days, cold nights.

Every sentence is the workflow's; how it is worked out, and choosing another way, is one touch away.
"""

from functools import partial

from kivy.uix.widget import Widget

from mobile.screens.apart_cards import apart_cards
from mobile.screens.screen import Screen
from mobile.screens.season_parts import Title
from mobile.widgets.buttons import Action, Row
from mobile.widgets.chart_row import NOTHING_DRAWN, ChartRow
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
            *apart_cards(self, page.apart),
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
            *([small(say("The upright line is today."))] if any(_is_drawn(line) for line in events) else []),
            *(self._event(line) for line in events if not line.unchecked),
            *_quoted([line for line in events if line.unchecked]),
        ]

    def _event(self, line: PageLine) -> Row:
        """Published; a touch tells by whom."""
        stands = line.stands or Standing.NOT_KNOWN
        sources = partial(self._tell_sources, line)
        return ChartRow(
            line.sentence,
            line.drawing or NOTHING_DRAWN,
            sources,
            sign=SIGN_OF_STANDING[stands],
            bold=stands is Standing.NOW,
        )

    def _tell_sources(self, line: PageLine) -> None:
        sheet = Sheet(say("Where this comes from"), Words(line.sentence, bold=True), Words(line.sources))
        sheet.paper.column.add_widget(Action(say("Close"), sheet.close))
        self.lay(sheet)


def _is_drawn(line: PageLine) -> bool:
    return line.drawing is not None and not line.unchecked


def _quoted(lines: list[PageLine]) -> list[Widget]:
    """Figures that nobody checked: apart from the published ones, smaller, and shown on a touch."""
    if not lines:
        return []
    told = Column(height=0)  # an empty column would keep the height that every widget begins with
    head = Row(
        say_many(
            "{count} event quoted from memory, unchecked",
            "{count} events quoted from memory, unchecked",
            len(lines),
        ),
        sign="unsure",
        sign_after="more",
    )

    def turn() -> None:
        told.fill(*([] if told.children else map(_remembered, lines)))
        head.sign_after = "less" if told.children else "more"

    head.then = turn
    return [head, told]


def _remembered(line: PageLine) -> Widget:
    return Column(small(line.sentence), small(line.sources), spacing=0)
