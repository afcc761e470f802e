"""The report over several seasons as plain text. Layout only; words are in year_words."""

from collections.abc import Iterator

from shared_models.language import say
from shared_models.report_words import warning_sentence
from shared_models.year_words import (
    figures_sentence,
    opinion_sentence,
    pooled_sentence,
    question,
    trap_sentence,
    traps_sentence,
    tree_name,
    tree_year_sentence,
    what_an_opinion_takes,
    year_sentence,
)
from shared_models.years.parts import YearsContrast, YearsReport


def years_as_text(report: YearsReport) -> str:
    """The whole report, ending in a line break."""
    parts = (_head, _contrasts, _trees, _traps)
    return "\n".join(line for part in parts for line in part(report)) + "\n"


def _head(report: YearsReport) -> Iterator[str]:
    yield say("Seasons {seasons}", seasons=", ".join(report.seasons) or "–")
    for warned in report.warnings:
        yield f"  ! {warning_sentence(warned)}"
    yield ""


def _contrasts(report: YearsReport) -> Iterator[str]:
    yield say("Years side by side, and together")
    if not report.contrasts:
        yield "  " + say("Nothing to show yet: no comparison was made in two seasons.")
    methods = {method.key: method for method in report.methods}
    for line in report.contrasts:
        yield f"  {question(line, methods)}"
        yield from _contrast(line)
    yield ""


def _contrast(line: YearsContrast) -> Iterator[str]:
    for year in line.years:
        yield f"    {year_sentence(year)}"
    if line.pooled:
        yield f"    {pooled_sentence(line.pooled)}"
        yield f"    {figures_sentence(line.pooled)}"
    for warned in line.warnings:
        yield f"    ! {warning_sentence(warned)}"


def _trees(report: YearsReport) -> Iterator[str]:
    if report.trees:
        yield say("What each tree gave for the work it took")
        yield f"  {what_an_opinion_takes()}"
    for line in report.trees:
        yield f"  {tree_name(line)}: {opinion_sentence(line)}"
        for year in line.years:
            yield f"    {tree_year_sentence(year)}"
    if report.trees:
        yield ""


def _traps(report: YearsReport) -> Iterator[str]:
    if report.traps:
        yield say("Traps of two seasons: catch times the flight, it does not measure damage")
    for trap in report.traps:
        yield f"  {trap_sentence(trap)}"
        for warned in trap.warnings:
            yield f"    ! {warning_sentence(warned)}"
    for both in report.traps_together:
        yield f"  {traps_sentence(both)}"
