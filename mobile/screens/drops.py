"""On the drops round: the trees in walking order with what was found today, and a bucket for the whole garden."""

from mobile.screens.amount_sheet import AmountFields
from mobile.screens.garden_choice import garden_question
from mobile.screens.screen import Screen
from mobile.screens.trees_missing import trees_missing
from mobile.screens.when import as_about, ask_when, told_of
from mobile.widgets.buttons import Action, Primary
from mobile.widgets.choices import OnOff
from mobile.widgets.long_list import Listed, LongList
from mobile.widgets.sheet import Sheet
from mobile.widgets.words import small
from mobile.workflows.asking import Store
from mobile.workflows.corrections import undo
from mobile.workflows.drops_round import drops_of_garden
from mobile.workflows.drops_walk import DropsWalk, drops_walk
from mobile.workflows.job import JobDone
from mobile.workflows.moments import Told
from mobile.workflows.when_told import told_in_words
from shared_models.errors import BadInputError
from shared_models.language import say, word

WHEN = "when"  # the row above the trees; no record's id


class DropsScreen(Screen):
    """`about` may name the garden."""

    title = word("Drops round")

    def show(self) -> None:
        """As it was counted today, or on the day that is told."""
        told = told_of(self.where)
        garden = self.where.draft.get("garden") or self.where.about.get("garden")
        self.ask(lambda store: drops_walk(store, garden, told), self._tell)

    def _tell(self, walk: DropsWalk) -> None:
        if not walk.lines and len(walk.gardens) < 2:
            trees_missing(self, say("Drops are counted under trees; add the trees first."))
            return
        self._round = walk
        when = Listed(WHEN, say("When? {when}", when=told_in_words(told_of(self.where))), "", "clock")
        trees = [_listed(line.tree, line.label, line.found) for line in walk.lines]
        self.long_list(LongList(self._open, [when, *trees]))
        name = next((one.name for one in walk.gardens if one.rec == walk.garden), "")
        others = [Action(name, self._ask_garden, sign="garden", bold=False)] if len(walk.gardens) > 1 else []
        bucket = Action(say("A bucket for the whole garden"), self._ask_bucket, sign="drop")
        self.thumb.fill(*others, bucket)

    def _open(self, tree: str) -> None:
        if tree == WHEN:
            ask_when(self, self._told, {"garden": self._round.garden} if self._round.garden else None)
            return
        self.go("drops_tree", tree=tree, **as_about(told_of(self.where)))

    def _told(self, told: Told) -> None:
        self.keep(when=told.when, season=told.season)
        self.again()

    # ------------------------------------------------------------ which garden
    def _ask_garden(self) -> None:
        asked, _ = garden_question(self._round.gardens, self._round.garden, self._chosen)
        self.lay(Sheet(say("Which garden?"), *asked[1:]))

    def _chosen(self, garden: str) -> None:
        self.close_sheets()
        self.keep(garden=garden)
        self.again()

    # ------------------------------------------------------------ a bucket
    def _ask_bucket(self) -> None:
        garden = self._round.garden
        if garden is not None:
            self.lay(BucketSheet(self, garden))

    def recorded_bucket(self, done: JobDone) -> None:
        """The whole garden was gone round."""
        self.close_sheets()
        sentence = say("A drops round of the whole garden is recorded.")
        self.recorded(" ".join([sentence, *done.notes]), lambda store: undo(store, done.job))


class BucketSheet(Sheet):
    """How many there were, as far as anybody counted; nothing typed is a round too."""

    def __init__(self, screen: DropsScreen, garden: str) -> None:
        super().__init__(say("A bucket for the whole garden"))
        self._screen, self._garden = screen, garden
        self._damaged = AmountFields(say("How many damaged drops?"))
        self._undamaged = AmountFields(say("How many undamaged drops?"))
        self._off = OnOff(say("Damaged fruit was taken off trees too"), lambda _: None)
        note = say("It tells that the garden was gone round; which tree they fell from stays open.")
        content = (
            small(note),
            *self._damaged.widgets,
            *self._undamaged.widgets,
            self._off,
            Primary(say("Record this round"), self._keep),
        )
        for widget in content:
            self.paper.column.add_widget(widget)

    def _keep(self) -> None:
        try:
            damaged, undamaged = self._damaged.amount(needed=False), self._undamaged.amount(needed=False)
        except BadInputError:
            return  # the field says it
        garden, told, off = self._garden, told_of(self._screen.where), bool(self._off.on)

        def work(store: Store) -> JobDone:
            return drops_of_garden(
                store, garden, damaged=damaged, undamaged=undamaged, took_fruit_off=off, told=told
            )

        self._screen.ask(work, self._screen.recorded_bucket)


def _listed(tree: str, label: str, found: str) -> Listed:
    return Listed(tree, say("Tree {tree}", tree=label), found or say("not yet"), "done" if found else "drop")
