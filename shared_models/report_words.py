"""The words of a season report: names of mixes, parts and states, warning sentences. Knows no layout."""

import unicodedata
from collections.abc import Mapping

from shared_models.language import say, say_many, spoken, word
from shared_models.season.report_parts import MethodNamed, MixNamed, RateRange, SeasonReport, TreeLine, Warned
from shared_models.vocabulary import METHODS

METHOD_NAMES = {
    "bagging": word("bagging"),
    "drops_round": word("drops rounds"),
    "granulovirus": word("granulovirus (CpGV)"),
    "horticultural_oil": word("horticultural oil"),
    "kaolin_film": word("kaolin film"),
    "other_insecticide": word("other insecticide"),
    "netting": word("netting"),
    "trunk_band": word("trunk band"),
    "mating_disruption": word("mating disruption"),
    "mass_trapping": word("mass trapping"),
    "thinning": word("thinning"),
    "pruning": word("pruning"),
    "feeding": word("feeding"),
    "watering": word("watering"),
}
PLACES_AND_STATES = {
    "whole": word("whole tree"),
    "none": word("no bags"),
    "bagged": word("bagged"),
    "bare": word("bare"),
    "picked": word("picked"),
    "drop": word("drops"),
    "removed": word("removed by hand"),
    "compared": word("compared"),
    "not_scored": word("nothing scored"),
    "not_recorded": word("not recorded"),
    "left_out": word("left out"),
    "counted": word("counted"),
    "no_count": word("no count"),
    "not_visited": word("not visited"),
    "lost": word("lost"),
    "flooded": word("flooded"),
    "unreadable": word("can't read"),
}
_DIRECTION_MARKS = {
    "LRE",
    "LRO",
    "RLE",
    "RLO",
    "PDF",
    "LRI",
    "RLI",
    "FSI",
    "PDI",
}  # Unicode Annex 9, section 2
MONTHS = (
    word("Jan"),
    word("Feb"),
    word("Mar"),
    word("Apr"),
    word("May"),
    word("Jun"),
    word("Jul"),
    word("Aug"),
    word("Sep"),
    word("Oct"),
    word("Nov"),
    word("Dec"),
)


def month_name(month: int) -> str:
    """A month by its number, January being 1."""
    return spoken(MONTHS[month - 1])


def named(key: str) -> str:
    """The word for a place, cover, source or state; a key without a word stands for itself."""
    return spoken(PLACES_AND_STATES.get(key, key))


def method_name(key: str, methods: Mapping[str, MethodNamed]) -> str:
    """A method's name: the group's own, else the word of the trade."""
    own = methods.get(key)
    if own is not None and (own.own or key not in METHODS):
        return own.name
    return spoken(METHOD_NAMES.get(key, key))


def mix_name(mix: MixNamed, methods: Mapping[str, MethodNamed]) -> str:
    """A method mix in words."""
    parts = [method_name(key, methods) for key in mix.methods]
    parts += [say("partly {method}", method=method_name(key, methods)) for key in mix.partly]
    if mix.untreated:
        parts.insert(0, say("nothing on the tree itself") if parts else say("left untreated"))
    joined = " + ".join(parts) or say("nothing else")
    return say("bare beside bagged fruit: {mix}", mix=joined) if mix.beside_bags else joined


def methods_of(report: SeasonReport) -> dict[str, MethodNamed]:
    """The methods of a report by key."""
    return {method.key: method for method in report.methods}


def percent(share: float) -> str:
    """A share as per cent with one decimal."""
    return f"{100 * share:.1f}"


def rate_sentence(rate: RateRange) -> str:
    """A rate with its range, trees and fruit: never one without the others."""
    return say(
        "{rate} % damaged, 95 % range {low}–{high} %, {trees}, {fruit}",
        rate=percent(rate.rate),
        low=percent(rate.low),
        high=percent(rate.high),
        trees=say_many("{count} tree", "{count} trees", rate.trees),
        fruit=say_many("{count} fruit scored", "{count} fruit scored", round(rate.scored)),
    )


def tree_name(line: TreeLine) -> str:
    """A tree as people know it: garden and label, cultivar where there is one."""
    return f"{line.garden} · {line.label}" + (f" ({line.cultivar})" if line.cultivar else "")


def isolated(name: str) -> str:
    """A name that turns nothing around it: without marks of direction, set apart where it runs from right to left."""
    plain = "".join(one for one in name if unicodedata.bidirectional(one) not in _DIRECTION_MARKS)
    runs_left = any(unicodedata.bidirectional(one) in ("R", "AL") for one in plain)
    return f"\N{FIRST STRONG ISOLATE}{plain}\N{POP DIRECTIONAL ISOLATE}" if runs_left else plain


def warning_sentence(warned: Warned) -> str:
    """A warning in words, with what to do about it."""
    about = ", ".join(map(isolated, warned.about))
    return _WARNINGS[warned.code](about, warned.count)


_WARNINGS = {
    "NOT_RANDOM": lambda about, count: say(
        "Observed this season: methods were not dealt out by chance, so other differences between trees play a part."
    ),
    "ONE_TREE": lambda about, count: say(
        "One tree says little about a method: the spread between trees is not seen."
    ),
    "FEW_TREES": lambda about, count: say(
        "Only {count} trees: a fourth would help more than more fruit.", count=count
    ),
    "FEW_FRUIT": lambda about, count: say(
        "Fewer than 20 fruit scored on: {about}. Score about 30 a tree.", about=about
    ),
    "TOTAL_UNKNOWN": lambda about, count: say(
        "How many were picked in all is not known for: {about}. Days are pooled as scored; note the total next time.",
        about=about,
    ),
    "DROPS_UNKNOWN": lambda about, count: say(
        "Picked fruit only: drops, removed fruit or totals are not all known for: {about}.", about=about
    ),
    "ZERO_DAMAGE": lambda about, count: say(
        "No damage found is not no damage; the range says what is possible."
    ),
    "PARTLY_TREATED": lambda about, count: say(
        "Done less often than counts as having had it: {about}.",
        about=", ".join(spoken(METHOD_NAMES.get(key, key)) for key in about.split(", ")),
    ),
    "NOT_RECORDED": lambda about, count: say(
        "Scored, but nothing is recorded of what was done to them: {about}. Not recorded is not untreated; add what was done.",
        about=about,
    ),
    "DECLARED_LATE": lambda about, count: say(
        "Declared left untreated after scoring began: {about}. Declare it before scoring next season.",
        about=about,
    ),
    "DECLARED_BUT_TREATED": lambda about, count: say(
        "Declared left untreated, yet a method is recorded: {about}. The method counts; correct what is wrong.",
        about=about,
    ),
    "LEFT_OUT_LATE": lambda about, count: say("Left out after scoring began: {about}.", about=about),
    "PART_NOT_SAID": lambda about, count: say(
        "Scored without saying bagged or bare on trees that have bags: {about}. They stand as partly bagged.",
        about=about,
    ),
    "ESTIMATED": lambda about, count: say("Some numbers are estimates: {about}.", about=about),
    "MUCH_NOT_SURE": lambda about, count: say(
        "More than 10 of 100 fruit were not sure: {about}. They stand outside the rate; look again at some.",
        about=about,
    ),
    "SEVERAL_PICKS_A_DAY": lambda about, count: say(
        "Two picks of one tree, part and day: {about}. Their totals are added; look whether one was entered twice.",
        about=about,
    ),
    "TOTAL_LESS_THAN_SCORED": lambda about, count: say(
        "Picked in all is less than was scored: {about}. What was scored counts; correct the total.",
        about=about,
    ),
    "LATE_ENTRIES": lambda about, count: say_many(
        "{count} record was entered more than 7 days after it happened.",
        "{count} records were entered more than 7 days after they happened.",
        count,
    ),
    "DOUBLE_COUNT": lambda about, count: say(
        "Counted twice after the same visit: trap {about}. One count is used, never the sum; look which one is right.",
        about=about,
    ),
    "CATCH_BELOW_NONE": lambda about, count: say(
        "Fewer moths on the liner than before: trap {about}. Taken as none caught; was it emptied?",
        about=about,
    ),
    "UNPLACED": lambda about, count: say_many(
        "{count} record has no season yet and stands in no table; give its day or season.",
        "{count} records have no season yet and stand in no table; give their day or season.",
        count,
    ),
    "ICC_PRIOR": lambda about, count: say(
        "Too few trees to see how alike fruit of one tree are; the ranges rest mostly on an assumed likeness (0.10)."
    ),
}
