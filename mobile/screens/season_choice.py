"""The sheets of the Season place: which season and what of it, and which part of the column to go to. Know no report."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from typing import Any

from mobile.screens.season_parts import Title
from mobile.widgets.buttons import Action
from mobile.widgets.choices import Choice
from mobile.widgets.sheet import Sheet
from mobile.widgets.words import Words
from mobile.workflows.season import SeasonChoice, plain_choice
from shared_models.language import say
from shared_models.season.choice import EVERYTHING, Counted, Damage
from shared_models.season.choice import Choice as Of


def choice_sheet(choice: SeasonChoice, cultivars: Sequence[str], then: Callable[..., Any]) -> Sheet:
    """Seasons, and what of one; a touch goes there. Another season begins with all of it."""
    sheet = Sheet(say("Which season?"))

    def take(season: str | None, of: Of) -> None:
        sheet.close()
        then(season=season, **plain_choice(of))

    def part(**changed: Any) -> None:
        take(choice.season, replace(choice.of, **changed))

    seasons = [(key, say("Season {season}", season=key)) for key in choice.seasons]
    sheet.paper.column.add_widget(Choice(seasons, lambda key: take(key, EVERYTHING), choice.season))
    for question, asked in _questions(choice, cultivars, part):
        sheet.paper.column.add_widget(Words(question, bold=True))
        sheet.paper.column.add_widget(asked)
    return sheet


def _questions(
    choice: SeasonChoice, cultivars: Sequence[str], part: Callable[..., None]
) -> Iterator[tuple[str, Choice[Any]]]:
    of = choice.of
    if len(choice.gardens) > 1:
        gardens = [(None, say("All gardens together")), *choice.gardens]
        yield say("Which garden?"), Choice(gardens, lambda one: part(garden=one), of.garden)
    if len(cultivars) > 1 or of.cultivar:
        names = [(None, say("All cultivars together")), *((name, name) for name in cultivars)]
        yield say("Which cultivar?"), Choice(names, lambda one: part(cultivar=one), of.cultivar)
    damage = [(Damage.ANY, say("Sting or deep entry")), (Damage.DEEP, say("Deep entry only"))]
    yield say("What counts as damage?"), Choice(damage, lambda one: part(damage=one), of.damage)
    fruit = [
        (Counted.BEST, say("All fruit, where it is known")),
        (Counted.PICKED, say("Picked fruit only")),
    ]
    yield say("Of which fruit?"), Choice(fruit, lambda one: part(fruit=one), of.fruit)


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
