"""A group that is nothing but its entries, for trying an import on. Knows no database."""

from collections.abc import Sequence
from typing import TypeVar

from shared_models.entries import Entry
from shared_models.fold import FoldedRecord, fold_all
from shared_models.records.fields import Record
from shared_models.records.kinds import check_fields, record_of
from shared_models.reports import season_report
from shared_models.score_table.ground import Asked
from shared_models.score_table.planning import ImportPlan, plan_import
from shared_models.score_table.reading import read_score_table
from shared_models.season.report_parts import SeasonReport
from shared_models.season_records import from_entries
from tests.builders import FieldPhone

R = TypeVar("R", bound=Record)
SEASON = Asked(garden="Hill", season="2026")


class BareGroup:
    """Entries of one phone, and the import of a table into them."""

    def __init__(self, entries: Sequence[Entry] = (), phone: FieldPhone | None = None) -> None:
        self.phone = phone or FieldPhone()
        self.entries = list(entries)

    def all(self, kind: type[R]) -> list[R]:
        """The live records of a kind."""
        live = (one for one in fold_all(self.entries).values() if one.kind == kind.kind and not one.deleted)
        return [record for record in map(record_of, live) if isinstance(record, kind)]

    def folded(self, rec: str) -> FoldedRecord | None:
        """One record."""
        return fold_all(self.entries).get(rec)

    def plan(self, text: str, asked: Asked = SEASON) -> ImportPlan:
        """What importing a table would do."""
        return plan_import(read_score_table(text), self, asked)

    def imported(self, text: str, asked: Asked = SEASON) -> ImportPlan:
        """Import a table; every entry passes the checks of its kind."""
        plan = self.plan(text, asked)
        assert plan.bad == []
        for change in plan.changes:
            assert check_fields(change.kind, change.fields, change.new) == []
            made = self.phone.makes(change.kind, change.fields)
            self.entries.append(made.model_copy(update={"rec": change.rec}))
        return plan

    def report(self, season: str = "2026") -> SeasonReport:
        """The season report."""
        return season_report(from_entries(self.entries, season))


def rates(report: SeasonReport) -> dict[str, list[tuple[float, float]]]:
    """Damaged and scored of each tree, by mix."""
    return {
        line.mix.key: sorted((share.damaged, share.scored) for share in line.trees) for line in report.mixes
    }
