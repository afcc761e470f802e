"""The plan of an import of temperatures: the same records from every place, differences only, and what was typed."""

import pytest

from shared_models.errors import BadInputError
from shared_models.fold import DELETED
from shared_models.language import together
from shared_models.records.jobs import DayTemperature
from shared_models.records.kinds import check_fields
from shared_models.temperature_table.planning import TemperaturePlan, plan_temperatures
from shared_models.temperature_table.preview import temperature_preview
from shared_models.temperature_table.reading import read_temperature_table
from shared_models.temperature_table.rows import AskedOfTable
from tests.builders import FieldPhone
from tests.shared_models.score_table.bare_group import BareGroup

TABLE = "date,min,max\n2026-05-01,5.5,12\n2026-05-02,6,30\n"


class Group(BareGroup):
    """A garden, and imports of temperatures into it."""

    def __init__(self) -> None:
        phone = FieldPhone()
        self.garden = phone.garden("Hill")
        super().__init__([self.garden], phone)

    def temperatures(self, text: str = TABLE, **asked: object) -> TemperaturePlan:
        """Import a table; every entry passes the checks of its kind."""
        told = AskedOfTable(**asked)  # type: ignore[arg-type]
        plan = plan_temperatures(read_temperature_table(text, told), self, told)
        for change in plan.changes:
            assert check_fields(change.kind, change.fields, change.new) == []
            made = self.phone.makes(change.kind, change.fields)
            self.entries.append(made.model_copy(update={"rec": change.rec}))
        return plan


@pytest.fixture
def group() -> Group:
    return Group()


def test_each_day_becomes_a_record_as_it_stands_in_the_table(group: Group):
    group.temperatures(habit="morning")
    told = {one.when: one for one in group.all(DayTemperature)}
    assert told["2026-05-01"].lowest == 5.5 and told["2026-05-02"].highest == 30
    assert {(one.unit, one.origin, one.habit) for one in told.values()} == {("C", "table", "morning")}


def test_twice_is_nothing_new_and_a_correction_writes_its_differences(group: Group):
    group.temperatures()
    assert group.temperatures().changes == []
    (change,) = group.temperatures(TABLE.replace("6,30", "6,29")).changes
    assert change.fields == {"highest": 29} and not change.new


def test_an_undone_day_comes_back(group: Group):
    first = group.temperatures().changes[0]
    made = next(entry for entry in group.entries if entry.rec == first.rec)
    group.entries.append(group.phone.undoes(made))
    assert [change.fields for change in group.temperatures().changes] == [{DELETED: False}]


def test_two_sources_of_one_day_are_two_records(group: Group):
    group.temperatures(origin="Station")
    group.temperatures(origin="School")
    assert len(group.all(DayTemperature)) == 4


def test_what_was_typed_is_told_in_the_preview(group: Group):
    said = {"garden": group.garden.rec, "when": "2026-05-01", "lowest": 5, "highest": 13, "unit": "C"}
    group.entries.append(group.phone.makes("day_temperature", said))
    plan = group.temperatures()
    assert plan.typed == 1
    assert temperature_preview(plan) == together(
        "Hill, from “table”: a line for each day.\n"
        "The day is the column “date”.\n"
        "The lowest temperature is the column “min”.\n"
        "The highest temperature is the column “max”.\n"
        "Temperatures are in °C: a guess from the numbers, since no column says so. Say the unit if it is the other "
        "one.\n"
        "2 days from 2026-05-01 to 2026-05-02; 0 days between them are missing.\n"
        "  2026-05-01: 5.5 to 12 °C\n"
        "  2026-05-02: 6 to 30 °C\n"
        "1 of these days was typed by somebody too; what was typed goes before the table.\n"
        "To write: 2 new days, 0 changed.\n"
    )


def test_lines_that_do_not_seem_to_fit_are_taken_and_questioned(group: Group):
    plan = group.temperatures("date,min,max\n2026-05-01,40,77\n", unit="C")
    assert plan.table.bad == [] or plan.changes == []
    cold = group.temperatures("date,min,max\n2026-05-01,10,25\n", unit="F")
    assert len(cold.changes) == 1 and "was it °C?" in temperature_preview(cold)


def test_an_unknown_or_unclear_garden_is_asked_about(group: Group):
    with pytest.raises(BadInputError, match="no garden “Vale”"):
        group.temperatures(garden="Vale")
    group.entries.append(group.phone.garden("Vale"))
    with pytest.raises(BadInputError, match="not clear which garden"):
        group.temperatures()
    assert group.temperatures(garden="Hill").garden == group.garden.rec
