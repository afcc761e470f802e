"""The words of verdicts: what a comparison says, how sure it is, what would settle it, what work cost. No layout.

"Never 'no difference', never 'safe': what is not seen is said as what is still possible."
"""

from collections.abc import Iterator, Mapping

from shared_models.calculations.verdict import Grade, Missing
from shared_models.language import say, say_many
from shared_models.report_words import method_name, percent
from shared_models.season.report_parts import MethodNamed
from shared_models.season.verdict_parts import ContrastLine, CostLine, NarrowingLine, OtherwiseLine, OwnNamed
from shared_models.warning_words import WARNINGS
from shared_models.years.parts import YearsContrast

MORE_THAN_A_SEASON = 50  # trees


def own_name(own: OwnNamed, methods: Mapping[str, MethodNamed]) -> str:
    """What trees themselves had."""
    parts = [method_name(key, methods) for key in own.methods]
    parts += [say("partly {method}", method=method_name(key, methods)) for key in own.partly]
    return " + ".join(parts) or say("nothing (left untreated)")


def question(line: ContrastLine | YearsContrast, methods: Mapping[str, MethodNamed]) -> str:
    """What was compared, as a heading."""
    method = method_name(line.method, methods) if line.method else ""
    if line.kind == "paired":
        return say("Bagged beside bare fruit on the same tree")
    if line.kind == "gardens":
        return say("Gardens with {method} and gardens without", method=method)
    if line.a is not None and line.b is not None:
        return say("{a} against {b}", a=own_name(line.a, methods), b=own_name(line.b, methods))
    return say("With {method} or without, otherwise alike", method=method)


def verdict_sentence(line: ContrastLine, season: str, methods: Mapping[str, MethodNamed]) -> str:
    """The verdict: always with both rates, the range, and how many trees it rests on."""
    if line.difference is None:
        return say("Can't tell: {reason}", reason=_not_separated(line))
    if line.low is None or line.high is None:
        return say("Can't tell: all trees differ by exactly the same, so how sure this is cannot be seen.")
    return _SENTENCES[line.grade](line, season, *_sides(line, methods))


def _not_separated(line: ContrastLine) -> str:
    """Why nothing can be compared: what else differs, or that nothing stands on the other side."""
    told = [one for one in line.warnings if one.code.startswith("CONFOUNDED") or one.code == "NOTHING_ALIKE"]
    return " ".join(WARNINGS[one.code](", ".join(one.about), one.count) for one in told)


def _firm(line: ContrastLine, season: str, lower: str, higher: str) -> str:
    return say(
        "In {season}, {lower} had less codling moth damage than {higher}: {numbers} "
        "Observed this season: methods were not dealt out by chance, so other differences may play a part.",
        season=season,
        lower=lower,
        higher=higher,
        numbers=numbers(line),
    )


def _leaning(line: ContrastLine, season: str, lower: str, higher: str) -> str:
    return say(
        "Points to less damage with {lower} than with {higher}, but is not settled: {reason} {numbers} "
        "Treat it as a hint.",
        lower=lower,
        higher=higher,
        reason=" ".join(reasons(line)),
        numbers=numbers(line),
    )


def _same(line: ContrastLine, season: str, lower: str, higher: str) -> str:
    return say(
        "About the same, as far as this shows: {lower} and {higher} lie within 5 points of each other. {numbers}",
        lower=lower,
        higher=higher,
        numbers=numbers(line),
    )


def _cant_tell(line: ContrastLine, season: str, lower: str, higher: str) -> str:
    return say(
        "Can't tell {lower} and {higher} apart yet. {reason} {numbers}",
        lower=lower,
        higher=higher,
        reason=" ".join(reasons(line)),
        numbers=numbers(line),
    )


_SENTENCES = {
    Grade.FIRM: _firm,
    Grade.LEANING: _leaning,
    Grade.SAME: _same,
    Grade.CANT_TELL: _cant_tell,
}


def numbers(line: ContrastLine) -> str:
    """Both rates, the difference with its range, and what it rests on."""
    low, high, difference = line.low or 0.0, line.high or 0.0, line.difference or 0.0
    return say(
        "{a} % against {b} % of {fruit} damaged, difference {difference} points (95 % range {low} to {high}); {on}.",
        a=percent(line.side_a.rate or 0.0),
        b=percent(line.side_b.rate or 0.0),
        fruit=say("all fruit") if line.headline == "all_fruit" else say("picked fruit"),
        difference=points(difference),
        low=points(low),
        high=points(high),
        on=_resting_on(line),
    )


def points(difference: float) -> str:
    """A difference in percentage points, with its sign.

    >>> points(-0.1234), points(0.05), points(0.0)
    ('−12.3', '+5.0', '0.0')
    """
    text = f"{100 * difference:+.1f}"
    return "0.0" if text in ("+0.0", "-0.0") else text.replace("-", "−")


def reasons(line: ContrastLine) -> list[str]:
    """Why it is no more than it is: the caps, else the conditions that fail."""
    capped = [WARNINGS[code](_about(line, code), _count(line, code)) for code in line.caps]
    failing = [_MISSING[one]() for one in line.missing if one in _MISSING]
    return capped + failing


def settle_sentence(line: ContrastLine) -> str | None:
    """What would settle it."""
    settle = line.settle
    if settle is None:
        return None
    if settle.more_trees > MORE_THAN_A_SEASON:
        return say(
            "A difference of {points} points would take more trees than a season can give here.",
            points=percent(settle.points),
        )
    if line.kind == "paired":
        return say_many(
            "About {count} more tree with both kinds of fruit would settle a difference of {points} points.",
            "About {count} more trees with both kinds of fruit would settle a difference of {points} points.",
            settle.more_trees,
            points=percent(settle.points),
        )
    return say_many(
        "About {count} more tree on each side with {fruit} fruit scored would settle a difference of {points} points.",
        "About {count} more trees on each side with {fruit} fruit scored each would settle a difference of {points} points.",
        settle.more_trees,
        fruit=settle.fruit_per_tree,
        points=percent(settle.points),
    )


def efficacy_sentence(line: ContrastLine) -> str | None:
    """Damage prevented, against trees declared untreated."""
    found = line.efficacy
    if found is None:
        return None
    if found.low is None:
        return say(
            "Of the damage on untreated trees about {percent} % was prevented; the data leave open how little it may be.",
            percent=f"{found.percent:.0f}",
        )
    return say(
        "Of the damage on untreated trees about {percent} % was prevented (95 % range {low} to {high} %).",
        percent=f"{found.percent:.0f}",
        low=f"{found.low:.0f}".replace("-", "−"),
        high=f"{found.high or 0:.0f}".replace("-", "−"),
    )


def saved_sentence(line: ContrastLine) -> str | None:
    """Minutes for each fruit saved, never without how far that may be off."""
    found = line.fruit_saved
    if found is None:
        return None
    if found.cost is None:
        return say("The work cannot be set against fruit saved: none was saved as far as this shows.")
    least = say("at least ") if found.at_least else ""
    if found.high is None:
        return say(
            "About {least}{cost} minutes of work for each fruit saved, from {low}, with no upper limit.",
            least=least,
            cost=f"{found.cost:.1f}",
            low=f"{found.low or 0:.1f}",
        )
    return say(
        "About {least}{cost} minutes of work for each fruit saved (range {low} to {high}).",
        least=least,
        cost=f"{found.cost:.1f}",
        low=f"{found.low or 0:.1f}",
        high=f"{found.high:.1f}",
    )


def otherwise_sentence(other: OtherwiseLine) -> str:
    """The same counted another way: with the trees that were left out late, or without fruit that lost its bag."""
    how = _OTHERWISE[other.how]()
    if other.difference is None or other.low is None or other.high is None:
        return say("{how}: can't tell.", how=how)
    return say(
        "{how}: difference {difference} points ({low} to {high}), {grade}.",
        how=how,
        difference=points(other.difference),
        low=points(other.low),
        high=points(other.high),
        grade=grade_name(other.grade),
    )


_OTHERWISE = {
    "with_left_out": lambda: say("With the trees that were left out late"),
    "bag_stayed_on": lambda: say("Only fruit whose bag stayed on (above: all that was ever bagged)"),
}


def grade_name(grade: Grade) -> str:
    """The grade in a word or two."""
    return {
        Grade.FIRM: say("firm"),
        Grade.LEANING: say("leaning"),
        Grade.SAME: say("about the same"),
        Grade.CANT_TELL: say("can't tell"),
    }[grade]


def statistics_sentence(line: ContrastLine) -> str:
    """The figures that a statistician asks for."""
    told = {"p": line.p, "Holm": line.holm_p, "permutation": line.lock_p, "Welch": line.welch_p}
    shown = [f"{name} {value:.4f}" for name, value in told.items() if value is not None]
    return say(
        "p values: {figures}. Strata: {strata}.", figures=", ".join(shown) or "–", strata=len(line.strata)
    )


def cost_sentence(cost: CostLine, methods: Mapping[str, MethodNamed]) -> str:
    """Hours and money of a method; hours nobody noted are not known, never none."""
    parts = [_hours(cost)]
    if cost.bags:
        parts.append(say_many("{count} bag put on", "{count} bags put on", round(cost.bags)))
    if cost.money is not None:
        parts.append(say("money noted {money}", money=f"{cost.money:g}"))
    parts += _gaps(cost)
    return f"{method_name(cost.method, methods)}: {', '.join(parts)}"


def narrowing_sentence(found: NarrowingLine) -> str:
    """What more would tell."""
    return say(
        "The range spans {now} points; {fruit} more fruit on each tree would make it about {with_fruit}, "
        "{trees} more trees about {with_trees}.",
        now=percent(found.now),
        fruit=found.more_fruit,
        with_fruit=percent(found.with_more_fruit),
        trees=found.more_trees,
        with_trees=percent(found.with_more_trees),
    )


def _hours(cost: CostLine) -> str:
    trees = say_many("{count} tree", "{count} trees", cost.trees)
    if cost.minutes is None:
        return say("hours not noted, {trees}", trees=trees)
    return say("{hours} person-hours on {trees}", hours=f"{cost.minutes / 60:.1f}", trees=trees)


def _gaps(cost: CostLine) -> Iterator[str]:
    if cost.untimed and cost.minutes is not None:
        yield say_many(
            "at least: {count} piece of work has no time noted",
            "at least: {count} pieces of work have no time noted",
            cost.untimed,
        )
    if cost.open_ends:
        yield say_many(
            "{count} session was never ended and counts a quarter of an hour at most; was it longer?",
            "{count} sessions were never ended and count a quarter of an hour at most; were they longer?",
            cost.open_ends,
        )


def _sides(line: ContrastLine, methods: Mapping[str, MethodNamed]) -> tuple[str, str]:
    """Names of the sides, the one with less damage first."""
    a, b = _side_names(line, methods)
    return (a, b) if (line.difference or 0.0) <= 0 else (b, a)


def _side_names(line: ContrastLine, methods: Mapping[str, MethodNamed]) -> tuple[str, str]:
    if line.kind == "paired":
        return say("bagged fruit"), say("bare fruit on the same trees")
    method = method_name(line.method, methods) if line.method else ""
    if line.kind == "gardens":
        return say("gardens with {method}", method=method), say("gardens without {method}", method=method)
    if line.a is not None and line.b is not None:
        return (
            say("trees with {mix}", mix=own_name(line.a, methods)),
            say("trees with {mix}", mix=own_name(line.b, methods)),
        )
    return say("trees with {method}", method=method), say("trees without {method}", method=method)


def _resting_on(line: ContrastLine) -> str:
    a, b = line.side_a, line.side_b
    if line.kind == "paired":
        on = say_many("{count} tree", "{count} trees", a.trees)
    elif line.kind == "gardens":
        on = say("{a} and {b} gardens", a=a.trees, b=b.trees)
    else:
        on = say("{a} and {b} trees", a=a.trees, b=b.trees)
    return say("{on}, {a} and {b} fruit scored", on=on, a=f"{a.scored:.0f}", b=f"{b.scored:.0f}")


_MISSING = {
    Missing.TREES: lambda: say("Too few trees."),
    Missing.P: lambda: say("Chance alone could make such a difference."),
    Missing.HOLM: lambda: say("With so many comparisons one such difference may come by chance."),
    Missing.LOCK: lambda: say("Dealing the trees out anew gives such differences too often."),
    Missing.RANGE: lambda: say("The range reaches from less damage to more."),
    Missing.WELCH: lambda: say("With such unequal numbers the rates of single trees do not bear it."),
    Missing.NOT_NAMED: lambda: say("It was not named before scoring."),
}


def _about(line: ContrastLine, code: str) -> str:
    return ", ".join(name for one in line.warnings if one.code == code for name in one.about)


def _count(line: ContrastLine, code: str) -> int:
    return next((one.count for one in line.warnings if one.code == code), 0)
