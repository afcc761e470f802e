"""The comparisons of published trials come out of records, server and report as R gives their parts.

Sources: rows of tests/reference/stats_checks.json (computed with R 4.2.2 from the same data). Limits of a difference
are put together here from R's own limits by square-and-add (Newcombe 1998, Stat Med 17:873-890).
"""

import math

import pytest

from shared_models.calculations.verdict import Grade, Missing
from tests.open_data.test_field_trials import AT_THE_EDGE, SEEDS

TWICE_AT_THE_EDGE = 2 * AT_THE_EDGE


def contrasts(made):
    """The comparisons of the report between two named mixes or with a method and without."""
    return [line for line in made.report().contrasts if line.difference is not None]


def sides(line):
    """What trees of both sides had, each by itself."""
    if line.kind == "mixes":
        return "+".join(line.a.methods) or "untreated", "+".join(line.b.methods) or "untreated"
    return line.method, "untreated"


def test_plates_differ_as_their_rates_in_r_do_with_limits_from_those_of_r(imported, checks):
    of_r = {SEEDS[one["name"]]: one for one in checks["shared_spread_seeds"]["expected"]["methods"]}
    lines = contrasts(imported("seeds", "2026"))
    assert len(lines) >= 3
    for line in lines:
        a, b = (of_r[name] for name in sides(line))
        apart = a["rate"] - b["rate"]
        low = apart - math.hypot(a["rate"] - a["low"], b["high"] - b["rate"])
        high = apart + math.hypot(a["high"] - a["rate"], b["rate"] - b["low"])
        assert (line.difference, line.low, line.high) == pytest.approx(
            (apart, low, high), abs=TWICE_AT_THE_EDGE
        )


@pytest.mark.parametrize("treatment", ["T2", "T4", "T6"])
def test_vines_differ_from_untreated_ones_and_damage_is_prevented_as_r_s_rates_say(
    imported, checks, treatment
):
    rates = [checks[f"ratio_grapes_vine_{name}"]["expected"]["rate"] for name in (treatment, "T1")]
    lines = contrasts(imported("grapes", "1990"))
    [line] = [one for one in lines if sides(one) == (treatment.lower(), "untreated")]
    assert line.difference == pytest.approx(rates[0] - rates[1], abs=TWICE_AT_THE_EDGE)
    assert (line.side_a.trees, line.side_b.trees) == (9, 9)
    assert line.efficacy is not None
    assert line.efficacy.percent == pytest.approx(100 * (1 - rates[0] / rates[1]), abs=1e-3)


def test_nothing_that_was_not_named_beforehand_is_firm_however_clear(imported):
    for trial, season in (("grapes", "1990"), ("seeds", "2026"), ("carrots-by-genotype", "2026")):
        for line in contrasts(imported(trial, season)):
            assert line.grade is not Grade.FIRM and Missing.NOT_NAMED in line.missing


def test_plots_are_compared_within_their_genotypes_and_point_the_way_that_r_s_do(imported, checks):
    [line] = contrasts(imported("carrots-by-genotype", "2026"))
    assert (line.side_a.trees, line.side_b.trees, len(line.strata)) == (48, 48, 16)
    of_r = checks["cmh_carrot"]["expected"]  # first treatment less second, within genotype and block
    apart = of_r["mh_rd"] if sides(line) == ("t1", "t2") else -of_r["mh_rd"]
    assert line.difference is not None and line.low is not None and line.high is not None
    # Blocks are no strata here and plots weigh as effective counts, hence near and not equal.
    assert line.difference == pytest.approx(apart, abs=0.02)
    # R's range takes every root for itself; that of the report holds it.
    assert line.low < apart - 1.96 * of_r["mh_rd_se"] and line.high > apart + 1.96 * of_r["mh_rd_se"]
    assert line.p is not None and line.p < 0.001 and line.grade is Grade.LEANING
