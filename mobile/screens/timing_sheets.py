"""The sheets that ask how a garden's timing is to be worked out: rule of biofix, method, thresholds, thermometer, missing days.

What is chosen is told as fields; `then` hears them and whether they are for every garden. Decide nothing.
"""

from collections.abc import Callable
from typing import Any

from kivy.uix.widget import Widget

from mobile.screens.day_field import day_sheet
from mobile.widgets.buttons import Action, Primary
from mobile.widgets.choices import Choice
from mobile.widgets.fields import NumberField
from mobile.widgets.sheet import Sheet
from mobile.widgets.words import Words, small
from mobile.workflows.timing import rule_choices
from mobile.workflows.timing_settings import (
    CUTOFFS,
    FILLS,
    METHODS,
    HowPage,
    in_celsius,
    in_unit,
    source_named,
)
from shared_models.calculations.biofix import Rule
from shared_models.errors import BadInputError
from shared_models.language import capital, say, spoken
from shared_models.timing.readings import OWN
from shared_models.vocabulary import Fill

Then = Callable[[bool, dict[str, Any]], Any]  # whether for every garden, and what was chosen
COUNTS = (Rule.TOTAL, Rule.MEAN)


def method_sheet(page: HowPage, then: Then) -> Sheet:
    """How the hours of a day are guessed, and what warmth above the upper threshold does."""
    by = page.now.reckoning
    method = Choice([(one, spoken(words)) for one, words in METHODS.items()], lambda _: None, by.method)
    cutoff = Choice([(one, spoken(words)) for one, words in CUTOFFS.items()], lambda _: None, by.cutoff)

    def keep(everywhere: bool) -> None:
        sheet.close()
        then(everywhere, {"method": method.chosen, "cutoff": cutoff.chosen})

    note = small(say("Totals of two methods do not compare; single sine and horizontal are usual."))
    sheet = Sheet(
        say("How is warmth counted?"),
        note,
        method,
        Words(say("Above the upper threshold")),
        cutoff,
        *_keep_buttons(page, keep),
    )
    return sheet


def thresholds_sheet(page: HowPage, then: Then) -> Sheet:
    """Two temperatures, in either unit."""
    by = page.now.reckoning
    lower = NumberField(say("Lower threshold"), f"{by.lower:g}")
    upper = NumberField(say("Upper threshold"), f"{by.upper:g}")

    def turn(to: str) -> None:  # what stood there in °C must not be taken for °F
        lower.text, upper.text = (f"{in_unit(one, to):g}" for one in (by.lower, by.upper))

    unit = Choice([("C", say("°C")), ("F", say("°F"))], turn, "C")

    def keep(everywhere: bool) -> None:
        try:
            low, high = _celsius(lower, unit.chosen), _celsius(upper, unit.chosen)
        except BadInputError:
            return  # the field says it
        sheet.close()
        then(everywhere, {"lower_c": low, "upper_c": high})

    note = small(say("Usual for codling moth: 10 to 31.1 °C, which is 50 to 88 °F."))
    sheet = Sheet(say("Between which temperatures?"), note, unit, lower, upper, *_keep_buttons(page, keep))
    return sheet


def _celsius(field: NumberField, unit: str | None) -> float:
    typed = field.number()
    if typed is None:
        field.error = say("Type a temperature.")
        raise BadInputError(field.error)
    return in_celsius(typed, unit or "C")


def source_sheet(page: HowPage, then: Then) -> Sheet:
    """Whose reading is used where several tell of one day; the garden's own goes first unless somebody says otherwise."""
    now = page.now.sources.first or OWN
    offered = sorted({OWN, now, *page.told})
    first = Choice([(one, source_named(one)) for one in offered], lambda _: None, now)

    def keep(everywhere: bool) -> None:
        sheet.close()
        then(everywhere, {"source": first.chosen})

    note = small(
        say(
            "Used where several tell of one day; the others are kept. One that was imported goes by its name."
        )
    )
    sheet = Sheet(say("Which thermometer goes first?"), note, first, *_keep_buttons(page, keep))
    return sheet


def missing_sheet(page: HowPage, then: Then) -> Sheet:
    """What fills a missing day; from a second source only where there is one."""
    offered = [one for one in FILLS if page.sources or one in (Fill.NO, Fill.INTERPOLATE)]
    fill = Choice([(one, spoken(FILLS[one])) for one in offered], lambda _: None, page.now.sources.fill)
    second = Choice([(one, one) for one in page.sources], lambda _: None, page.now.sources.second)

    def keep(everywhere: bool) -> None:
        if fill.chosen in (Fill.SECOND_SOURCE, Fill.BOTH) and second.chosen is None:
            second.chosen = page.sources[0]
        sheet.close()
        then(everywhere, {"fill": fill.chosen, "second_source": second.chosen})

    which: list[Widget] = [Words(say("The second source")), second] if page.sources else []
    note = small(say("What was filled stays marked as not measured."))
    sheet = Sheet(say("What fills a missing day?"), note, fill, *which, *_keep_buttons(page, keep))
    return sheet


def rule_sheet(page: HowPage, then: Then, lay: Callable[[Sheet], Any]) -> Sheet:
    """By which rule the flight begins, each with its source; a day by hand is asked for on a sheet of its own."""
    rule = Choice(_rules(), lambda _: None, page.now.rule)
    moths = NumberField(say("How many moths are enough, where they are counted?"), f"{page.now.moths:g}")

    def keep(everywhere: bool) -> None:
        chosen = rule.chosen
        if chosen is Rule.BY_HAND:
            sheet.close()
            lay(_by_hand(page, then))
            return
        try:
            enough = moths.whole() if chosen in COUNTS else None
        except BadInputError:
            return  # the field says it
        if chosen is not None:
            sheet.close()
            then(everywhere, {"rule": chosen, **({"moths": enough} if enough is not None else {})})

    note = small(say("A flight that began is no damage, and none that began is no safety."))
    sheet = Sheet(say("When does the flight begin?"), note, rule, moths, *_keep_buttons(page, keep))
    return sheet


def _by_hand(page: HowPage, then: Then) -> Sheet:
    """A day that somebody says belongs to one garden."""
    title = say("On which day did the flight begin in {garden}?", garden=page.name)
    return day_sheet(
        title,
        page.day,
        page.day,
        lambda day: then(False, {"rule": Rule.BY_HAND, "biofix": day.isoformat()}),
    )


def _rules() -> list[tuple[Rule, str]]:
    return [
        (one.rule, say("{asks}. Source: {source}.", asks=capital(one.asks), source=one.source))
        if one.source
        else (one.rule, capital(one.asks))
        for one in rule_choices()
    ]


def _keep_buttons(page: HowPage, keep: Callable[[bool], Any]) -> list[Widget]:
    buttons: list[Widget] = [Primary(say("Keep for this garden"), lambda: keep(False))]
    if page.several:
        buttons.append(Action(say("Keep for every garden"), lambda: keep(True), bold=False))
    return buttons
