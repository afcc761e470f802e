"""Traps in walking order, each with its last visit; an empty list leads to hanging the first."""

from mobile.screens.screen import Screen
from mobile.widgets.buttons import Action
from mobile.widgets.columns import Line
from mobile.widgets.long_list import Listed, LongList
from mobile.widgets.words import Words, heading
from mobile.workflows.asking import Store
from mobile.workflows.trap_log import TrapLog, found_in_words
from mobile.workflows.traps import TrapLine, traps_in_walking_order
from shared_models.language import say, word


class TrapsScreen(Screen):
    """A long list, and a button for one more."""

    title = word("Traps")
    tab = "traps"

    def show(self) -> None:
        """As they hang now."""
        self.ask(_rows, self._tell)

    def _tell(self, rows: list[Listed]) -> None:
        if rows:
            self.long_list(LongList(lambda trap: self.go("trap", trap=trap), rows))
        else:
            self.reading.fill(
                heading(say("No trap hangs yet")),
                Words(
                    say(
                        "A trap tells when moths fly. Hang one in each garden before the first blossom opens."
                    )
                ),
            )
        hang = Action(say("Hang a trap"), lambda: self.go("hang_trap"), sign="more")
        change = Action(
            say("Change traps"), lambda: self.go("orchard", traps=True), bold=False, size_hint_x=0.7
        )
        self.thumb.fill(Line(hang, *([change] if rows else [])))


def _rows(store: Store) -> list[Listed]:
    lines = traps_in_walking_order(store)
    several = len({line.garden for line in lines}) > 1
    return [_row(store, line, several) for line in lines]


def _row(store: Store, line: TrapLine, several: bool) -> Listed:
    last = TrapLog(store, line.trap).past(1)
    told = (
        say("{when}: {found}", when=last[0].in_words, found=found_in_words(last[0]))
        if last
        else say("not counted yet")
    )
    name = say("Trap {trap}", trap=line.label)
    return Listed(line.trap, name, f"{line.garden_name} · {told}" if several else told, "trap")
