"""The season report: from a season's records to plain values, the same on phone and server. No words, no clock."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, datetime

from shared_models.garbage import making_many
from shared_models.records.fields import Happening
from shared_models.records.jobs import Job
from shared_models.season import catches, rates, report_parts, trap_lines
from shared_models.season.choice import EVERYTHING, Choice, Counted, Damage
from shared_models.season.labour import Labour
from shared_models.season.one_garden import of_garden
from shared_models.season.orchard import in_order_of_labels
from shared_models.season.planning import next_season
from shared_models.season.report_parts import (
    ChoiceMade,
    FruitCounts,
    SeasonReport,
    TreeLine,
    TreePart,
    Warned,
)
from shared_models.season.rounding import edge
from shared_models.season.rows import (
    SeasonRow,
    SeasonRows,
    TreeInMix,
    rows_of,
    together,
    told_apart,
    trees_in_mixes,
)
from shared_models.season.scores import Scores
from shared_models.season.scoring_checks import scoring_checks, warnings_of
from shared_models.season_records import SeasonRecords
from shared_models.verdicts.contrast_lines import Told, contrast_lines
from shared_models.verdicts.hindsight import methods_changed_after_scoring, said_after_scoring
from shared_models.vocabulary import METHODS, Cover, Fruit, Method, Source

__all__ = ["Reported", "SeasonReport", "reported", "season_report"]

LEVEL = 0.95
LATE_DAYS = 7
MUCH_UNSURE = 0.10
_SHOWN_WITH_RATE = (
    Fruit.CLEAN,
    Fruit.STING,
    Fruit.DEEP_ENTRY,
    Fruit.DAMAGED,
    Fruit.OTHER_INSECT,
    Fruit.OTHER,
)


@dataclass(frozen=True, slots=True)
class Reported:
    """A report with what it was made from, for what looks over several seasons."""

    report: SeasonReport
    season: SeasonRows
    shares: list[TreeInMix]
    labour: Labour


def season_report(records: SeasonRecords, choice: Choice = EVERYTHING) -> SeasonReport:
    """Make the report of a season, of all of it or of what is chosen."""
    return reported(records, choice).report


@making_many()
def reported(records: SeasonRecords, choice: Choice = EVERYTHING) -> Reported:
    """Make the report of a season, and keep what it was made from."""
    looked_at = of_garden(records, choice.garden) if choice.garden else records
    made = _Reporter(rows_of(looked_at, choice))
    return Reported(made.report(), made.season, made.shares, made.labour)


class _Reporter:
    """Gathers the parts of one report; every method makes one of them."""

    def __init__(self, season: SeasonRows) -> None:
        self.season = season
        self.orchard = season.orchard
        self.treatments = season.treatments
        self.labour = Labour(season)
        self.shares = trees_in_mixes(season)
        self.spread = rates.spread_used(self.shares)
        self.rows_of_tree: dict[str, list[SeasonRow]] = {}
        for row in season.rows:
            self.rows_of_tree.setdefault(row.key.tree, []).append(row)
        self.scoring = scoring_checks(season)
        self.compared = {share.tree for share in self.shares}
        self.first_scored = self._first_scored()
        self.labels = self.orchard.names()
        own = {key: one.name for key, one in self.treatments.methods.items() if METHODS.get(key) != one}
        self.names = rates.Names(self.labels, own, season.choice.fruit is Counted.BEST)

    def report(self) -> SeasonReport:
        records = self.season.records
        walk = self.orchard.in_walking_order(self.orchard.trees)
        lines = [self._tree(tree) for tree in walk if self._stands_or_was_recorded(tree)]
        traps = [
            (self.orchard.gardens[trap.garden].name, trap)
            for trap in catches.trap_catches(records)
            if trap.garden in self.orchard.gardens
        ]
        mixes = rates.mix_rates(self.shares, self.names)
        contrasts = contrast_lines(self.season, self.shares, self._told(), self.labour)
        named = sum(line.before_scoring for line in contrasts)
        return SeasonReport(
            season=records.season.key,
            hemisphere=records.season.hemisphere,
            level=LEVEL,
            choice=self._choice(),
            methods=self._methods(),
            mixes=mixes,
            spread=self.spread,
            contrasts=contrasts,
            costs=self.labour.lines(),
            trees=lines,
            not_recorded=[line.tree for line in lines if line.status == "not_recorded"],
            untreated=self._untreated(),
            left_out=self._left_out(),
            traps=[trap_lines.trap_line(trap, garden) for garden, trap in traps],
            trap_weeks=trap_lines.trap_weeks(traps),
            scored=_fruit(together(self.season.rows)),
            scoring=self.scoring,
            next_season=next_season(mixes, self.spread, named),
            bags_put_on=edge(self._bags_put_on()),
            label_clashes=[
                report_parts.LabelClashLine(garden=clash.garden, label=clash.label, trees=list(clash.trees))
                for clash in self.orchard.clashes()
            ],
            merged=[
                report_parts.MergedLine(tree=one.tree, others=list(one.others), labels=list(one.labels))
                for one in self.orchard.merged()
            ],
            unplaced=self._unplaced(),
            warnings=self._warnings(traps),
        )

    def _choice(self) -> ChoiceMade:
        asked = self.season.choice
        garden = self.orchard.gardens.get(asked.garden or "")
        return ChoiceMade(
            garden=garden.name if garden else None,
            cultivar=asked.cultivar,
            damage=asked.damage,
            fruit=asked.fruit,
        )

    def _bags_put_on(self) -> float:
        bags = self.treatments.bags.items()
        return sum(one.put_on for tree, one in bags if self.season.looked_at(tree))

    def _told(self) -> Told:
        late = (line.tree for line in self._untreated() if line.after_scoring_began)
        out = (line.tree for line in self._left_out() if line.after_scoring_began)
        return Told(
            self.labels,
            frozenset(late),
            frozenset(out),
            said_after_scoring(self.season, self.first_scored),
            methods_changed_after_scoring(self.season, self.first_scored),
        )

    def _stands_or_was_recorded(self, tree: str) -> bool:
        if not self.season.looked_at(tree):
            return False
        if self._gone_before(tree):
            return tree in self.rows_of_tree
        standing = not self.orchard.trees[tree].retired
        return standing or tree in self.rows_of_tree or self.treatments.recorded(tree)

    def _gone_before(self, tree: str) -> bool:
        removed = self.orchard.trees[tree].removed_on
        return removed is not None and removed < self.season.records.season.first_day.isoformat()

    def _tree(self, tree: str) -> TreeLine:
        standing = self.orchard.trees[tree]
        bags = self.treatments.bags.get(tree)
        return TreeLine(
            tree=tree,
            label=standing.label,
            garden=self.orchard.gardens[standing.garden].name,
            cultivar=self.orchard.cultivars.get(tree),
            status=self._status(tree),
            bags_put_on=edge(bags.put_on) if bags else 0,
            parts=[_part(row) for row in self.rows_of_tree.get(tree, [])],
        )

    def _status(self, tree: str) -> str:
        if tree in self.season.left_out:
            return "left_out"
        if tree in self.compared:
            return "compared"
        return (
            "not_scored"
            if self.treatments.recorded(tree) and not self._unrecorded_parts(tree)
            else "not_recorded"
        )

    def _unrecorded_parts(self, tree: str) -> list[SeasonRow]:
        """Scored rows of a tree of which it was not said what was done to that part of it."""
        return [row for row in self.rows_of_tree.get(tree, []) if row.mix is None and row.scored]

    def _methods(self) -> list[report_parts.MethodNamed]:
        """Every method that the report speaks of: had by a tree, worked at, or named in a contrast."""
        used = {key for share in self.shares for key in (*share.mix.methods, *share.mix.partly)}
        used |= {job.method for job in self.season.records.all(Job)}
        known = self.treatments.methods
        return [_named(known[key]) for key in sorted(used) if key in known]

    def _untreated(self) -> list[report_parts.UntreatedLine]:
        lines = [
            report_parts.UntreatedLine(
                tree=tree,
                declared=line.when,
                after_scoring_began=self._after_scoring_began(tree, _latest(line)),
            )
            for tree, line in self.treatments.declared.items()
            if tree in self.orchard.trees and self.season.looked_at(tree)
        ]
        return sorted(lines, key=lambda line: line.tree)

    def _left_out(self) -> list[report_parts.LeftOutLine]:
        lines = [
            report_parts.LeftOutLine(
                tree=tree,
                reason=one.reason,
                decided=one.when,
                after_scoring_began=self._after_scoring_began(tree, _latest(one)),
            )
            for tree, one in self.season.left_out.items()
            if tree in self.orchard.trees and self.season.looked_at(tree)
        ]
        return sorted(lines, key=lambda line: line.tree)

    def _after_scoring_began(self, tree: str, decided: date | None) -> bool:
        began = self.first_scored.get(tree)
        return began is not None and (decided is None or decided > began)

    def _first_scored(self) -> dict[str, date]:
        first: dict[str, date] = {}
        for row in self.season.rows:
            for one in row.samples:
                if one.day and one.sample.scored and row.key.source == Source.PICKED:
                    first[row.key.tree] = min(one.day, first.get(row.key.tree, one.day))
        return first

    def _unplaced(self) -> list[report_parts.UnplacedLine]:
        return [
            report_parts.UnplacedLine(rec=record.rec, kind=record.kind, when=record.when)
            for record in self.season.records.unplaced
            if isinstance(record, Happening)
        ]

    def _warnings(self, traps: list[tuple[str, catches.TrapCatch]]) -> list[Warned]:
        found = [
            Warned(code="NOT_RANDOM"),
            Warned(code="NO_UNTREATED", count=int(self._no_untreated())),
            self._trees(
                "NOT_RECORDED",
                (tree for tree in self.rows_of_tree if self._unrecorded_parts(tree)),
            ),
            self._trees(
                "DECLARED_LATE", (line.tree for line in self._untreated() if line.after_scoring_began)
            ),
            self._trees("DECLARED_BUT_TREATED", self._declared_but_treated()),
            self._trees(
                "LEFT_OUT_LATE", (line.tree for line in self._left_out() if line.after_scoring_began)
            ),
            self._trees("PART_NOT_SAID", self._parts_not_said()),
            self._rows("ESTIMATED", lambda row: any(one.estimated for one in row.samples)),
            self._rows("MUCH_NOT_SURE", _much_not_sure),
            self._rows("SEVERAL_PICKS_A_DAY", lambda row: any(one.picks > 1 for one in row.samples)),
            self._rows(
                "TOTAL_LESS_THAN_SCORED", lambda row: any(one.less_than_scored for one in row.samples)
            ),
            Warned(code="LATE_ENTRIES", count=self._late_entries()),
            _traps("DOUBLE_COUNT", traps, lambda one: one.double_of is not None),
            _traps("CATCH_BELOW_NONE", traps, lambda one: one.below_none),
            Warned(code="UNPLACED", count=len(self.season.records.unplaced)),
            self._trees("NOT_TOLD_APART", self._not_told_apart()),
            self._prior(),
            *warnings_of(self.scoring),
        ]
        always = {"NOT_RANDOM"}
        return [one for one in found if one is not None and (one.count or one.code in always)]

    def _no_untreated(self) -> bool:
        """Whether methods were compared and none of the trees had been left untreated on purpose."""
        return bool(self.shares) and not any(share.mix.untreated for share in self.shares)

    def _trees(self, code: str, trees: Iterable[str]) -> Warned:
        named = in_order_of_labels(self.labels.get(tree, tree) for tree in trees)
        return Warned(code=code, about=named, count=len(named))

    def _rows(self, code: str, doubtful: Callable[[SeasonRow], bool]) -> Warned:
        return self._trees(code, (row.key.tree for row in self.season.rows if doubtful(row)))

    def _declared_but_treated(self) -> list[str]:
        return [
            row.key.tree
            for row in self.season.rows
            if row.key.tree in self.treatments.declared
            and row.mix
            and not row.mix.untreated
            and not row.mix.beside_bags
        ]

    def _not_told_apart(self) -> list[str]:
        """Trees that are in no comparison since only deep entries are asked for."""
        if self.season.choice.damage is Damage.ANY:
            return []
        return [row.key.tree for row in self.season.rows if row.scored and not told_apart([row])]

    def _parts_not_said(self) -> list[str]:
        return [
            row.key.tree
            for row in self.season.rows
            if row.key.cover == Cover.NONE and self.treatments.has_bags(row.key.tree)
        ]

    def _late_entries(self) -> int:
        happenings = (
            record
            for kind in self.season.records.records.values()
            for record in kind
            if isinstance(record, Happening)
        )
        return sum(1 for record in happenings if _days_late(record) > LATE_DAYS)

    def _prior(self) -> Warned | None:
        spread = self.spread
        mostly_assumed = spread is not None and spread.df - spread.prior_df < rates.ENOUGH_SPREAD_DF
        return Warned(code="ICC_PRIOR", count=1) if mostly_assumed else None


def _named(method: Method) -> report_parts.MethodNamed:
    own = METHODS.get(method.key) != method
    return report_parts.MethodNamed(key=method.key, name=method.name, reach=method.reach, own=own)


def _part(row: SeasonRow) -> TreePart:
    totals = [one.total for one in row.samples]
    return TreePart(
        place=row.key.place,
        cover=row.key.cover,
        source=row.key.source,
        mix=row.mix.key if row.mix else None,
        days=[one.day.isoformat() if one.day else "" for one in row.samples],
        fruit=_fruit(row.scores),
        total=None if None in totals else edge(sum(total for total in totals if total is not None)),
    )


def _fruit(scores: Scores) -> FruitCounts:
    return FruitCounts(
        **{fruit.value: edge(scores.by_fruit.get(fruit, 0)) for fruit in (*_SHOWN_WITH_RATE, Fruit.NOT_SURE)},
        not_scored=edge(scores.unscored),
    )


def _much_not_sure(row: SeasonRow) -> bool:
    unsure = row.scores.of(Fruit.NOT_SURE)
    return unsure > MUCH_UNSURE * (unsure + row.scores.scored)


def _latest(record: Happening) -> date | None:
    """The day by which it was decided: as told, or on which it was changed since."""
    told = record.moment.last
    if told is None or record.last_word == record.entered:
        return told
    return max(told, datetime.fromisoformat(record.last_word).date())


def _days_late(record: Happening) -> int:
    last = record.moment.last
    return (datetime.fromisoformat(record.entered).date() - last).days if last else 0


def _traps(
    code: str, traps: list[tuple[str, catches.TrapCatch]], doubtful: Callable[[catches.Catch], bool]
) -> Warned:
    found = [trap.label for _, trap in traps for one in trap.visits if doubtful(one)]
    return Warned(code=code, about=sorted(set(found)), count=len(found))
