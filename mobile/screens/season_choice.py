"""The sheets of the Season place: which season and garden, and which part of the column to go to. Know no report."""

from collections.abc import Callable, Sequence
from functools import partial
from typing import Any

from mobile.screens.season_parts import Title
from mobile.widgets.buttons import Action
from mobile.widgets.choices import Choice
from mobile.widgets.sheet import Sheet
from mobile.widgets.words import Words
from mobile.workflows.season import SeasonChoice
from shared_models.language import say


def choice_sheet(choice: SeasonChoice, then: Callable[..., Any]) -> Sheet:
    """Seasons and gardens; a touch on one goes there. Another season begins with all of its gardens."""
    sheet = Sheet(say("Which season?"))

    def take(**about: str | None) -> None:
        sheet.close()
        then(**about)

    seasons = [(key, say("Season {season}", season=key)) for key in choice.seasons]
    sheet.paper.column.add_widget(Choice(seasons, lambda key: take(season=key), choice.season))
    if len(choice.gardens) > 1:
        gardens: list[tuple[str | None, str]] = [(None, say("All gardens together")), *choice.gardens]
        sheet.paper.column.add_widget(Words(say("Which garden?"), bold=True))
        sheet.paper.column.add_widget(
            Choice(gardens, lambda garden: take(season=choice.season, garden=garden), choice.garden)
        )
    return sheet


def parts_sheet(titles: Sequence[Title], then: Callable[[Title], Any]) -> Sheet:
    """The headings of the column; a touch on one goes there."""
    sheet = Sheet(say("Go to"))

    def take(title: Title) -> None:
        sheet.close()
        then(title)

    for title in titles:
        row = Action(title.words, partial(take, title), sign=title.sign, middle=False, bold=False)
        sheet.paper.column.add_widget(row)
    return sheet
