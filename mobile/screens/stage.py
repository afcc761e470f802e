"""A growth stage, chosen from the scale in the order of the year; one touch records it for a garden or one tree."""

from mobile.screens.find_tree import find_tree
from mobile.screens.garden_choice import garden_question
from mobile.screens.screen import Screen
from mobile.screens.when import WhenLine, told_of
from mobile.widgets.buttons import Action
from mobile.widgets.columns import Line
from mobile.widgets.long_list import Listed, LongList
from mobile.widgets.sheet import Sheet
from mobile.widgets.words import Words
from mobile.workflows.asking import Store
from mobile.workflows.corrections import undo
from mobile.workflows.seen import SeenNoted, StagesToChoose, see_stage, stages_to_choose
from mobile.workflows.tree_list import TreeList
from shared_models.language import say, word


class StageScreen(Screen):
    """`about` or the draft may name garden and tree."""

    title = word("Growth stage")

    def show(self) -> None:
        """The scale, where it was left."""
        told = self.where.about | self.where.draft
        garden, tree = told.get("garden"), told.get("tree")
        self.ask(lambda store: (stages_to_choose(store, garden), _label(store, tree)), self._tell)

    def _tell(self, found: tuple[StagesToChoose, str]) -> None:
        self._stages, label = found
        if self._stages.garden is None:
            self.reading.fill(Words(say("A stage is seen in a garden; name one first.")))
            return
        rows = [Listed(line.code, line.meaning, line.marks, "tree") for line in self._stages.lines]
        listed = LongList(self._record, rows)
        codes = [row.name for row in rows]
        if self._stages.newest in codes:
            listed.scroll_y = 1 - codes.index(self._stages.newest) / max(1, len(codes) - 1)
        self.long_list(listed)
        of = say("Seen on tree {tree}", tree=label) if label else say("Seen in {garden}", garden=self._name())
        self.thumb.fill(WhenLine(self), Line(Action(of, self._ask_where, bold=False, sign="garden")))

    def _name(self) -> str:
        return next(one.name for one in self._stages.gardens if one.rec == self._stages.garden)

    # ------------------------------------------------------------ where it was seen
    def _ask_where(self) -> None:
        asked, _ = garden_question(self._stages.gardens, self._stages.garden, self._in_garden)
        one = Action(say("On one tree"), self._ask_tree, sign="tree")
        whole = Action(say("In the whole garden"), lambda: self._in_garden(self._stages.garden))
        self.lay(Sheet(say("Where was it seen?"), *asked[1:], whole, one))

    def _in_garden(self, garden: str | None) -> None:
        self._seen_at(garden, None)

    def _ask_tree(self) -> None:
        self.close_sheets()
        find_tree(self, lambda tree: self._seen_at(self._stages.garden, tree))

    def _seen_at(self, garden: str | None, tree: str | None) -> None:
        self.close_sheets()
        self.keep(garden=garden, tree=tree)
        self.again()

    # ------------------------------------------------------------ recording
    def _record(self, code: str) -> None:
        told, tree = told_of(self.where), (self.where.about | self.where.draft).get("tree")
        garden = None if tree else self._stages.garden
        self.ask(lambda store: see_stage(store, code, garden=garden, tree=tree, told=told), self._recorded)

    def _recorded(self, noted: SeenNoted) -> None:
        self.recorded(noted.sentence, lambda store: undo(store, noted.record))
        self.again()


def _label(store: Store, tree: str | None) -> str:
    return TreeList(store).line(tree).label if tree else ""
