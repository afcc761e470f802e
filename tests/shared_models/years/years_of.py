"""Several small seasons of the same trees, told in a line each. Knows the builders and the report, no store."""

from shared_models.entries import Entry
from shared_models.season_records import from_entries
from shared_models.seasons import Hemisphere
from shared_models.years.parts import TreeYears, YearsContrast, YearsReport
from shared_models.years_report import years_report
from tests.shared_models.season.seasons import SmallSeason

SEASONS = ("2024", "2025", "2026")


class SmallYears(SmallSeason):
    """One phone and one northern garden over several years."""

    def planted(self, how_many: int, cultivar: str = "Dawnlet") -> list[Entry]:
        """Trees of one cultivar."""
        trees = self.trees(how_many)
        for tree in trees:
            self.keep(self.phone.graft(tree, cultivar))
        return trees

    def named(self, year: str, method: str = "granulovirus") -> None:
        """The comparison named before that year's scoring."""
        said = {"season": year, "with_method": method, "when": f"{year}-08-01"}
        entry = self.phone.makes("planned_contrast", said)
        self.keep(entry.model_copy(update={"entered": f"{year}-08-01T09:00:00+02:00"}))

    def year(self, year: str, treated: list[Entry], untreated: list[Entry], damaged: tuple[int, int]) -> None:
        """One season: so many of 30 damaged on each tree of both sides, one more on every other tree."""
        for side, trees in enumerate((treated, untreated)):
            for number, tree in enumerate(trees):
                if side:
                    self.untreated(tree, season=year, day=f"{year}-05-01")
                else:
                    self.job("granulovirus", tree, day=f"{year}-06-01", minutes=30)
                count = damaged[side] + number % 2
                self.picked(tree, 30, count, day=f"{year}-09-10", total=100)

    def over_years(self, seasons: tuple[str, ...] = SEASONS) -> YearsReport:
        """The report over these seasons."""
        return report_over(self.entries, seasons)


def report_over(entries: list[Entry], seasons: tuple[str, ...] = SEASONS) -> YearsReport:
    """The report of bare entries over some seasons."""
    return years_report([from_entries(entries, key) for key in seasons], Hemisphere.NORTH)


def contrast(report: YearsReport, key: str = "with_without:granulovirus") -> YearsContrast:
    """The comparison by its key."""
    return next(line for line in report.contrasts if line.key == key)


def tree_line(report: YearsReport, tree: Entry) -> TreeYears:
    """The ledger's line of a tree."""
    return next(line for line in report.trees if line.tree == tree.rec)
