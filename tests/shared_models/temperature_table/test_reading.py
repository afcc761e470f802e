"""Tables of temperatures: three layouts of one real series, guesses that are shown, and lines that are named."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared_models.errors import BadInputError, PomewardError, TooLargeError
from shared_models.language import together
from shared_models.temperature_table.reading import read_temperature_file, read_temperature_table
from shared_models.temperature_table.rows import AskedOfTable, Column, Layout, TemperatureTable
from tests.shared_models.calculations.seattle import FILE, seattle_days
from tests.shared_models.temperature_table.station_files import STATION, station_days, station_lines
from tests.strategies import law

ASKED = AskedOfTable()


def read(text: str, **asked: object) -> TemperatureTable:
    return read_temperature_table(text, AskedOfTable(**asked))  # type: ignore[arg-type]


def extremes(table: TemperatureTable) -> dict[date, tuple[float, float]]:
    return {row.day: (row.lowest, row.highest) for row in table.rows}


def sentences(table: TemperatureTable) -> dict[int, str]:
    return {line.line: line.sentence for line in table.bad}


REAL = {day: (told.minimum, told.maximum) for day, told in seattle_days().items()}


# ---------------------------------------------------------------- one real series in three layouts
def test_a_real_series_is_read_from_a_plain_table():
    table = read_temperature_file(FILE.read_bytes(), ASKED)
    assert (table.layout, table.unit, table.unit_guessed) == (Layout.PLAIN, "C", False)  # min_C tells it
    assert extremes(table) == REAL and table.bad == []


@pytest.mark.parametrize(
    ("write", "layout"), [(station_lines, Layout.STATION_LINES), (station_days, Layout.STATION_DAYS)]
)
def test_a_real_series_is_read_from_station_records_in_tenths(write, layout: Layout):
    table = read(write(seattle_days()))
    assert (table.layout, table.unit, table.origin) == (layout, "C", STATION)
    assert extremes(table) == REAL
    assert table.bad == [] and {row.habit for row in table.rows} <= {"midnight", None}


def test_a_value_that_failed_a_check_is_never_used_and_the_others_are():
    failed = date(2014, 7, 1)
    table = read(station_lines(seattle_days(), quality=[failed]))
    assert extremes(table) == {day: told for day, told in REAL.items() if day != failed}
    (line,) = table.bad
    assert line.sentence == "2014-07-01 is left out: TMAX failed a check of the weather service (flag I)."


def test_missing_and_half_days_of_a_station_are_named():
    table = read(
        f"{STATION},20260501,TMIN,-9999,,,W,\n{STATION},20260501,TMAX,211,,,W,\n{STATION},20260502,TMAX,20.5,,,W,\n"
        f"{STATION},20260503,TMIN,51,,,W,0700\n{STATION},20260503,TMAX,211,,,W,0700\n{STATION},2026\n"
    )
    assert extremes(table) == {date(2026, 5, 3): (5.1, 21.1)} and table.rows[0].habit == "morning"
    assert sentences(table) == {
        1: "2026-05-01 is left out: TMIN is missing.",
        3: "2026-05-02 is left out: “20.5” is no temperature in tenths of °C.",
        6: "This line has 2 cells and needs 4 to 8.",
    }


def test_of_several_stations_one_has_to_be_named():
    text = station_lines({date(2026, 5, 1): seattle_days()[date(2012, 5, 1)]})
    both = text + text.replace(STATION, "USC00000001")
    with pytest.raises(BadInputError, match="2 stations"):
        read(both)
    assert read(both, station="USC00000001").origin == "USC00000001"
    with pytest.raises(BadInputError, match="no line of the station"):
        read(both, station="USC00000002")


# ---------------------------------------------------------------- guesses
@pytest.mark.parametrize(
    ("text", "unit", "guessed"),
    [
        ("date,tmin,tmax\n2026-05-01,44,66\n", "F", True),
        ("date,tmin,tmax\n2026-05-01,6,19\n", "C", True),
        ("date,tmin (°F),tmax (°F)\n2026-01-01,30,40\n", "F", False),
        ("day;Lowest °C;Highest °C\n2026-05-01;6,5;19,5\n", "C", False),
    ],
)
def test_the_unit_is_told_or_guessed_and_the_guess_is_marked(text: str, unit: str, guessed: bool):
    table = read(text)
    assert (table.unit, table.unit_guessed) == (unit, guessed)


def test_the_unit_that_a_person_says_goes_before_a_guess():
    assert read("date,tmin,tmax\n2026-01-01,30,40\n", unit="F").unit == "F"


def test_columns_are_guessed_from_their_names_and_the_others_are_listed():
    table = read("date,precipitation,temp_max,temp_min,wind,weather\n2026-05-01,0.0,12.8,5.0,4.7,drizzle\n")
    assert table.columns == {Column.DAY: "date", Column.LOWEST: "temp_min", Column.HIGHEST: "temp_max"}
    assert table.not_used == ["precipitation", "wind", "weather"]
    assert extremes(table) == {date(2026, 5, 1): (5.0, 12.8)}


def test_two_columns_that_could_be_the_lowest_are_asked_about():
    text = "date,min shade,min grass,max\n2026-05-01,5,2,12\n"
    with pytest.raises(BadInputError, match="min shade, min grass"):
        read(text)
    assert extremes(read(text, columns={Column.LOWEST: "min grass"})) == {date(2026, 5, 1): (2, 12)}
    with pytest.raises(BadInputError, match="no column “min”"):
        read(text, columns={Column.LOWEST: "min"})


def test_a_table_without_a_highest_is_refused():
    with pytest.raises(BadInputError, match="no column for the highest"):
        read("date,min\n2026-05-01,5\n")


@pytest.mark.parametrize(
    ("days", "first"),
    [
        (("13/05/2026", "14/05/2026"), date(2026, 5, 13)),
        (("5/3/2026", "5/14/2026"), date(2026, 5, 3)),
        (("3.5.2026", "4.5.2026"), date(2026, 5, 3)),
        (("20260503", "20260504"), date(2026, 5, 3)),
        (("2026-05-03T00:00", "2026-05-04T00:00"), date(2026, 5, 3)),
    ],
)
def test_days_are_read_as_the_table_itself_tells(days: tuple[str, str], first: date):
    table = read("date,min,max\n" + "".join(f"{day},5,12\n" for day in days))
    assert table.rows[0].day == first and len(table.rows) == 2


def test_days_that_may_be_read_in_two_ways_are_not_guessed():
    with pytest.raises(BadInputError, match="two ways"):
        read("date,min,max\n03/05/2026,5,12\n04/05/2026,5,12\n")


# ---------------------------------------------------------------- lines
def test_bad_lines_are_named_and_good_ones_used():
    table = read(
        "date,min,max\n2026-05-01,5,12\n2026-05-02,15,12\n2026-05-03,,12\n2026-02-30,5,12\nsoon,5,12\n"
        "2026-05-06,-80,12\n2026-05-07,cold,12\n2026-05-01,6,12\n2026-05-01,5,12\n"
    )
    assert extremes(table) == {date(2026, 5, 1): (5, 12)}
    assert sentences(table) == {
        3: "The lowest, 15, lies above the highest, 12; one of them is wrong.",
        4: "“lowest” is empty; the day is left out.",
        5: "“2026-02-30” is no day from 1950 to 2100; write it as 2026-05-31.",
        6: "“soon” is no day from 1950 to 2100; write it as 2026-05-31.",
        7: together("No garden has had a day of -80 to 12 °C."),
        8: "“cold” is no temperature; the day is left out.",
        9: "This day stands in line 2 already, with other temperatures.",
    }


def test_days_before_the_first_one_wanted_are_passed_over():
    table = read(FILE.read_text(encoding="utf-8"), since=date(2015, 12, 30))
    assert [row.day for row in table.rows] == [date(2015, 12, 30), date(2015, 12, 31)]


def test_an_empty_or_endless_table_is_refused():
    with pytest.raises(BadInputError, match="empty"):
        read("\n\n")
    with pytest.raises(TooLargeError):
        read_temperature_file(b"x" * 40_000_001, ASKED)


@pytest.mark.parametrize("value", ["nan", "inf", "1e400"])
def test_what_is_no_number_of_any_thermometer_is_named(value: str):
    table = read(f"date,min,max\n2026-05-01,{value},12\n2026-05-02,5,12\n")
    assert len(table.rows) == 1 and list(sentences(table)) == [2]


# ---------------------------------------------------------------- whatever a file holds
cells = st.one_of(
    st.sampled_from(
        ["date", "tmin", "tmax", "TMIN", "TMAX", "STATION", "DATE", "TMIN_ATTRIBUTES", STATION, "20260501"]
    ),
    st.sampled_from(
        ["2026-05-01", "1/5/2026", "-9999", "12,5", "nan", "", "²", "١٢", "-0", "1e9", ",,W,0700"]
    ),
    st.text(max_size=8),
)
tables = st.lists(st.lists(cells, max_size=9), max_size=6)


@law
@given(tables, st.sampled_from([",", ";", "\t"]))
def test_any_table_is_read_or_refused_in_a_sentence(rows: list[list[str]], separator: str):
    text = "\n".join(separator.join(row) for row in rows)
    try:
        table = read(text)
    except PomewardError as refused:
        assert str(refused)
        return
    assert all(line.sentence for line in table.bad)
    assert all(row.lowest <= row.highest for row in table.rows)


@law
@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused_in_a_sentence(content: bytes):
    try:
        read_temperature_file(content, ASKED)
    except PomewardError as refused:
        assert str(refused)
