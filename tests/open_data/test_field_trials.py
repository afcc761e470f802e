"""Each published trial goes through table, server, entries, fold and report, and comes out with its own counts.

Sources of the counts: demo/field_trials/SOURCES.md. Sources of the rates: the rows of tests/reference/stats_checks.json
(computed with R 4.2.2 from the same data).
"""

from collections import defaultdict

import pytest

from demo.field_trials.tables import TRIALS, lines_of, table_of
from shared_models.score_table.reading import read_score_table
from shared_models.vocabulary import Fruit

TRIAL_SEASONS = {
    "grapes": "1990",
    "seeds": "2026",
    "carrots-by-genotype": "2026",
    "carrots-by-insecticide": "1964",
}
AT_THE_EDGE = 1.5e-6  # reports round to six decimals, and the reference rows are good to one millionth


def paired(check):
    """Damaged and scored of a reference row, as a report has them."""
    return sorted(zip(check["x"], check["n"], strict=True))


def test_every_trial_has_a_season_here():
    assert set(TRIAL_SEASONS) == set(TRIALS)


@pytest.mark.parametrize("trial", TRIALS)
def test_every_line_of_a_trial_is_understood(trial):
    table = read_score_table(table_of(trial))
    assert (table.bad, table.not_used) == ([], [])


@pytest.mark.parametrize(("trial", "season"), TRIAL_SEASONS.items())
def test_a_second_import_changes_nothing(imported, trial, season):
    made = imported(trial, season)
    before = made.report().model_dump_json()
    assert made.again().changes == []
    assert made.report().model_dump_json() == before


def own_sums(trial_lines, tree, mix, damaged, scored):
    """Damaged and scored of every unit by treatment, added up here from the lines of the file."""
    sums: defaultdict[tuple[str, object], list[int]] = defaultdict(lambda: [0, 0])
    for line in trial_lines:
        unit = sums[mix(line), tree(line)]
        unit[0] += int(line[damaged])
        unit[1] += int(line[scored])
    found = defaultdict(list)
    for (treatment, _), (x, n) in sums.items():
        found[treatment].append((x, n))
    return {treatment: sorted(units) for treatment, units in found.items()}


def test_vines_come_out_with_their_published_counts(imported):
    made = imported("grapes", "1990")
    expected = own_sums(
        lines_of("hughes.grapes.txt"),
        lambda line: (line["block"], line["trt"], line["vine"]),
        lambda line: "untreated" if line["trt"] == "T1" else line["trt"].lower(),
        "diseased",
        "total",
    )
    assert made.counts() == expected
    assert {len(vines) for vines in made.counts().values()} == {9}
    assert sum(n for vines in expected.values() for _, n in vines) == sum(
        int(line["total"]) for line in lines_of("hughes.grapes.txt")
    )


@pytest.mark.parametrize(
    ("treatment", "mix"), [("T1", "untreated"), ("T2", "t2"), ("T4", "t4"), ("T6", "t6")]
)
def test_vine_rates_are_those_of_r(imported, checks, treatment, mix):
    check = checks[f"ratio_grapes_vine_{treatment}"]
    line = imported("grapes", "1990").mix(mix)
    assert sorted((share.damaged, share.scored) for share in line.trees) == paired(check["input"])
    assert line.picked.rate == pytest.approx(check["expected"]["rate"], abs=AT_THE_EDGE)
    assert (line.picked.trees, line.picked.scored) == (check["expected"]["k"], check["expected"]["N"])


def test_untreated_vines_are_declared_before_scoring_and_say_nothing_of_deep_entries(imported):
    report = imported("grapes", "1990").report()
    assert len(report.untreated) == 9
    assert not any(line.after_scoring_began for line in report.untreated)
    [untreated] = [line for line in report.mixes if line.mix.untreated]
    assert untreated.picked_deep is None
    assert report.scored.deep_entry == 0 and report.scored.damaged > 0
    assert report.unplaced == [] and report.not_recorded == []


SEEDS = {
    "O73_bean": "o73_bean",
    "O73_cucumber": "o73_cucumber",
    "O75_bean": "o75_bean",
    "O75_cucumber": "o75_cucumber",
}


def test_plates_come_out_with_their_published_counts(imported, checks):
    counts = imported("seeds", "2026").counts()
    methods = checks["shared_spread_seeds"]["input"]["methods"]
    assert counts == {SEEDS[name]: paired(check) for name, check in methods.items()}


def test_ranges_of_plates_are_the_shared_spread_ranges_of_r(imported, checks):
    made = imported("seeds", "2026")
    expected = checks["shared_spread_seeds"]["expected"]
    report = made.report()
    assert report.spread is not None
    assert report.spread.icc_raw == pytest.approx(expected["rho_pooled_raw"], abs=AT_THE_EDGE)
    assert report.spread.icc_shared == pytest.approx(expected["rho_shared"], abs=AT_THE_EDGE)
    assert report.spread.df == expected["df"]
    for of_r in expected["methods"]:
        found = made.mix(SEEDS[of_r["name"]]).picked
        assert (found.rate, found.low, found.high) == pytest.approx(
            (of_r["rate"], of_r["low"], of_r["high"]), abs=AT_THE_EDGE
        )
        assert found.icc_used == pytest.approx(of_r["rho_used"], abs=AT_THE_EDGE)
        assert found.design_effect == pytest.approx(of_r["deff"], abs=AT_THE_EDGE)
        assert found.effective_fruit == pytest.approx(of_r["n_eff"], abs=AT_THE_EDGE)


@pytest.mark.parametrize("name", ["O75_bean", "O73_bean", "O75_cucumber"])
def test_plate_rates_are_those_of_r(imported, checks, name):
    expected = checks[f"ratio_seeds_{name}"]["expected"]
    assert imported("seeds", "2026").mix(SEEDS[name]).picked.rate == pytest.approx(
        expected["rate"], abs=AT_THE_EDGE
    )


def test_plots_of_genotypes_come_out_with_their_counts_and_cultivars(imported, checks):
    made = imported("carrots-by-genotype", "2026")
    report = made.report()
    by_stratum: defaultdict[tuple[str, str], dict[str, tuple[float, float]]] = defaultdict(dict)
    damage = (Fruit.STING, Fruit.DEEP_ENTRY, Fruit.DAMAGED)
    for tree in report.trees:
        [part] = tree.parts
        treatment, genotype, block = tree.label.split("-")
        assert tree.cultivar == genotype
        fruit = part.fruit.model_dump()
        scored = sum(fruit[kind] for kind in (*damage, Fruit.CLEAN))
        by_stratum[block, genotype][treatment] = (sum(fruit[kind] for kind in damage), scored)
    strata = sorted([*one["T1"], *one["T2"]] for one in by_stratum.values())
    assert strata == sorted(checks["cmh_carrot"]["input"]["strata"])
    assert {line.mix.key: line.picked.trees for line in report.mixes} == {"t1": 48, "t2": 48}


def test_microplots_come_out_with_their_counts_and_two_untreated_ones_a_replicate(imported):
    made = imported("carrots-by-insecticide", "1964")
    expected = defaultdict(list)
    for line in lines_of("wheatley.carrot.txt"):
        mix = "untreated" if line["insecticide"] == "nil" else f"{line['insecticide']}_{line['depth']}"
        expected[mix.replace(".", "_")].append((int(line["damaged"]), int(line["total"])))
    assert made.counts() == {mix: sorted(plots) for mix, plots in expected.items()}
    assert made.mix("untreated").picked.trees == 6
    assert {line.picked.trees for line in made.report().mixes if not line.mix.untreated} == {3}


def test_a_corrected_shoot_changes_its_vine_alone(imported):
    made = imported("grapes", "1990")
    before = made.counts()
    corrected = made.table.replace("B1-T1-V1,untreated,14,1,", "B1-T1-V1,untreated,14,2,")
    assert corrected != made.table
    written = made.again(corrected).changes
    assert [(change.kind, set(change.fields)) for change in written] == [("number", {"n"})] * 2
    after = made.counts()
    assert sum(x for x, _ in after["untreated"]) == sum(x for x, _ in before["untreated"]) + 1
    assert {mix: vines for mix, vines in after.items() if mix != "untreated"} == {
        mix: vines for mix, vines in before.items() if mix != "untreated"
    }
