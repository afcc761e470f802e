"""The words of the demo in a terminal of a hundred columns: tables and paragraphs. Computes nothing."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence

from demo.checks import Check
from demo.comparison import Beside
from demo.noted import RowStage
from shared_models.language import say, say_many
from shared_models.report_words import methods_of, mix_name, percent, tree_name, warning_sentence
from shared_models.season.report_parts import SeasonReport, TrapLine

WIDTH = 98


def tell(text: str = "", indent: str = "") -> None:
    """Print a paragraph, wrapped."""
    lines = textwrap.wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent) or [""]
    print("\n".join(lines), flush=True)


def heading(text: str) -> None:
    """Print a heading."""
    print(f"\n{text}\n{'-' * len(text)}", flush=True)


def season_table(report: SeasonReport, lines: Sequence[Beside]) -> None:
    """The report's mixes beside what is true of them."""
    heading(
        say("Season {season}: what the report says, beside what is true (all invented)", season=report.season)
    )
    header = (
        say("method mix"),
        say("true %"),
        say("found %"),
        say("95 % range"),
        say("trees"),
        say("holds it"),
    )
    print(_row(*header))
    for line in headlines_first(lines):
        name = mix_name(line.mix.mix, methods_of(report))
        is_headline = line.of_all_fruit or not line.mix.all_fruit
        of_what = say("of all fruit") if line.of_all_fruit else say("of picked fruit")
        shown = f"{name}, {of_what}" if is_headline else f"    {of_what}"
        found = line.found
        print(
            _row(
                shown,
                percent(line.true_rate),
                percent(found.rate),
                f"{percent(found.low)}–{percent(found.high)}",
                str(found.trees),
                say("yes") if line.held else say("no"),
            )
        )
    tell()
    tell(
        say(
            "Damaged fruit drop more often than clean, so the true share among picked fruit is the lower one. "
            "{held} of {all} ranges hold what is true; of a hundred such ranges about five may miss it.",
            held=sum(line.held for line in lines),
            all=len(lines),
        )
    )


def _row(name: str, true: str, found: str, low_high: str, trees: str, held: str) -> str:
    return f"{name:<55}{true:>7}{found:>9}{low_high:>12}{trees:>6}  {held}".rstrip()


def headlines_first(lines: Sequence[Beside]) -> list[Beside]:
    """The lines mix by mix in their order, of all fruit before of picked fruit."""
    order = [line.mix.mix.key for line in lines]
    return sorted(lines, key=lambda line: (order.index(line.mix.mix.key), not line.of_all_fruit))


def read_with_it(report: SeasonReport) -> None:
    """The warnings of a season."""
    tell()
    tell(say("The report says with it:"))
    for warned in report.warnings:
        print(
            textwrap.fill(
                f"! {warning_sentence(warned)}", WIDTH, initial_indent="  ", subsequent_indent="    "
            )
        )


def not_compared(report: SeasonReport) -> None:
    """Trees in no comparison, and why."""
    lines = {line.tree: line for line in report.trees}
    silent = ", ".join(tree_name(lines[tree]) for tree in report.not_recorded)
    if silent:
        tell(
            say(
                "Season {season}, not recorded, which is never untreated: {trees}.",
                season=report.season,
                trees=silent,
            ),
            "  ",
        )
    for out in report.left_out:
        name = tree_name(lines[out.tree])
        tell(
            say(
                "Season {season}, left out: {tree}, because {reason}.",
                season=report.season,
                tree=name,
                reason=out.reason,
            ),
            "  ",
        )


def double_count(traps: Iterable[TrapLine]) -> None:
    """The visits on the day of a double count."""
    for trap in traps:
        doubled = {visit.double_of for visit in trap.visits if visit.double_of}
        for visit in trap.visits:
            if visit.visit in doubled or visit.double_of:
                found = say_many("{count} moth read", "{count} moths read", visit.raw or 0)
                counts = say("counts as {catch}", catch=visit.catch)
                tell(f"{trap.garden} · {trap.label}  {visit.day}  {found}, {counts}", "  ")


def row_stages(stages: Iterable[RowStage]) -> None:
    """How the doubled row looked before and after it was said to be one."""
    header = (say("trees"), say("double labels"), say("merged"), say("compared"))
    print(f"  {'':<40}" + "".join(f"{word:>14}" for word in header))
    for stage in stages:
        numbers = (stage.trees, stage.clashes, stage.merged, stage.compared)
        print(f"  {stage.when:<40}" + "".join(f"{number:>14}" for number in numbers))


def check(one: Check) -> None:
    """One check with its outcome."""
    mark = say("ok") if one.holds else say("NO")
    print(
        textwrap.fill(f"{mark}  {one.sentence}", WIDTH, initial_indent="  ", subsequent_indent="      "),
        flush=True,
    )
    for detail in one.details:
        tell(detail, "      ")
