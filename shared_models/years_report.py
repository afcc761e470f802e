"""The report over several seasons: from their records to plain values, the same on phone and server. No words, no clock."""

from collections.abc import Sequence

from shared_models.reports import Reported, reported
from shared_models.season.named_parts import MethodNamed, Warned
from shared_models.season_records import SeasonRecords
from shared_models.seasons import Hemisphere, season_named
from shared_models.years.ledger import ledger
from shared_models.years.parts import YearsReport
from shared_models.years.pooled import years_contrasts
from shared_models.years.trap_years import together, trap_years

__all__ = ["YearsReport", "years_report"]

MOST_SEASONS = 10  # what is looked at; older trees of older years say little of today's


def seasons_to_look_at(keys: Sequence[str], hemisphere: Hemisphere) -> list[str]:
    """The newest seasons of one half of the earth, oldest first.

    >>> seasons_to_look_at(["2024", "2025", "2025/26"], Hemisphere.NORTH)
    ['2024', '2025']
    """
    here = [key for key in keys if season_named(key).hemisphere is hemisphere]
    return sorted(here)[-MOST_SEASONS:]


def years_report(seasons: Sequence[SeasonRecords], hemisphere: Hemisphere) -> YearsReport:
    """Make the report over seasons of one half of the earth, given in any order."""
    made = [reported(one) for one in sorted(seasons, key=lambda one: one.season.key)]
    made = [one for one in made if _anything(one)]
    traps = trap_years([one.season for one in made])
    contrasts = years_contrasts(made)
    warned = [
        Warned(code="NOT_RANDOM", count=int(bool(contrasts))),
        Warned(code="TREES_AGAIN", count=int(any(one.pooled for one in contrasts))),
    ]
    return YearsReport(
        seasons=[one.report.season for one in made],
        hemisphere=hemisphere,
        methods=_methods(made),
        contrasts=contrasts,
        trees=ledger(made),
        traps=traps,
        traps_together=together(traps),
        warnings=[one for one in warned if one.count],
    )


def _anything(made: Reported) -> bool:
    """Whether anything was recorded in the season: trees stand there in every one."""
    report = made.report
    return bool(
        report.mixes
        or report.traps
        or report.costs
        or report.untreated
        or any(line.parts for line in report.trees)
    )


def _methods(made: Sequence[Reported]) -> list[MethodNamed]:
    """Every method that any of the seasons speaks of, as the newest of them calls it."""
    found = {method.key: method for one in made for method in one.report.methods}
    return [found[key] for key in sorted(found)]
