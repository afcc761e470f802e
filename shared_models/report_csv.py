"""The season report as tables for a spreadsheet: CSV by RFC 4180, a header in every table. No words, no layout.

Shares are 0 to 1, minutes and days in their names. A cell that is empty is not known. A text that a spreadsheet
would take for a formula begins with an apostrophe.
"""

import csv
import io
from collections.abc import Callable, Iterable, Sequence

from shared_models.season.report_parts import RateRange, SeasonReport, TreePart
from shared_models.season.verdict_parts import ContrastLine

Cell = str | float | int | bool | None
Row = Sequence[Cell]
_LIKE_A_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def table(report: SeasonReport, name: str) -> str:
    """One table of the report; KeyError where there is none of that name."""
    header, rows = TABLES[name]
    written = io.StringIO()
    lines = csv.writer(written, lineterminator="\r\n")
    lines.writerow(header)
    lines.writerows([_plain(cell) for cell in row] for row in rows(report))
    return written.getvalue()


def _plain(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, str):
        return f"'{cell}" if cell.startswith(_LIKE_A_FORMULA) else cell
    return f"{cell:.6f}".rstrip("0").rstrip(".") if isinstance(cell, float) else str(cell)


_RATE = (
    "rate",
    "low",
    "high",
    "trees",
    "scored",
    "damaged",
    "effective_fruit",
    "design_effect",
    "icc_used",
    "df",
)


def _rate(rate: RateRange) -> Row:
    return [getattr(rate, name) for name in _RATE]


def _mixes(report: SeasonReport) -> Iterable[Row]:
    for line in report.mixes:
        codes = " ".join(one.code for one in line.warnings)
        for fruit, rate in (
            ("picked", line.picked),
            ("picked_deep", line.picked_deep),
            ("all_fruit", line.all_fruit),
        ):
            if rate:
                yield [report.season, line.mix.key, fruit, line.headline == fruit, *_rate(rate), codes]


def _trees(report: SeasonReport) -> Iterable[Row]:
    for line in report.trees:
        head = [
            report.season,
            line.garden,
            line.label,
            line.tree,
            line.cultivar,
            line.status,
            line.bags_put_on,
        ]
        for part in line.parts:
            yield [*head, *_part(part)]
        if not line.parts:
            yield [*head, *[None] * 15]


def _part(part: TreePart) -> Row:
    fruit = part.fruit
    days = [day for day in part.days if day]
    return [
        part.place,
        part.cover,
        part.source,
        part.mix,
        min(days, default=None),
        max(days, default=None),
        fruit.clean,
        fruit.sting,
        fruit.deep_entry,
        fruit.damaged,
        fruit.other_insect,
        fruit.other,
        fruit.not_sure,
        fruit.not_scored,
        part.total,
    ]


_CONTRAST = ("difference", "low", "high", "p", "holm_p", "lock_p", "welch_p")


def _contrasts(report: SeasonReport) -> Iterable[Row]:
    for line in report.contrasts:
        yield [
            report.season,
            line.key,
            line.grade.value,
            line.before_scoring,
            line.headline,
            *_sides(line),
            *(getattr(line, name) for name in _CONTRAST),
            " ".join(line.missing),
            " ".join(line.caps),
            " ".join(one.code for one in line.warnings),
        ]


def _sides(line: ContrastLine) -> Row:
    return [
        value
        for side in (line.side_a, line.side_b)
        for value in (side.trees, side.scored, side.damaged, side.rate)
    ]


def _costs(report: SeasonReport) -> Iterable[Row]:
    for line in report.costs:
        yield [
            report.season,
            line.method,
            line.trees,
            line.minutes,
            line.timed,
            line.untimed,
            line.people,
            line.money,
            line.bags,
        ]


def _traps(report: SeasonReport) -> Iterable[Row]:
    for trap in report.traps:
        for visit in trap.visits:
            yield [
                report.season,
                trap.garden,
                trap.label,
                trap.trap,
                visit.day,
                visit.state,
                visit.raw,
                visit.catch,
                visit.days,
                visit.per_week,
                visit.double_of,
            ]


_SIDES = tuple(f"{name}_{side}" for side in "ab" for name in ("trees", "scored", "damaged", "rate"))
TABLES: dict[str, tuple[tuple[str, ...], Callable[[SeasonReport], Iterable[Row]]]] = {
    "mixes": (("season", "mix", "fruit", "headline", *_RATE, "warnings"), _mixes),
    "trees": (
        (
            *("season", "garden", "label", "tree", "cultivar", "status", "bags_put_on"),
            *("place", "cover", "source", "mix", "first_day", "last_day"),
            *("clean", "sting", "deep_entry", "damaged", "other_insect", "other", "not_sure", "not_scored"),
            "in_all",
        ),
        _trees,
    ),
    "contrasts": (
        (
            *("season", "contrast", "grade", "named_before_scoring", "fruit"),
            *_SIDES,
            *_CONTRAST,
            *("missing", "caps", "warnings"),
        ),
        _contrasts,
    ),
    "costs": (
        ("season", "method", "trees", "minutes", "timed", "untimed", "people", "money", "bags"),
        _costs,
    ),
    "traps": (
        (
            *("season", "garden", "trap_label", "trap", "day", "state", "number_read", "catch", "days"),
            *("moths_a_week", "double_of"),
        ),
        _traps,
    ),
}
