"""Several seasons as the phone shows them: sentences and drawings, in the order of the page of years. Reads no record.

Offers `years_view` and `years_of_tree`; the report is made by years.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from shared_models import year_words
from shared_models.calculations.verdict import Grade
from shared_models.chart_shapes import Drawing, years_drawing
from shared_models.language import say
from shared_models.report_words import warning_sentence
from shared_models.seasons import Hemisphere
from shared_models.verdict_words import grade_name
from shared_models.years.parts import YearsContrast, YearsReport


@dataclass(frozen=True, slots=True)
class YearsCompared:
    """One comparison over the years; `grade` None where the seasons cannot be put together."""

    question: str
    grade: Grade | None
    grade_name: str
    sentences: tuple[str, ...]
    drawing: Drawing | None
    warnings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TreeOverYears:
    """One tree: what can be said of it, and a sentence for each season."""

    tree: str
    name: str
    opinion: str
    years: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class YearsView:
    """Everything that is shown of several seasons of one half of the earth."""

    half: Hemisphere
    seasons: tuple[str, ...]
    warnings: tuple[str, ...]
    contrasts: tuple[YearsCompared, ...]
    trees: tuple[TreeOverYears, ...]
    opinions_take: str
    traps: tuple[str, ...]


def years_view(report: YearsReport) -> YearsView:
    """The report in sentences and drawings."""
    return YearsView(
        report.hemisphere,
        tuple(report.seasons),
        tuple(map(warning_sentence, report.warnings)),
        tuple(_compared(report, line) for line in report.contrasts),
        tuple(_trees(report)),
        year_words.what_an_opinion_takes(),
        tuple(_traps(report)),
    )


def years_of_tree(view: YearsView, tree: str) -> TreeOverYears | None:
    """One tree over the years; None where nothing is known of it in any."""
    return next((line for line in view.trees if line.tree == tree), None)


def _compared(report: YearsReport, line: YearsContrast) -> YearsCompared:
    told = [year_words.year_sentence(year) for year in line.years]
    if line.pooled:
        told += [year_words.pooled_sentence(line.pooled), year_words.figures_sentence(line.pooled)]
    return YearsCompared(
        year_words.question(line, {method.key: method for method in report.methods}),
        line.pooled.grade if line.pooled else None,
        grade_name(line.pooled.grade) if line.pooled else say("not put together"),
        tuple(told),
        years_drawing(line, " ".join(told)),
        tuple(map(warning_sentence, line.warnings)),
    )


def _trees(report: YearsReport) -> Iterator[TreeOverYears]:
    for line in report.trees:
        years = tuple(map(year_words.tree_year_sentence, line.years))
        yield TreeOverYears(line.tree, year_words.tree_name(line), year_words.opinion_sentence(line), years)


def _traps(report: YearsReport) -> Iterator[str]:
    for trap in report.traps:
        yield " ".join([year_words.trap_sentence(trap), *map(warning_sentence, trap.warnings)])
    yield from map(year_words.traps_sentence, report.traps_together)
