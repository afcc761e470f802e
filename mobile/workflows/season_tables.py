"""The tables behind the charts of a season, row by row in words. Offers `season_table`; draws nothing."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import StrEnum

from mobile.workflows.season_trees import part_sentence
from shared_models import report_lists, verdict_words
from shared_models.language import say, say_many
from shared_models.report_charts import weeks_charts
from shared_models.report_words import methods_of, mix_name, named, percent, rate_sentence, tree_name
from shared_models.season.report_parts import MixRate, SeasonReport, TrapLine, TrapVisitLine
from shared_models.season.verdict_parts import ContrastLine


class TableName(StrEnum):
    """The tables that there are."""

    MIXES = "mixes"
    CONTRAST = "contrast"
    TREES = "trees"
    WEEKS = "weeks"
    VISITS = "visits"


@dataclass(frozen=True, slots=True)
class TableRow:
    """One row: what it is about, what it says, and the tree whose ledger it leads to, if any."""

    about: str
    says: str
    tree: str | None = None


@dataclass(frozen=True, slots=True)
class Table:
    """A table with its caption, and a sentence that is to be read with it, where there is one."""

    caption: str
    rows: tuple[TableRow, ...]
    read_with: str = ""


def season_table(report: SeasonReport, name: TableName, of: str = "") -> Table:
    """A table of the report; `of` is the key of a contrast where one is asked for."""
    if name is TableName.CONTRAST:
        return _contrast(report, of)
    caption, rows = _TABLES[name]
    return Table(caption(), tuple(rows(report)))


def _mixes(report: SeasonReport) -> Iterator[TableRow]:
    methods = methods_of(report)
    for line in report.mixes:
        yield TableRow(mix_name(line.mix, methods), "\n".join(_rates(line)))


def _rates(line: MixRate) -> Iterator[str]:
    if line.all_fruit:
        yield say("of all fruit: {rate}", rate=rate_sentence(line.all_fruit))
    yield say("picked only: {rate}", rate=rate_sentence(line.picked))
    deep = line.picked_deep
    if deep is None:
        yield say("deep not told apart")
        return
    yield say(
        "deep entry only: {rate} %, 95 % range {low}–{high} % of picked fruit",
        rate=percent(deep.rate),
        low=percent(deep.low),
        high=percent(deep.high),
    )


def _trees(report: SeasonReport) -> Iterator[TableRow]:
    for line in report.trees:
        bags = round(line.bags_put_on)
        state = [named(line.status)]
        state += [say_many("{count} bag put on", "{count} bags put on", bags)] if bags else []
        parts = [part_sentence(line, place) for place in range(len(line.parts))]
        yield TableRow(tree_name(line), "\n".join([", ".join(state), *parts]), line.tree)


def _weeks(report: SeasonReport) -> Iterator[TableRow]:
    for chart in weeks_charts(report):
        for week in chart.weeks:
            caught = week.per_trap_week
            moths = say("not known") if caught is None else say("{moths} moths a trap", moths=f"{caught:.1f}")
            yield TableRow(f"{chart.garden} · {week.monday.isoformat()}", moths)


def _visits(report: SeasonReport) -> Iterator[TableRow]:
    for trap in report.traps:
        yield from (_visit(trap, visit) for visit in trap.visits)


def _visit(trap: TrapLine, visit: TrapVisitLine) -> TableRow:
    counted = visit.state == "counted"
    told = [say_many("{count} moth", "{count} moths", visit.catch) if counted else named(visit.state)]
    told += [say("counted twice, not added")] if visit.double_of else []
    told += [say_many("{count} day", "{count} days", visit.days)] if visit.days is not None else []
    told += [say("{rate} a week", rate=f"{visit.per_week:.1f}")] if visit.per_week is not None else []
    about = f"{trap.garden} · {trap.label} · {visit.day or say('day not known')}"
    return TableRow(about, ", ".join(told))


def _contrast(report: SeasonReport, key: str) -> Table:
    line = next((line for line in report.contrasts if line.key == key), None)
    if line is None:
        return Table(say("This comparison is not in the report any more."), ())
    methods = methods_of(report)
    return Table(
        verdict_words.question(line, methods),
        tuple(_strata(report, line)),
        " ".join(
            [
                verdict_words.statistics_sentence(line),
                say("Effective fruit, damaged of scored, by trees that are otherwise alike"),
            ]
        ),
    )


def _strata(report: SeasonReport, line: ContrastLine) -> Iterator[TableRow]:
    name, called = report_lists.stratum_name(report), report_lists.called(report)
    for stratum in line.strata:
        for words, side in ((say("First side"), stratum.a), (say("Second side"), stratum.b)):
            trees = ", ".join(
                f"{called(tree)} {_plain(damaged)}/{_plain(scored)}" for tree, damaged, scored in side
            )
            yield TableRow(f"{name(stratum)} · {words}", trees)


def _plain(value: float) -> str:
    return f"{round(value, 1):g}"


_Rows = Callable[[SeasonReport], Iterator[TableRow]]
_TABLES: dict[TableName, tuple[Callable[[], str], _Rows]] = {
    TableName.MIXES: (lambda: say("Damage by what the trees had"), _mixes),
    TableName.TREES: (lambda: say("What was counted on each tree"), _trees),
    TableName.WEEKS: (
        lambda: say("Moths a trap and week, spread evenly over the days between visits"),
        _weeks,
    ),
    TableName.VISITS: (lambda: say("Every visit to a trap"), _visits),
}
