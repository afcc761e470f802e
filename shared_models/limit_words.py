"""What a season report looks at, and what it cannot do: said in every one of them. No layout.

The figures of the limits are those of simulated seasons, see tests/simulations/TABLE.md; a test compares them.
"""

from collections.abc import Iterator

from shared_models.language import say
from shared_models.season.choice import Counted, Damage
from shared_models.season.report_parts import ChoiceMade

# Of 100 seasons without any difference: what the table of simulated seasons says of cells that miss an aim.
UNLIKE_SPREAD_FIRM, NOT_NOTED_FIRM = 3.4, 22.9
MUCH_DAMAGE_FIRM, ON_SOME_DAYS_FIRM = 3.3, 4.0


def damage_sentence(choice: ChoiceMade) -> str:
    """What counts as damage here."""
    if choice.damage is Damage.DEEP:
        return say("Damage here is the share of fruit with a codling moth deep entry. The tree is the unit.")
    return say("Damage is the share of fruit with a codling moth sting or deep entry. The tree is the unit.")


def choice_sentences(choice: ChoiceMade) -> Iterator[str]:
    """What of the season is looked at, where that is not everything."""
    if choice.garden:
        yield say("One garden: {garden}.", garden=choice.garden)
    if choice.cultivar:
        yield say("One cultivar: {cultivar}.", cultivar=choice.cultivar)
    if choice.damage is Damage.DEEP:
        yield say("Deep entry only: stings are not counted as damage here.")
    if choice.fruit is Counted.PICKED:
        yield say("Picked fruit only, also where drops and removed fruit are known.")


def limit_sentences() -> list[str]:
    """What a reader must not expect of any verdict here."""
    return [
        say(
            "It compares what was recorded. Sun, soil, neighbours and whoever chose the trees play a part "
            "unless methods were dealt out by chance."
        ),
        say(
            "What nobody noted cannot be seen: where damaged fruit was taken off on one side and not noted, "
            "{share} of 100 simulated seasons without any difference came out firm.",
            share=f"{NOT_NOTED_FIRM:g}",
        ),
        say(
            "With 4 against 12 trees, the few more unlike among themselves, {share} of 100 simulated seasons without any "
            "difference came out firm (aim 2.5).",
            share=f"{UNLIKE_SPREAD_FIRM:g}",
        ),
        say(
            "With 10 trees a side and 30 of 100 damaged on both, {share} of 100 simulated seasons without any difference "
            "came out firm (aim 2.5), {on_some_days} where trees were scored on some days only.",
            share=f"{MUCH_DAMAGE_FIRM:g}",
            on_some_days=f"{ON_SOME_DAYS_FIRM:g}",
        ),
        say(
            "A tree scored on several days counts as the fruit it bore, at most 60; scored on one, as the fruit scored. So "
            "a second day may move a rate up, even if all its fruit are clean; more clean fruit on the same days never do."
        ),
        say(
            "With few trees it seldom finds what is there: with 5 a side, 8 against 25 of 100 damaged was firm in 4 of 10 "
            "simulated seasons, with 12 in 8 of 10."
        ),
        say(
            "The likeness of fruit on one tree is partly assumed (0.10); no measured one for codling moth was found."
        ),
        say(
            "Ranges are 95 % each. Only what was named before scoring is held together for its number (Holm)."
        ),
        say("Catch in traps times the flight; nothing here takes it for damage."),
    ]
