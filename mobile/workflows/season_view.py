"""A season's report as the phone shows it: sentences and drawings, in the order of the season page. Reads no record.

Offers `season_view`; single trees are in season_trees, tables in season_tables. Words are those of the report.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from shared_models import limit_words, planning_words, report_lists, scoring_words, verdict_words
from shared_models.calculations.verdict import Grade
from shared_models.chart_shapes import (
    Drawing,
    difference_drawing,
    legend_drawing,
    mix_drawing,
    weeks_drawing,
    with_percent_scale,
)
from shared_models.language import say, say_many
from shared_models.report_charts import MixChart, Sign, contrast_chart, weeks_charts
from shared_models.report_lists import TreesTold
from shared_models.report_words import (
    isolated,
    methods_of,
    mix_name,
    named,
    rate_sentence,
    warning_sentence,
)
from shared_models.season.report_parts import SeasonReport
from shared_models.season.verdict_parts import ContrastLine


@dataclass(frozen=True, slots=True)
class MixLine:
    """One line of the season table; `mix` names it for the list of its trees. `more` is what more would tell."""

    mix: str
    name: str
    sentence: str
    drawing: Drawing
    warnings: tuple[str, ...]
    more: str


@dataclass(frozen=True, slots=True)
class MixPart:
    """Lines that may be compared with each other, and what they are of."""

    heading: str
    lines: tuple[MixLine, ...]


@dataclass(frozen=True, slots=True)
class ContrastView:
    """One comparison: what was asked, how sure it is, what can be said and what must be read with it."""

    key: str
    question: str
    grade: Grade
    grade_name: str
    sentences: tuple[str, ...]
    drawing: Drawing | None
    warnings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ListedTrees:
    """A heading, and under it trees of which the same is told, in sentences."""

    heading: str
    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class WeeksView:
    """The catches of one garden week by week."""

    garden: str
    drawing: Drawing


@dataclass(frozen=True, slots=True)
class SeasonView:
    """Everything that the Season place shows. `empty` where nothing was recorded for the season."""

    season: str
    cultivars: tuple[str, ...]
    invented: bool
    empty: bool
    chosen: tuple[str, ...]
    caption: str
    parts: tuple[MixPart, ...]
    legend: tuple[tuple[Drawing, str], ...]
    warnings: tuple[str, ...]
    contrasts: tuple[ContrastView, ...]
    costs: tuple[str, ...]
    trees: str
    listed: tuple[ListedTrees, ...]
    scoring: tuple[str, ...]
    weeks: tuple[WeeksView, ...]
    traps: tuple[str, ...]
    doubts: tuple[str, ...]
    next_season: tuple[str, ...]
    limits: tuple[str, ...]


def season_view(report: SeasonReport) -> SeasonView:
    """The report in sentences and drawings."""
    gardens = report_lists.gardens_of(report)
    methods = methods_of(report)
    return SeasonView(
        season=report.season,
        cultivars=tuple(sorted({line.cultivar for line in report.trees if line.cultivar})),
        invented=bool(gardens) and report_lists.is_invented("", gardens),
        empty=not (report.mixes or report.trees or report.traps or report.unplaced),
        chosen=tuple(limit_words.choice_sentences(report.choice)),
        caption=limit_words.damage_sentence(report.choice),
        parts=tuple(
            MixPart(heading, tuple(_mix(report, chart) for chart in charts))
            for heading, charts in report_lists.comparisons(report)
        ),
        legend=tuple(_legend(report)),
        warnings=tuple(map(warning_sentence, report.warnings)),
        contrasts=tuple(_contrast(report, line) for line in report.contrasts),
        costs=tuple(verdict_words.cost_sentence(cost, methods) for cost in report.costs),
        trees=_trees_sentence(report),
        listed=tuple(_listed(report)),
        weeks=tuple(WeeksView(chart.garden, weeks_drawing(chart)) for chart in weeks_charts(report)),
        traps=tuple(_traps(report)),
        scoring=tuple(_scoring(report)),
        doubts=tuple(_doubts(report)),
        next_season=tuple(_next_season(report)),
        limits=tuple(limit_words.limit_sentences()),
    )


# ---------------------------------------------------------------- parts
def _mix(report: SeasonReport, chart: MixChart) -> MixLine:
    line = chart.line
    narrows = line.narrowing if line.picked.trees > 1 else None
    return MixLine(
        line.mix.key,
        mix_name(line.mix, methods_of(report)),
        rate_sentence(chart.shown),
        with_percent_scale(mix_drawing(chart)),
        tuple(map(warning_sentence, line.warnings)),
        verdict_words.narrowing_sentence(narrows) if narrows else "",
    )


def _legend(report: SeasonReport) -> Iterator[tuple[Drawing, str]]:
    if not report.mixes:
        return
    yield legend_drawing(Sign.TREATED), say("had what is named")
    if any(line.mix.beside_bags for line in report.mixes):
        yield legend_drawing(Sign.BESIDE_BAGS), say("bare fruit on trees with bags")
    if any(line.mix.untreated for line in report.mixes):
        yield legend_drawing(Sign.UNTREATED), say("declared left untreated")


def _contrast(report: SeasonReport, line: ContrastLine) -> ContrastView:
    methods = methods_of(report)
    told = (
        verdict_words.verdict_sentence(line, report.season, methods),
        verdict_words.efficacy_sentence(line),
        verdict_words.saved_sentence(line),
        verdict_words.settle_sentence(line),
        *map(verdict_words.otherwise_sentence, line.otherwise),
    )
    return ContrastView(
        key=line.key,
        question=verdict_words.question(line, methods),
        grade=line.grade,
        grade_name=verdict_words.grade_name(line.grade),
        sentences=tuple(sentence for sentence in told if sentence),
        drawing=difference_drawing(contrast_chart(line), verdict_words.numbers(line)),
        warnings=tuple(warning_sentence(one) for one in line.warnings if one.code not in line.caps),
    )


def _trees_sentence(report: SeasonReport) -> str:
    states: dict[str, int] = {}
    for line in report.trees:
        states[line.status] = states.get(line.status, 0) + 1
    told = ", ".join(f"{count} {named(state)}" for state, count in sorted(states.items()))
    trees = say_many("{count} tree", "{count} trees", len(report.trees))
    bags = round(report.bags_put_on)
    put_on = [say_many("{count} bag put on.", "{count} bags put on.", bags)] if bags else []
    return " ".join([f"{trees}: {told}.", *put_on])


def _listed(report: SeasonReport) -> Iterator[ListedTrees]:
    found = (
        (say("Not recorded: in no comparison, never untreated"), report_lists.not_recorded(report)),
        (say("Left out of comparison"), report_lists.left_out(report)),
        (say("Declared left untreated"), report_lists.untreated(report)),
    )
    for heading, groups in found:
        if groups:
            yield ListedTrees(heading, tuple(map(_group, groups)))


def _group(told: TreesTold) -> str:
    after = [one for one in (told.why, told.when) if one]
    return " · ".join([f"{told.garden}: {', '.join(told.labels)}", *after])


def _traps(report: SeasonReport) -> Iterator[str]:
    for trap in report.traps:
        moths = say_many("{count} moth", "{count} moths", trap.caught_in_all)
        rate = say("no rate") if trap.per_week is None else say("{rate} a week", rate=f"{trap.per_week:.1f}")
        days = say_many("{count} day", "{count} days", trap.trap_days)
        yield f"{trap.garden} · {trap.label}: {moths}, {days}, {rate}"


def _doubts(report: SeasonReport) -> Iterator[str]:
    for garden, labels in report_lists.clashes(report.label_clashes):
        yield say(
            "{garden}: a label on more than one tree, with how many: {labels}. "
            "Where they are one tree, say on a phone that they are.",
            garden=isolated(garden),
            labels=", ".join(labels),
        )
    merged = report_lists.merged(report)
    if merged:
        yield say("Said to be one tree although recorded as several: {labels}.", labels=", ".join(merged))
    for line in report.unplaced:
        yield say(
            "A record has no season yet ({kind}); give its day or season on a phone.",
            kind=line.kind.replace("_", " "),
        )


def _scoring(report: SeasonReport) -> Iterator[str]:
    yield from map(scoring_words.agreement_sentence, report.scoring.agreement)
    if report.scoring.cut:
        yield scoring_words.cut_sentence(report.scoring.cut)


def _next_season(report: SeasonReport) -> Iterator[str]:
    yield planning_words.planning_sentence(report.next_season)
    yield from map(planning_words.line_sentence, report.next_season.lines)
