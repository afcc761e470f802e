"""What the season page shows, chosen from a report. Words come from report_words, layout from the templates."""

from collections.abc import Callable
from dataclasses import asdict
from typing import Any
from urllib.parse import urlencode

from server.services.season_report import LookedAt
from server.web.rendering import STATIC, rendered
from shared_models import report_lists
from shared_models.language import spoken, word
from shared_models.look_words import ToldLooks
from shared_models.report_charts import contrast_chart, weeks_charts
from shared_models.report_words import methods_of
from shared_models.reports import SeasonReport
from shared_models.season.choice import EVERYTHING, Choice
from shared_models.season.report_parts import TreeShare

_FILES = {
    "mixes": word("damage by what the trees had"),
    "trees": word("every tree with its counts"),
    "contrasts": word("comparisons with their figures"),
    "costs": word("hours and money"),
    "traps": word("every visit to a trap"),
}


def season_content(report: SeasonReport, shared_until: str, group: str = "") -> dict[str, Any]:
    """The values of the season templates. The time stands outside the report, which knows no clock."""
    gardens = report_lists.gardens_of(report)
    return {
        "report": report,
        "group": group,
        "gardens": gardens,
        "invented": report_lists.is_invented(group, gardens),
        "shared_until": f"{shared_until[:10]} {shared_until[11:16]} UTC",
        "methods": methods_of(report),
        "trees": {line.tree: line for line in report.trees},
        "comparisons": report_lists.comparisons(report),
        "contrasts": [contrast_chart(line) for line in report.contrasts],
        "stratum_name": report_lists.stratum_name(report),
        "called": report_lists.called(report),
        "weeks": weeks_charts(report),
        "untreated": report_lists.untreated(report),
        "not_recorded": report_lists.not_recorded(report),
        "left_out": report_lists.left_out(report),
        "merged": report_lists.merged(report),
        "in_walking_order": _in_walking_order(report),
        "clashes": report_lists.clashes(report.label_clashes),
        "days_text": report_lists.days_text,
    }


def season_page(looked_at: LookedAt, shared_until: str, group: str, looks: ToldLooks) -> str:
    """The page of a season with what else could be looked at, and what the group has to decide."""
    return rendered(
        "season.html",
        **season_content(looked_at.report, shared_until, group),
        offered=looked_at.offered,
        choice=looked_at.choice,
        address=f"/season/{looked_at.report.season.replace('/', '-')}",
        query=_query(looked_at.choice),
        looks=looks,
        files=[(name, spoken(told)) for name, told in _FILES.items()],
    )


def _query(choice: Choice) -> str:
    """What is chosen, as the rest of an address; nothing where everything is."""
    told = {name: value for name, value in asdict(choice).items() if value != getattr(EVERYTHING, name)}
    return f"?{urlencode(told)}" if told else ""


def season_file(report: SeasonReport, shared_until: str, group: str = "") -> str:
    """The same page as one file by itself."""
    css = (STATIC / "pomeward.css").read_text(encoding="utf-8")
    return rendered(
        "season.html", inline_css=css, looks=ToldLooks(), **season_content(report, shared_until, group)
    )


def _in_walking_order(report: SeasonReport) -> Callable[[list[TreeShare]], list[TreeShare]]:
    """Puts the trees of a mix into the order of the report's trees, which is the order that people walk in."""
    place = {line.tree: number for number, line in enumerate(report.trees)}
    return lambda shares: sorted(shares, key=lambda share: place.get(share.tree, len(place)))
