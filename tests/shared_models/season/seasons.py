"""Small seasons for tests, told in a line each. Knows the builders and the report, no store."""

from collections.abc import Iterable

from shared_models.entries import Entry
from shared_models.reports import season_report
from shared_models.season.report_parts import MixRate, SeasonReport
from shared_models.season_records import from_entries
from tests.builders import FieldPhone


class SmallSeason:
    """One phone, one northern garden; what is done to it is kept as entries."""

    def __init__(self, hemisphere: str = "north") -> None:
        self.phone = FieldPhone()
        self.entries: list[Entry] = []
        self.garden = self.keep(self.phone.garden("Hill", hemisphere))

    def keep(self, entry: Entry) -> Entry:
        """Keep an entry."""
        self.entries.append(entry)
        return entry

    def trees(self, how_many: int) -> list[Entry]:
        """Trees labelled 1, 2, 3 …"""
        return [
            self.keep(self.phone.tree(self.garden, str(label + 1), order=label)) for label in range(how_many)
        ]

    def untreated(self, *trees: Entry, day: str = "2026-05-01", season: str = "2026") -> None:
        """Declare trees left untreated."""
        for tree in trees:
            self.keep(self.phone.untreated(tree, season, when=day))

    def job(self, method: str, *trees: Entry, day: str = "2026-06-01", **more: object) -> Entry:
        """A job on a day."""
        return self.keep(self.phone.job(method, *trees, when=day, **more))

    def picked(
        self,
        tree: Entry,
        scored: int,
        damaged: int,
        day: str = "2026-09-10",
        cover: str = "none",
        total: int | None = None,
        all_scored: str = "yes",
        **pick: object,
    ) -> Entry:
        """A pick of which some fruit were scored; returns its visit."""
        more = {"total": total} if total is not None else {}
        made = self.phone.pick(tree, when=day, cover=cover, all_scored=all_scored, **more, **pick)
        return self.scored(tree, scored, damaged, day, cover, pick=self.keep(made))

    def scored(
        self,
        tree: Entry,
        scored: int,
        damaged: int,
        day: str,
        cover: str = "none",
        pick: Entry | None = None,
        round: str = "picking",
        source: str = "picked",
    ) -> Entry:
        """A visit on which fruit were scored."""
        named = {"pick": pick.rec} if pick else {}
        visit = self.keep(self.phone.visit(tree, round, when=day, **named))
        for n, mark in ((damaged, "deep_entry"), (scored - damaged, "clean")):
            if n:
                self.keep(self.phone.number(visit, n, mark, source=source, cover=cover))
        return visit

    def drops(
        self, tree: Entry, fallen: int, damaged: int, day: str = "2026-08-10", cover: str = "none"
    ) -> Entry:
        """Drops counted under a tree."""
        return self.scored(tree, fallen, damaged, day, cover, round="drops", source="drop")

    def report(self, key: str = "2026") -> SeasonReport:
        """The season's report."""
        return report_of(self.entries, key)


def report_of(entries: Iterable[Entry], key: str = "2026") -> SeasonReport:
    """The report of bare entries."""
    return season_report(from_entries(entries, key))


def mix(report: SeasonReport, key: str) -> MixRate:
    """The line of a mix by its key."""
    return next(line for line in report.mixes if line.mix.key == key)


def keys(report: SeasonReport) -> list[str]:
    """The keys of all mixes with a rate."""
    return [line.mix.key for line in report.mixes]


def codes(warned: Iterable[object]) -> set[str]:
    """The codes of warnings."""
    return {one.code for one in warned}  # type: ignore[attr-defined]
