"""Years side by side, and together: the same comparisons season after season, and what each tree gave for its work."""

from kivy.uix.widget import Widget

from mobile.screens.screen import Screen
from mobile.screens.season_parts import Title, comparison_head, sentences, warned
from mobile.widgets.buttons import Row
from mobile.widgets.chart import Chart
from mobile.widgets.columns import Card
from mobile.widgets.long_list import Listed, LongList
from mobile.widgets.words import Words, heading, small
from mobile.workflows.asking import Store
from mobile.workflows.years import years_of
from mobile.workflows.years_view import YearsCompared, YearsView, years_of_tree, years_view
from shared_models.language import say, word
from shared_models.seasons import Hemisphere


class SeasonYearsScreen(Screen):
    """`about` names the half of the earth; with `trees`, or a `tree`, it lists what trees gave instead."""

    title = word("Years")
    tab = "season"

    def show(self) -> None:
        """Count all seasons beside everything else."""
        half = Hemisphere(self.where.about.get("half", Hemisphere.NORTH))
        self.reading.fill(small(say("Counting what was recorded in all seasons …")))

        def work(store: Store) -> YearsView:
            return years_view(years_of(store, half))

        self.ask_long(work, self._tell)

    def _tell(self, view: YearsView) -> None:
        about = self.where.about
        if about.get("trees") or about.get("tree"):
            self.long_list(LongList(lambda _: None, _trees(view, about.get("tree"))))
            return
        self.reading.fill(heading(say("Years side by side")), *self._column(view))

    def _column(self, view: YearsView) -> list[Widget]:
        seasons = say("Seasons {seasons}", seasons=", ".join(view.seasons) or "–")
        nothing = say("Nothing to show yet: no comparison was made in two seasons.")
        compared: list[Widget] = [_compared(line) for line in view.contrasts]
        all_trees = Row(say("What each tree gave for the work it took"), self._go_to_trees, sign="tree")
        return [
            small(seasons),
            *([Card(*map(warned, view.warnings))] if view.warnings else []),
            Title(say("Years side by side, and together"), "season"),
            *(compared or [Words(nothing)]),
            *([all_trees] if view.trees else []),
            *sentences(say("Traps of two seasons"), view.traps, "moth"),
        ]

    def _go_to_trees(self) -> None:
        self.go("season_years", half=self.where.about.get("half", Hemisphere.NORTH), trees=True)


def _compared(line: YearsCompared) -> Card:
    drawn = [Chart(line.drawing, ground_role="raised")] if line.drawing else []
    return Card(
        *comparison_head(line.question, line.grade, line.grade_name),
        *drawn,
        *map(Words, line.sentences),
        *map(warned, line.warnings),
    )


def _trees(view: YearsView, tree: str | None) -> list[Listed]:
    lines = [years_of_tree(view, tree)] if tree else list(view.trees)
    caption = say(
        "Sound fruit is the crop less the share that was damaged. What was not noted is not known, never none."
    )
    rows = [Listed("", line.name, "\n".join([line.opinion, *line.years])) for line in lines if line]
    nothing = [] if rows else [Listed("", say("Nothing is known of it in any season."))]
    return [
        Listed(
            "", say("What each tree gave for the work it took"), f"{caption} {view.opinions_take}", "tree"
        ),
        *rows,
        *nothing,
    ]
