"""What the season page shows, chosen from a report. Words come from report_words, layout from the templates."""

from collections.abc import Callable, Iterable
from typing import Any

from server.web.rendering import STATIC, rendered
from shared_models.language import say
from shared_models.report_charts import MixChart, contrast_chart, mix_chart, weeks_charts
from shared_models.report_words import isolated, methods_of
from shared_models.reports import SeasonReport
from shared_models.season.report_parts import LabelClashLine, TreeShare
from shared_models.season.verdict_parts import StratumLine
from shared_models.verdict_words import own_name
from shared_models.when import parse_when

INVENTED = "(invented)"  # how groups and gardens of a demo are marked, in their names


def season_content(report: SeasonReport, shared_until: str, group: str = "") -> dict[str, Any]:
    """The values of the season templates. The time stands outside the report, which knows no clock."""
    gardens = sorted({line.garden for line in report.trees} | {trap.garden for trap in report.traps})
    return {
        "report": report,
        "group": group,
        "gardens": gardens,
        "invented": is_invented(group, gardens),
        "shared_until": f"{shared_until[:10]} {shared_until[11:16]} UTC",
        "methods": methods_of(report),
        "trees": {line.tree: line for line in report.trees},
        "comparisons": _comparisons(report),
        "contrasts": [contrast_chart(line) for line in report.contrasts],
        "stratum_name": _stratum_name(report),
        "called": _called(report),
        "weeks": weeks_charts(report),
        "untreated": _by_garden(report, {line.tree: ("", line.declared) for line in report.untreated}),
        "not_recorded": _by_garden(report, dict.fromkeys(report.not_recorded, ("", ""))),
        "left_out": _by_garden(report, {line.tree: (line.reason, line.decided) for line in report.left_out}),
        "merged": _merged(report),
        "in_walking_order": _in_walking_order(report),
        "clashes": _clashes(report.label_clashes),
        "days_text": days_text,
    }


def season_file(report: SeasonReport, shared_until: str, group: str = "") -> str:
    """The same page as one file by itself."""
    css = (STATIC / "pomeward.css").read_text(encoding="utf-8")
    return rendered("season.html", inline_css=css, **season_content(report, shared_until, group))


def is_invented(group: str, gardens: Iterable[str]) -> bool:
    """Whether a group is marked as invented, or all its gardens are."""
    return INVENTED in group or all(INVENTED in garden for garden in list(gardens) or [group])


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


def _comparisons(report: SeasonReport) -> list[tuple[str, list[MixChart]]]:
    """The lines of the season table in two parts that must not be compared with each other."""
    charts = [mix_chart(line) for line in report.mixes]
    parts = [
        (say("Of all fruit: picked, drops, removed by hand"), [one for one in charts if one.of_all_fruit]),
        (say("Of picked fruit only"), [one for one in charts if not one.of_all_fruit]),
    ]
    return [(heading, lines) for heading, lines in parts if lines]


def _called(report: SeasonReport) -> Callable[[str], str]:
    """What a tree, or a garden that stands for its trees, is called."""
    labels = {line.tree: line.label for line in report.trees}
    return lambda rec: labels.get(rec, say("a garden"))


def _stratum_name(report: SeasonReport) -> Callable[[StratumLine], str]:
    """What the trees of a stratum have in common."""
    methods = methods_of(report)
    of_tree = {line.tree: line.garden for line in report.trees}

    def name(stratum: StratumLine) -> str:
        gardens = {of_tree[tree] for tree, *_ in (*stratum.a, *stratum.b) if tree in of_tree}
        alike = [own_name(stratum.alike, methods)] if stratum.alike else []
        cultivar = [stratum.cultivar] if stratum.cultivar else []
        return " · ".join([*sorted(gardens), *cultivar, *alike])

    return name


def _by_garden(
    report: SeasonReport, told: dict[str, tuple[str, str]]
) -> list[tuple[str, list[str], str, str]]:
    """Trees of which the same is told (why, when), together: garden, labels, why, day. In the report's order."""
    together: dict[tuple[str, str, str], list[str]] = {}
    for line in report.trees:
        if line.tree in told:
            why, when = told[line.tree]
            together.setdefault((line.garden, why, day_text(when) if when else ""), []).append(line.label)
    return [(garden, labels, why, when) for (garden, why, when), labels in together.items()]


def _in_walking_order(report: SeasonReport) -> Callable[[list[TreeShare]], list[TreeShare]]:
    """Puts the trees of a mix into the order of the report's trees, which is the order that people walk in."""
    place = {line.tree: number for number, line in enumerate(report.trees)}
    return lambda shares: sorted(shares, key=lambda share: place.get(share.tree, len(place)))


def _merged(report: SeasonReport) -> list[str]:
    """Labels of records that were said to be one tree, in the order of the report's trees."""
    labels = {one.tree: " = ".join(map(isolated, one.labels)) for one in report.merged}
    shown = [line.tree for line in report.trees if line.tree in labels]
    return [labels[tree] for tree in [*shown, *(tree for tree in labels if tree not in shown)]]


def _clashes(clashes: Iterable[LabelClashLine]) -> list[tuple[str, list[str]]]:
    """Labels that stand on several trees, by garden."""
    together: dict[str, list[str]] = {}
    for clash in clashes:
        together.setdefault(clash.garden, []).append(f"{isolated(clash.label)} ({len(clash.trees)})")
    return list(together.items())
