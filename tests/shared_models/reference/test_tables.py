"""The published tables: every row has its source and mark, and nothing from memory passes for published."""

import pytest

from shared_models.reference.growth_stages import frost_damage, growth_stages
from shared_models.reference.published_events import Clock, event_named, published_events
from shared_models.reference.reading import HERE, Mark, rows_of
from shared_models.reference.work_rules import WorkRules, published_rules
from shared_models.vocabulary import Species

TABLES = sorted(path.stem for path in HERE.glob("*.csv"))


@pytest.mark.parametrize("table", TABLES)
def test_every_row_says_where_it_is_from_and_how_far_to_trust_it(table: str):
    for row in rows_of(table):
        assert row["source"].strip() and Mark(row["mark"])


@pytest.mark.parametrize("table", TABLES)
def test_every_table_is_described_beside_it(table: str):
    assert f"`{table}.csv`" in (HERE / "SOURCES.md").read_text(encoding="utf-8")


def test_degree_days_of_the_table_run_forwards_and_belong_to_the_clock_of_their_source():
    for row in rows_of("phenology"):
        if row["key"]:
            assert float(row["low_F"]) <= float(row["high_F"])
            assert row["counted_from"] == {"season": "1 Jan", "biofix": "biofix"}[row["clock"]]


def test_first_hatch_is_250_published_and_220_unchecked_after_biofix():
    """Knight 2007: 250 °F-days; 220 to 250 in a table of Utah, from memory."""
    event = event_named("first_hatch", Clock.BIOFIX)
    assert (round(event.low * 1.8), round(event.high * 1.8)) == (220, 250)
    assert {round(figure.low * 1.8) for figure in event.published} == {250}
    assert any("Knight 2007" in figure.source for figure in event.published)
    assert {round(figure.low * 1.8) for figure in event.unchecked} == {220, 250}


def test_first_hatch_is_425_from_the_first_of_january():
    event = event_named("first_hatch", Clock.SEASON)
    assert round(event.low * 1.8) == round(event.high * 1.8) == 425 and not event.unchecked


def test_first_moths_come_between_68_and_122_celsius_degree_days():
    """Jones, Doerr & Brunner 2008 (abstract): mean 96, range 68-122 °C-days from 1 January."""
    event = event_named("first_moths", Clock.SEASON)
    assert (round(event.low, 1), round(event.high, 1)) == (68.0, 122.0)


def test_no_computed_figure_and_no_end_is_ever_an_event():
    shown = {figure.source for event in published_events() for figure in event.figures}
    computed = {row["source"] for row in rows_of("phenology") if row["mark"] == Mark.COMPUTED}
    assert computed and not shown & computed
    ends = [row for row in rows_of("phenology") if row["event"].startswith(("100 %", "end of", "99 %"))]
    assert ends and not any(row["key"] for row in ends)


def test_an_event_that_nobody_has_published_is_an_error():
    with pytest.raises(KeyError):
        event_named("last_moth", Clock.SEASON)


def test_a_group_sets_a_rule_or_switches_it_off():
    rules = WorkRules({"drops_round": 14, "bag_check": None})
    assert rules.rule("drops_round").own and rules.value("drops_round") == 14
    assert rules.value("bag_check") is None and rules.value("lure_age") == 42
    assert not rules.rule("lure_age").own
    with pytest.raises(KeyError):
        rules.value("gum")


def test_rules_have_units_and_sources():
    assert all(rule.unit and rule.source and rule.value is not None for rule in published_rules().values())


def test_the_scale_has_its_48_codes_in_order():
    assert len(growth_stages()) == 48 and list(growth_stages()) == sorted(growth_stages())


@pytest.mark.parametrize(
    ("species", "code", "kills_10", "kills_90"),
    [
        (Species.APPLE, "53", -7.8, -12.2),  # green tip, 18 and 10 °F
        (Species.APPLE, "56", -2.8, -6.1),  # tight cluster, 27 and 21 °F
        (Species.CRAB_APPLE, "65", -2.2, -3.9),  # full bloom, 28 and 25 °F
        (Species.PEAR, "65", -2.2, -4.4),  # 28 and 24 °F
        (Species.PEAR, "55", -4.4, -9.4),  # 24 and 15 °F
    ],
)
def test_cold_by_stage_is_that_of_the_reprinted_tables(
    species: Species, code: str, kills_10: float, kills_90: float
):
    found = frost_damage(species, code)
    assert found and (found.kills_10, found.kills_90) == (kills_10, kills_90)


@pytest.mark.parametrize(("species", "code"), [(Species.QUINCE, "65"), (Species.APPLE, "75"), (None, "65")])
def test_where_the_tables_say_nothing_nothing_is_said(species: Species | None, code: str):
    assert frost_damage(species, code) is None


def test_celsius_and_fahrenheit_of_the_frost_table_agree():
    for row in rows_of("frost_damage"):
        for share in ("10", "90"):
            fahrenheit = float(row[f"kill{share}_C"]) * 1.8 + 32
            assert fahrenheit == pytest.approx(float(row[f"kill{share}_F"]), abs=0.15)
