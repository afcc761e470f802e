"""An invented garden on a phone, as it is opened in window tests and in the pictures; and every screen in it.

A new screen that needs arguments gets a line in `about`. Words are long on purpose: what fits here fits elsewhere.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Any

from kivy.core.window import Window

from mobile.app import PomewardApp
from mobile.screens.places import SCREENS
from mobile.settings import Settings
from mobile.storage.phone_store import PhoneStore
from mobile.workflows.bagging import BaggingRound
from mobile.workflows.device_choices import choose
from mobile.workflows.first_start import begin, name_garden
from mobile.workflows.moments import Told
from mobile.workflows.people import add_person, people
from mobile.workflows.picking import PickingVisit
from mobile.workflows.scoring_checks import score_twice
from mobile.workflows.tally import BAG_ON, BARE, Amount
from mobile.workflows.trap_round import TrapRound
from mobile.workflows.traps import hang_trap, put_traps_in_order
from mobile.workflows.tree_plans import declare_untreated, plan_tree
from mobile.workflows.trees import add_row, rename_tree
from shared_models.records.fields import Record
from shared_models.records.gardens import Garden
from shared_models.seasons import Hemisphere
from shared_models.vocabulary import Fruit, TrapState
from tests.mobile.harvest import SEASON, last_harvest
from tests.mobile.phones import SUMMER, SetClock
from tests.mobile.spring import spring
from tests.mobile.workflows.exchanges import hears
from tests.window.phone import Phone

SIZES = (
    (360, 640),
    (412, 892),
    (1024, 768),
    (640, 360),
)  # [dp] small and middling phone, desk, phone on its side
LOWER = "Lower garden by the old mill"
SCHEMES = ("sun", "dusk")
TYPE_SIZES = (1.0, 1.5)


@dataclass(frozen=True)
class Invented:
    """A folder with a phone that was used, the clock it lives by, and the ids that screens are told."""

    settings: Settings
    clock: SetClock
    garden: str
    traps: tuple[str, ...]
    trees: tuple[str, ...]
    scored_twice: str = ""  # twenty fruit scored by two
    scored: str = ""  # a finished picking visit to the tenth tree, bagged and bare

    def about(self, screen: str) -> dict[str, Any]:
        """The arguments of a screen."""
        season: dict[str, Any] = {"season": SEASON, "garden": None}
        told: dict[str, dict[str, Any]] = {
            "trap": {"trap": self.traps[1]},
            "job": {"method": "kaolin_film"},
            "drops_tree": {"tree": self.trees[6]},
            "tree_page": {"tree": self.trees[6]},
            "tree_edit": {"tree": self.trees[6]},
            "trap_page": {"trap": self.traps[1]},
            "history_line": {"rec": self.scored},
            "bag_tree": {"tree": self.trees[1]},
            "pick_tree": {"tree": self.trees[1]},
            "picked": {"tree": self.trees[9], "visit": self.scored},
            "score_twice": {"tree": self.trees[2]},
            "scored_twice": {"tree": self.trees[2], "rec": self.scored_twice},
            "cut_open": {"tree": self.trees[2]},
            "bags_later": {"tree": self.trees[1]},
            "timing": {"garden": self.garden},
            "timing_how": {"garden": self.garden},
            "season": season,
            "season_table": {**season, "table": "trees"},
            "season_trees": season,
            "season_tree": {**season, "tree": self.trees[7]},
        }
        return told.get(screen, {})

    def app(self) -> PomewardApp:
        """The app on this phone, as started."""
        return PomewardApp(self.settings, self.clock)


def fresh(folder: Path) -> Invented:
    """A phone before its first start."""
    return Invented(
        Settings(folder, "phone"), SetClock(datetime(2026, 6, 4, 9, 10, tzinfo=SUMMER)), "", (), ()
    )


def used(folder: Path, scheme: str = "sun", type_size: float = 1.0) -> Invented:
    """A phone with two gardens, a row of trees, four traps, some counted; invented."""
    empty = fresh(folder)
    folder.mkdir(parents=True, exist_ok=True)
    store = PhoneStore(empty.settings.file, empty.clock)
    begin(store, "Ida", "Europe/Rome")
    garden = name_garden(store, LOWER, Hemisphere.NORTH).garden
    upper = name_garden(store, "Hill", Hemisphere.NORTH).garden
    trees = add_row(store, garden, 12, cultivar="Early Red").trees
    since = date(2026, 4, 20)
    traps = [hang_trap(store, str(number), garden, since=since).trap for number in (1, 2, 3)]
    traps.append(hang_trap(store, "at the gate", upper, since=since).trap)
    _counted(store, traps)
    last_harvest(store, trees)
    _bagged(store, trees)
    scored, twice = _scored(store, trees[9]), _scored_twice(store, trees[2])
    choose(store, scheme=scheme, type_size=type_size)
    store.close()
    return Invented(empty.settings, empty.clock, garden, tuple(traps), trees, twice, scored)


def in_spring(folder: Path, scheme: str = "sun", type_size: float = 1.0) -> Invented:
    """The same phone with temperatures, growth stages and a flight in its lower garden."""
    found = used(folder, scheme, type_size)
    store = PhoneStore(found.settings.file, found.clock)
    spring(store, found.garden, LOWER, found.trees[3])
    store.close()
    return found


def disputed(folder: Path, scheme: str = "sun", type_size: float = 1.0) -> Invented:
    """The same phone after a neighbour who edited the same things and counted the same trap was heard of."""
    found = in_spring(folder, scheme, type_size)
    store = PhoneStore(found.settings.file, found.clock)
    neighbour = PhoneStore(folder / "neighbour.sqlite", found.clock)
    begin(neighbour, "Bartholomew from the mill", "Europe/Rome")
    hears(neighbour, store)
    _edited(store, found, "7 (gate)", "north side of the middle row", 1)
    found.clock.move(minutes=25)
    _edited(neighbour, found, "7 by the well", "at the end of the row, where the ladder stands in winter", 2)
    hears(store, neighbour)
    neighbour.close()
    store.close()
    return found


def _edited(store: PhoneStore, here: Invented, label: str, place: str, first: int) -> None:
    """A tree, a garden, a walking order and a trap as one of the two sees them."""
    rename_tree(store, here.trees[6], label)
    store.record(Garden.kind, {"note": place}, here.garden)
    put_traps_in_order(store, [*here.traps[first:3], *here.traps[:first]])
    hand = TrapRound(store).open(here.traps[1], Told("2026-06-03"))
    hand.number(len(label))
    hand.done()


def _bagged(store: PhoneStore, trees: tuple[str, ...]) -> None:
    """Two trees bagged before; plans of a usual and of a long kind, and a helper with a long name."""
    helper = add_person(store, "Bartholomew from the mill")
    for tree, bags, who in ((trees[0], 60, None), (trees[1], 37, helper)):
        visit = BaggingRound(store, Told("2026-06-02", who)).open(tree)
        visit.answer("two-layer paper", 22)
        visit.number(Amount.exactly(bags))
        visit.done()
    plan_tree(store, trees[0], ["bagging"], season="2026")
    plan_tree(store, trees[1], ["bagging", "kaolin_film", "granulovirus"], season="2026")
    declare_untreated(store, [trees[5]], season="2026")


def _scored(store: PhoneStore, tree: str) -> str:
    """Early fruit of one tree, thirty from bags and twenty beside them."""
    visit = PickingVisit(store, tree, Told("2026-06-03"))
    for part, fruit, number in (
        (BAG_ON, Fruit.CLEAN, 29),
        (BAG_ON, Fruit.STING, 1),
        (BARE, Fruit.CLEAN, 13),
        (BARE, Fruit.DEEP_ENTRY, 7),
    ):
        visit.from_part(part)
        visit.number(fruit, Amount.exactly(number))
    visit.done()
    return str(visit.visit)


def _scored_twice(store: PhoneStore, tree: str) -> str:
    """Twenty fruit by two people, who differ on three of them."""
    second = next(line.person for line in people(store) if not line.is_me)
    first = [Fruit.CLEAN] * 14 + [Fruit.STING] * 3 + [Fruit.DEEP_ENTRY] * 3
    other = [Fruit.CLEAN] * 12 + [Fruit.OTHER_INSECT, Fruit.STING] + first[14:19] + [Fruit.STING]
    return score_twice(store, tree, second, first, other, Told("2026-06-03"))


def _counted(store: PhoneStore, traps: list[str]) -> None:
    for day, moths in ((date(2026, 5, 25), 19), (date(2026, 5, 29), 14), (date(2026, 5, 31), 0)):
        hand = TrapRound(store).open(traps[1], Told(day.isoformat()))
        hand.number(moths)
        hand.done()
    lost = TrapRound(store).open(traps[2], Told("2026-06-02"))
    lost.not_counted(TrapState.LOST)
    lost.done()


def open_at(phone: Phone, invented: Invented, screen: str, size: tuple[int, int]) -> PomewardApp:
    """Open the app at a screen and draw until everything stands."""
    app = invented.app()
    phone.open(app, size)
    phone.until(lambda: app.frame.screen is not None)
    phone.settle()
    if app.frame.way.here.screen != screen:
        app.frame.go(screen, **invented.about(screen))
        phone.settle()
    phone.frames(8)
    assert tuple(Window.size) == size
    return app


def stored(invented: Invented, kind: type[Record], rec: str) -> Any:
    """A record as it is on disk, None where it was undone."""
    store = PhoneStore(invented.settings.file, invented.clock)
    found = store.get(kind, rec)
    store.close()
    return found


def screens() -> list[str]:
    """The name of every screen."""
    return list(SCREENS)


def shown_screen(app: PomewardApp) -> Any:
    """The screen that is shown, of whatever class."""
    assert app.frame.screen is not None
    return app.frame.screen
