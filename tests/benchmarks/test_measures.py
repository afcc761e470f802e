"""Every measure runs and gives ratios. How fast anything is, is asserted nowhere: the machine may be busy."""

from __future__ import annotations

import json
import math

import pytest

from tests.benchmarks.__main__ import MEASURES, main, run
from tests.benchmarks.measuring import Ratio, Times, at_least, at_most, in_turns, percentile
from tests.benchmarks.season_written import sealed_entries
from tests.benchmarks.sizes import TINY


@pytest.mark.parametrize("name", MEASURES)
def test_each_measure_gives_ratios_of_what_both_sides_took(name: str):
    ratios = run(name, TINY, rounds=1)
    assert ratios
    for one in ratios:
        assert one.floor > 0 and one.subject > 0 and math.isfinite(one.ratio), one
        assert one.note and one.unit


def test_the_answer_is_one_json_printed_and_written(tmp_path, capsys):
    file = tmp_path / "ratios.json"
    assert main(["--only", "rebuild", "--rounds", "1", "--json", str(file)], TINY) == 0
    printed = json.loads(capsys.readouterr().out)
    assert printed == json.loads(file.read_text(encoding="utf-8"))
    (line,) = printed["ratios"]
    assert line["ratio"] == pytest.approx(line["subject"] / line["floor"], rel=2e-3)
    assert line["met"] is (line["ratio"] <= line["target"]["value"])


def test_a_missed_target_is_an_exit_code_only_when_asked(monkeypatch, capsys):
    missed = Ratio("slow", 1.0, 9.0, "ms", at_most(2), "nine for one")
    monkeypatch.setitem(MEASURES, "rebuild", lambda sizes, rounds, folder: [missed])
    assert main(["--only", "rebuild"], TINY) == 0
    assert main(["--only", "rebuild", "--check"], TINY) == 1


@pytest.mark.parametrize(
    ("target", "ratio", "met"),
    [
        (at_most(2.5), 2.5, True),
        (at_most(2.5), 2.6, False),
        (at_least(0.4), 0.4, True),
        (at_least(0.4), 0.3, False),
    ],
)
def test_a_target_is_the_most_of_a_cost_or_the_least_of_a_rate(target, ratio: float, met: bool):
    assert Ratio("one", 1.0, ratio, "ms", target, "").met is met


def test_without_a_target_nothing_is_met_or_missed():
    assert Ratio("one", 1.0, 2.0, "ms", None, "").met is None


def test_floor_and_subject_take_turns_and_each_begins_as_often():
    calls: list[str] = []
    times = in_turns([(lambda: calls.append("floor"), lambda: calls.append("subject"))] * 4)
    assert calls == ["floor", "subject", "subject", "floor"] * 2
    assert len(times.floor) == len(times.subject) == 4


def test_medians_rates_and_the_slowest_in_a_hundred_come_from_the_turns():
    times = Times(floor=[1.0, 2.0, 30.0], subject=[3.0, 4.0, 5.0])
    assert times.medians("one", "s", 1, None, "").ratio == 2
    assert times.rates("one", 10, "things/s", None, "").ratio == 0.5
    assert times.slowest_in_hundred("one", "s", 1, None, "").ratio == pytest.approx(5 / 30)


def test_a_percentile_is_a_value_that_so_many_do_not_exceed():
    assert percentile([float(n) for n in range(1, 201)], 0.99) == 198
    assert percentile([7.0], 0.99) == 7


def test_what_is_written_is_mostly_marks_with_visits_and_picks():
    kinds = [one.entry.kind for one in sealed_entries(500)]
    assert kinds.count("mark") > 0.8 * len(kinds)
    assert {"visit", "pick", "number"} <= set(kinds)
