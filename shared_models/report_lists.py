"""What of a season report stands together in a list, and in which order; the same for phone and page. Knows no layout.

Words of single things are in report_words; here they are gathered: lines of the season table in parts that may be
compared, trees of which the same is told, labels that clash.
"""

from collections.abc import Callable, Iterable
from typing import NamedTuple

from shared_models.language import say
from shared_models.report_charts import MixChart, mix_chart
from shared_models.report_words import isolated, methods_of
from shared_models.season.report_parts import LabelClashLine, SeasonReport
from shared_models.season.verdict_parts import StratumLine
from shared_models.verdict_words import own_name
from shared_models.when import parse_when

INVENTED = "(invented)"  # how groups and gardens of a demo are marked, in their names


class TreesTold(NamedTuple):
    """Trees of one garden of which the same is told: why, and when it was said; both may be empty."""

    garden: str
    labels: tuple[str, ...]
    why: str = ""
    when: str = ""


def gardens_of(report: SeasonReport) -> list[str]:
    """The names of the gardens that a report speaks of."""
    return sorted({line.garden for line in report.trees} | {trap.garden for trap in report.traps})


def is_invented(group: str, gardens: Iterable[str]) -> bool:
    """Whether a group is marked as invented, or all its gardens are."""
    return INVENTED in group or all(INVENTED in garden for garden in list(gardens) or [group])


def comparisons(report: SeasonReport) -> list[tuple[str, list[MixChart]]]:
    """The lines of the season table in two parts that must not be compared with each other."""
    charts = [mix_chart(line) for line in report.mixes]
    parts = [
        (say("Of all fruit: picked, drops, removed by hand"), [one for one in charts if one.of_all_fruit]),
        (say("Of picked fruit only"), [one for one in charts if not one.of_all_fruit]),
    ]
    return [(heading, lines) for heading, lines in parts if lines]


def not_recorded(report: SeasonReport) -> list[TreesTold]:
    """Trees of which nobody said what was done to them."""
    return _together(report, dict.fromkeys(report.not_recorded, ("", "")))


def left_out(report: SeasonReport) -> list[TreesTold]:
    """Trees left out of comparison, with the reason and the day of that decision."""
    return _together(report, {line.tree: (line.reason, line.decided) for line in report.left_out})


def untreated(report: SeasonReport) -> list[TreesTold]:
    """Trees declared left untreated, with the day of the declaration."""
    return _together(report, {line.tree: ("", line.declared) for line in report.untreated})


def merged(report: SeasonReport) -> list[str]:
    """Labels of records that were said to be one tree, in the order of the report's trees."""
    labels = {one.tree: " = ".join(map(isolated, one.labels)) for one in report.merged}
    shown = [line.tree for line in report.trees if line.tree in labels]
    return [labels[tree] for tree in [*shown, *(tree for tree in labels if tree not in shown)]]


def clashes(found: Iterable[LabelClashLine]) -> list[tuple[str, list[str]]]:
    """Labels that stand on several trees, by garden, each with how many."""
    together: dict[str, list[str]] = {}
    for clash in found:
        together.setdefault(clash.garden, []).append(f"{isolated(clash.label)} ({len(clash.trees)})")
    return list(together.items())


def stratum_name(report: SeasonReport) -> Callable[[StratumLine], str]:
    """What the trees of a stratum have in common."""
    methods = methods_of(report)
    of_tree = {line.tree: line.garden for line in report.trees}

    def name(stratum: StratumLine) -> str:
        gardens = {of_tree[tree] for tree, *_ in (*stratum.a, *stratum.b) if tree in of_tree}
        alike = [own_name(stratum.alike, methods)] if stratum.alike else []
        cultivar = [stratum.cultivar] if stratum.cultivar else []
        return " · ".join([*sorted(gardens), *cultivar, *alike])

    return name


def called(report: SeasonReport) -> Callable[[str], str]:
    """What a tree, or a garden that stands for its trees, is called."""
    labels = {line.tree: line.label for line in report.trees}
    return lambda rec: labels.get(rec, say("a garden"))


def day_text(when: str) -> str:
    """The day of a moment, or the two days that it lies between."""
    moment = parse_when(when)
    if moment.first is None or moment.last is None:
        return say("on a day not known")
    return days_text([moment.first.isoformat(), moment.last.isoformat()])


def days_text(days: Iterable[str]) -> str:
    """Days as a reader wants them: one, or the first and the last; an empty one is not known."""
    known = sorted({day for day in days if day})
    if not known:
        return say("on a day not known")
    return known[0] if len(known) == 1 else say("{first} to {last}", first=known[0], last=known[-1])


def _together(report: SeasonReport, told: dict[str, tuple[str, str]]) -> list[TreesTold]:
    """By garden, why and day, in the report's order of trees."""
    groups: dict[tuple[str, str, str], list[str]] = {}
    for line in report.trees:
        if line.tree in told:
            why, when = told[line.tree]
            groups.setdefault((line.garden, why, day_text(when) if when else ""), []).append(line.label)
    return [TreesTold(garden, tuple(labels), why, when) for (garden, why, when), labels in groups.items()]
