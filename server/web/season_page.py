"""What the season page shows, chosen from a report. Words come from report_words, layout from the templates."""

from typing import Any

from server.web.rendering import STATIC, rendered
from shared_models.report_words import methods_of
from shared_models.reports import SeasonReport


def season_content(report: SeasonReport, shared_until: str) -> dict[str, Any]:
    """The values of the season templates. The time stands outside the report, which knows no clock."""
    return {
        "report": report,
        "shared_until": f"{shared_until[:10]} {shared_until[11:16]} UTC",
        "methods": methods_of(report),
        "trees": {line.tree: line for line in report.trees},
        "untreated": [(line.tree, line.declared[:10]) for line in report.untreated],
        "not_recorded": [(tree, "") for tree in report.not_recorded],
        "left_out": [(line.tree, f"{line.reason} ({line.decided[:10]})") for line in report.left_out],
    }


def season_file(report: SeasonReport, shared_until: str) -> str:
    """The same page as one file by itself."""
    css = (STATIC / "pomeward.css").read_text()
    return rendered("season.html", inline_css=css, **season_content(report, shared_until))
