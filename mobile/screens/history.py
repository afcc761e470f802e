"""The history: newest first, a heading for each day, filtered by tree, trap, person and kind; each line opens."""

from functools import partial
from typing import Any

from kivy.uix.widget import Widget

from mobile.screens.find_tree import find_tree
from mobile.screens.screen import Screen
from mobile.widgets.buttons import Action, Row
from mobile.widgets.columns import Column
from mobile.widgets.long_list import Listed, LongList
from mobile.widgets.sheet import Sheet
from mobile.widgets.words import Words, heading, small
from mobile.workflows.asking import Store
from mobile.workflows.history import KIND_WORDS, HistoryLine, Wanted, lines, wanted_in_words
from mobile.workflows.people import PersonLine, people
from mobile.workflows.spoken_moments import day_or_days_in_words
from mobile.workflows.traps import TrapLine, traps_in_walking_order
from shared_models.language import capital, say, say_many, spoken, word

FIRST, MORE, MOST = 100, 1000, 20_000  # lines: at once; after a touch; however many there are
EARLIER = "earlier"  # the name of the row that asks for more
SIGNS = {"trap_visit": "trap", "visit": "tree", "pick": "fruit", "job": "work", "note": "note"}


class HistoryScreen(Screen):
    """`about` or the draft may hold tree, trap, person and kind."""

    title = word("History")

    def show(self) -> None:
        """The newest lines."""
        self._limit = FIRST
        wanted = self.wanted
        self.ask(lambda store: _found(store, wanted, FIRST), self._tell)

    @property
    def wanted(self) -> Wanted:
        """What is filtered by."""
        told = self.where.about | self.where.draft
        return Wanted(told.get("tree"), told.get("trap"), told.get("person"), told.get("kind"))

    def _tell(self, found: tuple[list[HistoryLine], str]) -> None:
        shown, words = found
        self.thumb.fill(Action(say("Shown: {what}", what=words), self._ask_filter, bold=False, middle=False))
        if not shown:
            self.reading.fill(
                heading(say("Nothing yet")), Words(say("What you record stands here, newest first."))
            )
            return
        place = getattr(self, "_listed", None)
        self._listed = LongList(self._open, _rows(shown, self._limit))
        if place is not None and self._limit > FIRST:
            self._listed.scroll_y = 1 - FIRST / max(1, len(self._listed.rows))
        self.long_list(self._listed)

    def _open(self, name: str) -> None:
        if name == EARLIER:
            self._more()
        else:
            self.go("history_line", rec=name)

    def _more(self) -> None:
        """Further back; put together beside everything else, since thousands of lines take seconds."""
        self._limit = MORE if self._limit < MORE else MOST
        wanted, limit = self.wanted, self._limit
        self.thumb.fill(small(say("Looking further back …")))
        self.ask_long(lambda store: _found(store, wanted, limit), self._tell)

    # ------------------------------------------------------------ the filter
    def _ask_filter(self) -> None:
        self.ask(lambda store: (people(store), traps_in_walking_order(store)), self._lay_filter)

    def _lay_filter(self, found: tuple[list[PersonLine], list[TrapLine]]) -> None:
        persons, traps = found
        choices: list[Widget] = [
            Row(say("One tree"), self._ask_tree, sign="tree"),
            Row(
                say("One trap"),
                partial(self._lay_choice, say("Which trap?"), "trap", _traps(traps)),
                sign="trap",
            ),
            Row(
                say("One person"),
                partial(self._lay_choice, say("Who?"), "person", _people(persons)),
                sign="person",
            ),
            Row(
                say("One kind"), partial(self._lay_choice, say("Which kind?"), "kind", _kinds()), sign="note"
            ),
            Action(say("Everything"), partial(self._filter, tree=None, trap=None, person=None, kind=None)),
        ]
        self.lay(Sheet(say("What do you want to see?"), *choices))

    def _ask_tree(self) -> None:
        self.close_sheets()
        find_tree(self, lambda tree: self._filter(tree=tree, trap=None))

    def _lay_choice(self, title: str, field: str, options: list[tuple[str, str]]) -> None:
        self.close_sheets()
        other = {"trap": {"tree": None}}.get(field, {})
        rows = [
            Action(words, partial(self._filter, **{field: value, **other}), bold=False, middle=False)
            for value, words in options
        ]
        self.lay(Sheet(title, Column(*rows)))

    def _filter(self, **changed: Any) -> None:
        self.close_sheets()
        self.keep(**changed)
        self.again()


def _found(store: Store, wanted: Wanted, limit: int) -> tuple[list[HistoryLine], str]:
    return lines(store, wanted, limit), wanted_in_words(store, wanted)


def _rows(shown: list[HistoryLine], limit: int) -> list[Listed]:
    """A row without a name heads each day."""
    rows, day = list[Listed](), ""
    for line in shown:
        its_day = day_or_days_in_words(line.when)
        if its_day != day:
            day = its_day
            rows.append(Listed("", capital(day)))
        rows.append(Listed(line.rec, line.sentence, _second(line, day), SIGNS.get(line.kind, "day")))
    if len(shown) >= limit:
        rows.append(Listed(EARLIER, say("Further back"), "", "clock"))
    return rows


def _second(line: HistoryLine, day: str) -> str:
    at = line.in_words.removeprefix(day).lstrip(", ")
    corrected = (
        say_many("corrected once", "corrected {count} times", line.corrected) if line.corrected else ""
    )
    parts = [at, line.who, corrected, say("undone") if line.undone else ""]
    return " · ".join(part for part in parts if part)


def _traps(traps: list[TrapLine]) -> list[tuple[str, str]]:
    return [(line.trap, say("Trap {trap}", trap=line.label)) for line in traps]


def _people(persons: list[PersonLine]) -> list[tuple[str, str]]:
    return [(line.person, line.name) for line in persons]


def _kinds() -> list[tuple[str, str]]:
    return [(kind, spoken(words)) for kind, words in KIND_WORDS.items()]
