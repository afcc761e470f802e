"""The one table of screens, by the name that `go` and the saved place use, and the places of the bottom bar.

A new screen is a module and a line here. Modules are loaded when they are needed, which is after the first frame:
they bring the phone's records with them, and reading those takes longer than drawing.
"""

from importlib import import_module
from typing import TYPE_CHECKING

from mobile.widgets.bars import Tab
from shared_models.language import spoken, word

if TYPE_CHECKING:
    from mobile.screens.screen import Screen

SCREENS = {
    "begin": "mobile.screens.begin:BeginScreen",
    "steps": "mobile.screens.steps:StepsScreen",
    "name_garden": "mobile.screens.name_garden:NameGardenScreen",
    "row_of_trees": "mobile.screens.row_of_trees:RowOfTreesScreen",
    "hang_trap": "mobile.screens.hang_trap:HangTrapScreen",
    "today": "mobile.screens.today:TodayScreen",
    "traps": "mobile.screens.traps:TrapsScreen",
    "trap": "mobile.screens.trap:TrapScreen",
    "bags": "mobile.screens.bags:BagsScreen",
    "bag_tree": "mobile.screens.bag_tree:BagTreeScreen",
    "picking": "mobile.screens.picking:PickingScreen",
    "pick_tree": "mobile.screens.pick_tree:PickTreeScreen",
    "score_twice": "mobile.screens.score_twice:ScoreTwiceScreen",
    "scored_twice": "mobile.screens.scored_twice:ScoredTwiceScreen",
    "cut_open": "mobile.screens.cut_open:CutOpenScreen",
    "picked": "mobile.screens.picked:PickedScreen",
    "bags_later": "mobile.screens.bags_later:BagsLaterScreen",
    "season": "mobile.screens.season:SeasonScreen",
    "season_table": "mobile.screens.season_table:SeasonTableScreen",
    "season_trees": "mobile.screens.season_trees:SeasonTreesScreen",
    "season_tree": "mobile.screens.season_tree:SeasonTreeScreen",
    "season_years": "mobile.screens.season_years:SeasonYearsScreen",
    "history": "mobile.screens.history:HistoryScreen",
    "history_line": "mobile.screens.history_line:HistoryLineScreen",
    "orchard": "mobile.screens.orchard:OrchardScreen",
    "tree_page": "mobile.screens.tree_page:TreePageScreen",
    "tree_edit": "mobile.screens.tree_edit:TreeEditScreen",
    "trap_page": "mobile.screens.trap_page:TrapPageScreen",
    "something_else": "mobile.screens.something_else:SomethingElseScreen",
    "job": "mobile.screens.job:JobScreen",
    "drops": "mobile.screens.drops:DropsScreen",
    "drops_tree": "mobile.screens.drops_tree:DropsTreeScreen",
    "temperature": "mobile.screens.temperature:TemperatureScreen",
    "stage": "mobile.screens.stage:StageScreen",
    "note": "mobile.screens.note:NoteScreen",
    "sharing": "mobile.screens.sharing:SharingScreen",
    "copies": "mobile.screens.copies:CopiesScreen",
    "take_in_copy": "mobile.screens.take_in_copy:TakeInCopyScreen",
    "connect": "mobile.screens.connect:ConnectScreen",
    "settings": "mobile.screens.settings:SettingsScreen",
    "people": "mobile.screens.people:PeopleScreen",
    "timing": "mobile.screens.timing:TimingScreen",
    "timing_how": "mobile.screens.timing_how:TimingHowScreen",
    "due_rules": "mobile.screens.due_rules:DueRulesScreen",
}

# Shown where their screen exists, in this order.
PLACES = (
    ("today", "day", word("Today")),
    ("traps", "trap", word("Traps")),
    ("bags", "bag", word("Bags")),
    ("picking", "fruit", word("Picking")),
    ("season", "season", word("Season")),
)


def tabs() -> list[Tab]:
    """The places of the bottom bar that exist."""
    return [Tab(name, sign, spoken(words)) for name, sign, words in PLACES if name in SCREENS]


def screen_class(name: str) -> "type[Screen]":
    """The class of a screen; loads its module where that was not done yet."""
    module, _, cls = SCREENS[name].partition(":")
    return getattr(import_module(module), cls)


def load_all() -> None:
    """Load every screen's module beforehand."""
    for name in SCREENS:
        screen_class(name)
