"""The words of a season report: names of mixes, parts and states, warning sentences. Knows no layout."""

import unicodedata
from collections.abc import Mapping

from shared_models.language import say, say_many, spoken, word
from shared_models.method_words import METHOD_NAMES as METHOD_NAMES
from shared_models.season.report_parts import MethodNamed, MixNamed, RateRange, SeasonReport, TreeLine, Warned
from shared_models.vocabulary import METHODS
from shared_models.warning_words import WARNINGS

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
    return WARNINGS[warned.code](about, warned.count)
