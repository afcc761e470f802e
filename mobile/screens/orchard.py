"""Trees and traps: a list in walking order with search; each leads to its page, a garden to its timing."""

from mobile.screens.garden_choice import garden_question
from mobile.screens.screen import Screen
from mobile.widgets.buttons import Action, Primary
from mobile.widgets.columns import Line
from mobile.widgets.fields import TextField
from mobile.widgets.long_list import Listed, LongList
from mobile.widgets.sheet import Sheet
from mobile.widgets.words import Words, heading, small
from mobile.workflows.asking import Store
from mobile.workflows.first_start import gardens
from mobile.workflows.orchard import ThingRow, orchard_traps, orchard_trees
from mobile.workflows.tree_choice import trees_in_typed_order
from mobile.workflows.tree_list import TreeList
from mobile.workflows.trees import put_in_order
from mobile.workflows.usual_garden import usual_garden
from shared_models.language import say, word
from shared_models.records.gardens import Garden


class OrchardScreen(Screen):
    """`about` or the draft say whether traps are shown; the draft holds what is searched for."""

    title = word("Trees and traps")

    def show(self) -> None:
        """As it was left."""
        search, traps = self.where.draft.get("search", ""), self.shows_traps
        self.ask(lambda store: orchard_traps(store) if traps else orchard_trees(store, search), self._tell)

    @property
    def shows_traps(self) -> bool:
        """Traps instead of trees."""
        return bool((self.where.about | self.where.draft).get("traps"))

    def _tell(self, rows: list[ThingRow]) -> None:
        traps, search = self.shows_traps, self.where.draft.get("search", "")
        if rows:
            self.long_list(LongList(self._open, [_listed(row, "trap" if traps else "tree") for row in rows]))
        else:
            nothing = say("Nothing is called so.") if search else say("Nothing stands here yet.")
            self.reading.fill(
                heading(nothing), Words(say("An earlier label is found too.") if search else "")
            )
        words = say("Searched: {text}", text=search) if search else say("Search")
        find = [] if traps else [Action(words, self._ask_search, bold=False, sign="find")]
        order = [] if traps else [Action(say("Order"), self._ask_garden, size_hint_x=0.6)]
        add = ("hang_trap", say("Hang a trap")) if traps else ("row_of_trees", say("Add trees"))
        other = say("Trees") if traps else say("Traps")
        self.thumb.fill(
            *([Line(*find, *order)] if find else []),
            Line(
                Action(add[1], lambda: self.go(add[0]), sign="more"),
                Action(other, lambda: self._switch(not traps), size_hint_x=0.6),
            ),
        )

    def _open(self, name: str) -> None:
        kind, _, rec = name.partition(" ")
        self.go("timing" if kind == "garden" else f"{kind}_page", **{kind: rec})

    def _switch(self, traps: bool) -> None:
        self.keep(traps=traps, search="")
        self.again()

    # ------------------------------------------------------------ search
    def _ask_search(self) -> None:
        field = TextField(say("Label, earlier label or cultivar"), self.where.draft.get("search", ""))

        def look() -> None:
            sheet.close()
            self.keep(search=field.text)
            self.again()

        def everything() -> None:
            field.text = ""
            look()

        sheet = Sheet(
            say("Search"),
            field,
            Primary(say("Search"), look),
            Action(say("Show all"), everything, bold=False),
        )
        self.lay(sheet)

    # ------------------------------------------------------------ walking order by numbers
    def _ask_garden(self) -> None:
        self.ask(lambda store: (gardens(store), usual_garden(store)), self._ask_order)

    def _ask_order(self, found: tuple[list[Garden], str | None]) -> None:
        known, usual = found
        if usual is not None:
            self.lay(OrderSheet(self, known, usual))


def _listed(row: ThingRow, kind: str) -> Listed:
    """A tree or a trap leads to its page, a garden to what is to be said of when."""
    kind, rec = ("garden", row.garden) if row.garden else (kind, row.rec)
    name = f"{kind} {rec}" if rec else ""
    return Listed(name, row.text, row.second, kind if name else "")


class OrderSheet(Sheet):
    """Walking order of one garden, typed as numbers; trees that are not named come after those that are."""

    def __init__(self, screen: Screen, known: list[Garden], usual: str) -> None:
        super().__init__(say("In which order do you walk?"))
        self._screen = screen
        asked, self._garden = garden_question(known, usual, self._chosen)
        self._typed = TextField(say("Labels such as 1-6, 12-7, 13"))
        note = say("Trees that are not named come after those that are, in the order they have now.")
        for widget in (*asked, small(note), self._typed, Primary(say("Walk in this order"), self._keep)):
            self.paper.column.add_widget(widget)

    def _chosen(self, garden: str) -> None:
        self._garden = garden

    def _keep(self) -> None:
        garden, text = self._garden or "", self._typed.text

        def order(store: Store) -> list[str]:
            before = [line.tree for line in TreeList(store).standing(garden)]
            put_in_order(store, trees_in_typed_order(store, garden, text))
            return before

        self._screen.ask(order, self._kept)

    def _kept(self, before: list[str]) -> None:
        self.close()
        self._screen.recorded(say("The walking order is changed."), lambda store: put_in_order(store, before))
        self._screen.again()
