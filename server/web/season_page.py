"""What the season page shows, chosen from a report. Words come from report_words, layout from the template."""

from typing import Any

from shared_models.report_words import methods_of
from shared_models.reports import SeasonReport


def season_content(report: SeasonReport) -> dict[str, Any]:
    """The values of the season template."""
    trees = {line.tree: line for line in report.trees}
    return {"report": report, "methods": methods_of(report), "trees": trees}
