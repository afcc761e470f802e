"""What trees themselves had in the season before, as far as it was recorded; it may still act. Knows no fruit."""

from dataclasses import replace

from shared_models.records.fields import Happening
from shared_models.records.gardens import PlanLine
from shared_models.records.jobs import Job
from shared_models.season.mixes import Treatments
from shared_models.season.rows import SeasonRows
from shared_models.seasons import season_before
from shared_models.vocabulary import BAGGING, Reach


def own_methods_last_season(season: SeasonRows) -> dict[str, set[str]]:
    """The methods of reach *tree* of each tree of which something is recorded; bags of last year's fruit are gone."""
    records, orchard = season.records, season.orchard
    if not records.last_season:
        return {}
    jobs = [one for one in records.last_season if isinstance(one, Job) and one.method != BAGGING]
    lines = [one for one in records.last_season if isinstance(one, PlanLine)]
    standing = {kind: found for kind, found in records.records.items() if not issubclass(kind, Happening)}
    before = replace(
        records,
        season=season_before(records.season),
        records={**standing, Job: list(jobs), PlanLine: list(lines)},
        tallies=[],
    )
    treatments = Treatments(before, orchard)
    mixes = {
        tree: treatments.mix(tree, "whole", "none") for tree in orchard.trees if treatments.recorded(tree)
    }
    return {
        tree: {one for one in mix.methods if treatments.methods[one].reach is Reach.TREE}
        for tree, mix in mixes.items()
        if mix is not None
    }
