"""The words of a report over several seasons. No layout.

"An opinion on a tree only over several years": until then it says how many seasons are known.
"""

from collections.abc import Mapping

from shared_models.language import say, say_many, spoken, word
from shared_models.report_words import isolated, method_name, percent
from shared_models.season.named_parts import MethodNamed
from shared_models.verdict_words import grade_name, points
from shared_models.verdict_words import question as question  # the same for a year and for several
from shared_models.vocabulary import UNTREATED
from shared_models.years.parts import (
    LEAST_OTHERS,
    LEAST_SEASONS,
    Opinion,
    PooledLine,
    TrapsTogether,
    TrapYears,
    TreeYear,
    TreeYears,
    YearOfContrast,
)

_OPINIONS = {
    Opinion.MORE: word(
        "every year at least a quarter more sound fruit for an hour than the middle tree of its garden"
    ),
    Opinion.LESS: word(
        "every year at least a quarter less sound fruit for an hour than the middle tree of its garden"
    ),
    Opinion.MIXED: word("near the middle tree of its garden, or now more and now less"),
}


def year_sentence(year: YearOfContrast) -> str:
    """One season of a comparison."""
    told = say(
        "{season}: {a} % against {b} %, difference {difference} points",
        season=year.season,
        a=percent(year.rate_a or 0.0),
        b=percent(year.rate_b or 0.0),
        difference=points(year.difference),
    )
    if year.low is None or year.high is None:
        return told + say(" (range not known), {grade}.", grade=grade_name(year.grade))
    return told + say(
        " ({low} to {high}), {a} and {b} trees, {grade}.",
        low=points(year.low),
        high=points(year.high),
        a=year.trees_a,
        b=year.trees_b,
        grade=grade_name(year.grade),
    )


def pooled_sentence(pooled: PooledLine) -> str:
    """All seasons together."""
    if pooled.low is None or pooled.high is None:
        return say("Together: how sure this is cannot be seen.")
    return say(
        "Together: difference {difference} points of {fruit} (95 % range {low} to {high}), {a} and {b} trees, each counted "
        "once; {grade}.",
        difference=points(pooled.difference),
        fruit=say("all fruit") if pooled.headline == "all_fruit" else say("picked fruit"),
        low=points(pooled.low),
        high=points(pooled.high),
        a=pooled.trees_a,
        b=pooled.trees_b,
        grade=grade_name(pooled.grade),
    )


def figures_sentence(pooled: PooledLine) -> str:
    """The figures that a statistician asks for."""
    told = {"p": pooled.p, "Holm": pooled.holm_p, "permutation": pooled.lock_p}
    shown = [f"{name} {value:.4f}" for name, value in told.items() if value is not None]
    return say(
        "p values: {figures}. Strata: {strata}.", figures=", ".join(shown) or "–", strata=pooled.strata
    )


def tree_name(line: TreeYears) -> str:
    """A tree as people know it."""
    return f"{line.garden} · {line.label}" + (f" ({line.cultivar})" if line.cultivar else "")


def what_an_opinion_takes() -> str:
    """Stands once above the trees, so that each of them needs to say only how far it is."""
    return say(
        "An opinion on a tree takes {seasons} seasons with crop, damage and hours known, "
        "and {trees} such trees in its garden.",
        seasons=LEAST_SEASONS,
        trees=LEAST_OTHERS,
    )


def opinion_sentence(line: TreeYears) -> str:
    """What can be said of a tree, or how far it is from that."""
    told = _OPINIONS.get(line.opinion)
    if told is not None:
        return say("{opinion} ({count} seasons)", opinion=spoken(told), count=line.seasons_judged)
    if line.seasons_judged < LEAST_SEASONS:
        return say(
            "no opinion yet: {count} of {needed} seasons known",
            count=line.seasons_judged,
            needed=LEAST_SEASONS,
        )
    return say_many(
        "no opinion yet: {count} season known, too few such trees beside it",
        "no opinion yet: {count} seasons known, too few such trees beside it",
        line.seasons_judged,
    )


def mixes_words(year: TreeYear, methods: Mapping[str, MethodNamed]) -> str:
    """What a tree had in a season, in words."""
    return "; ".join(_mix_words(key, methods) for key in year.mixes) or say("not recorded")


def _mix_words(key: str, methods: Mapping[str, MethodNamed]) -> str:
    had, _, beside = key.partition("|")
    parts = [
        say("partly {method}", method=method_name(one[1:], methods))
        if one.startswith("~")
        else say("left untreated")
        if one == UNTREATED
        else method_name(one, methods)
        for one in had.split("+")
        if one
    ]
    joined = " + ".join(parts) or say("nothing else")
    return say("bare beside bagged fruit: {mix}", mix=joined) if beside else joined


def tree_year_sentence(year: TreeYear) -> str:
    """What one tree gave and took in one season; what was not noted is not known."""
    rate = say("damage not known")
    if year.rate is not None and year.low is not None and year.high is not None:
        rate = say(
            "{rate} % damaged (likely {low}–{high} %)",
            rate=percent(year.rate),
            low=percent(year.low),
            high=percent(year.high),
        )
    return say(
        "{season}: {crop}, {rate}, {hours}",
        season=year.season,
        crop=crop_words(year),
        rate=rate,
        hours=work_words(year),
    )


def crop_words(year: TreeYear) -> str:
    """What it bore, as far as it is known."""
    if year.crop is None:
        return say("crop not known")
    fruit = say_many("{count} fruit", "{count} fruit", round(year.crop))
    return (
        fruit
        if year.weight_kg is None
        else say("{fruit}, {weight} kg", fruit=fruit, weight=f"{year.weight_kg:g}")
    )


def work_words(year: TreeYear) -> str:
    """What it took; hours that nobody noted are not known."""
    if year.minutes is None:
        return say("hours not noted")
    hours = say("{hours} hours", hours=f"{year.minutes / 60:.1f}")
    return say("at least {hours}", hours=hours) if year.at_least else hours


def trap_sentence(line: TrapYears) -> str:
    """One trap in two seasons."""
    told = say(
        "{garden} · {label}: {first_season} {first} in {first_days} days, {second_season} {second} in {second_days} days",
        garden=isolated(line.garden),
        label=isolated(line.label),
        first_season=line.first_season,
        first=say_many("{count} moth", "{count} moths", line.first_catch),
        first_days=line.first_days,
        second_season=line.second_season,
        second=say_many("{count} moth", "{count} moths", line.second_catch),
        second_days=line.second_days,
    )
    if line.ratio is None:
        return told + say("; no ratio, as one of the two seasons has none.")
    return told + say(
        "; {ratio} times as many a day (95 % range {low} to {high}, this trap only).",
        ratio=f"{line.ratio:.2f}",
        low=f"{line.low:.2f}",
        high=say("no upper limit") if line.high is None else f"{line.high:.2f}",
    )


def traps_sentence(line: TrapsTogether) -> str:
    """All traps of two seasons together."""
    return say(
        "{traps} traps together: {second} had {ratio} times the catch a day of {first} (95 % range {low} to {high}).",
        traps=line.traps,
        first=line.first_season,
        second=line.second_season,
        ratio=f"{line.ratio:.2f}",
        low=f"{line.low:.2f}" if line.low is not None else "–",
        high=f"{line.high:.2f}" if line.high is not None else "–",
    )
