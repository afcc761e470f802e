"""Several seasons on a phone alone: the report that the bare entries give."""

from contextlib import closing
from pathlib import Path

from sqlalchemy import create_engine

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.years import years_of, years_text
from shared_models.entries import seal
from shared_models.season_records import from_entries
from shared_models.seasons import Hemisphere
from shared_models.store import entry_log, state
from shared_models.store.tables import OWN_GROUP
from shared_models.years_report import years_report
from tests.shared_models.years.years_of import SmallYears


def test_a_phone_says_of_years_what_the_bare_entries_say(tmp_path: Path) -> None:
    years = SmallYears()
    trees = years.planted(8)
    for year in ("2025", "2026"):
        years.named(year)
        years.year(year, trees[:4], trees[4:], (2, 12))
    with closing(PhoneStore(tmp_path / "phone.sqlite")) as phone:
        phone.begin("Ada", "Europe/Rome")
        engine = create_engine(f"sqlite:///{tmp_path / 'phone.sqlite'}")
        with engine.begin() as connection:
            entry_log.append(connection, OWN_GROUP, [seal(entry) for entry in years.entries])
            state.refold_touched(connection, OWN_GROUP)
        engine.dispose()
        expected = [from_entries(years.entries, key) for key in ("2025", "2026")]
        assert years_of(phone) == years_report(expected, Hemisphere.NORTH)
        assert years_of(phone, Hemisphere.SOUTH).seasons == []
        assert years_text(phone).startswith("Seasons 2025, 2026")


def test_an_empty_phone_has_no_years(phone: PhoneStore) -> None:
    assert years_of(phone).contrasts == [] and "Nothing to show yet" in years_text(phone)
