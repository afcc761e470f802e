"""Comparisons and costs of a season report as plain text. Layout only; words are in verdict_words."""

from collections.abc import Iterator, Mapping

from shared_models.language import say
from shared_models.report_words import methods_of, warning_sentence
from shared_models.season.report_parts import MethodNamed, SeasonReport
from shared_models.season.verdict_parts import ContrastLine
from shared_models.verdict_words import (
    cost_sentence,
    efficacy_sentence,
    grade_name,
    otherwise_sentence,
    question,
    saved_sentence,
    settle_sentence,
    statistics_sentence,
    verdict_sentence,
)


def contrasts_text(report: SeasonReport) -> Iterator[str]:
    """Every comparison with its verdict, what is to be read with it, and the figures behind it."""
    if not report.contrasts:
        return
    methods = methods_of(report)
    yield say("What can be said")
    for line in report.contrasts:
        yield from _contrast(line, report.season, methods)
    yield ""


def costs_text(report: SeasonReport) -> Iterator[str]:
    """What each method took."""
    if not report.costs:
        return
    methods = methods_of(report)
    yield say("What it took")
    for cost in report.costs:
        yield f"  {cost_sentence(cost, methods)}"
    yield ""


def _contrast(line: ContrastLine, season: str, methods: Mapping[str, MethodNamed]) -> Iterator[str]:
    yield f"  {question(line, methods)}: {grade_name(line.grade).upper()}"
    told = (
        verdict_sentence(line, season, methods),
        efficacy_sentence(line),
        saved_sentence(line),
        settle_sentence(line),
        *map(otherwise_sentence, line.otherwise),
    )
    for sentence in filter(None, told):
        yield f"    {sentence}"
    yield f"    {statistics_sentence(line)}"
    for warned in line.warnings:
        if warned.code not in line.caps:
            yield f"    ! {warning_sentence(warned)}"
