"""The invented seasons that the phone brings along: whole, marked, apart from real records, and never shared."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from mobile.bootstrap import Phone, invented, started
from mobile.settings import Settings
from mobile.workflows.first_start import begin, gardens
from mobile.workflows.invented import entries_of_file, make_invented
from mobile.workflows.season import report_of, season_choices
from mobile.workflows.today import today_view
from shared_models.errors import BadInputError
from shared_models.report_lists import INVENTED, gardens_of
from shared_models.reports import season_report
from shared_models.season_records import from_entries


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    """A folder of a phone."""
    return Settings(tmp_path / "data", "phone")


@pytest.fixture
def phone(settings: Settings) -> Iterator[Phone]:
    """The invented seasons, opened."""
    settings.make_folder()
    with invented(settings) as opened:
        yield opened


def test_every_entry_of_the_file_is_taken_in_and_read(phone):
    entries = list(entries_of_file())
    assert len(entries) > 1000
    assert phone.store.entries_held() == len(entries) + 1  # and the person who looks around
    assert {"2025/26", "2026"} <= set(season_choices(phone.store))
    assert (
        report_of(phone.store).season == "2026"
    )  # of the newest visit, though the south has begun its 2026/27


def test_the_report_is_that_of_the_entries_of_the_file(phone):
    from shared_models.entries import Entry

    entries = [Entry.model_validate(fields) for fields in entries_of_file()]
    for key in ("2025/26", "2026"):
        report = report_of(phone.store, key)
        assert report == season_report(from_entries(entries, key))
        assert report.mixes and report.contrasts and report.costs and report.trap_weeks


def test_everything_in_it_is_marked_as_invented(phone):
    assert all(INVENTED in garden.name for garden in gardens(phone.store))
    assert all(INVENTED in name for name in gardens_of(report_of(phone.store, "2026")))


def test_nothing_of_it_waits_to_be_shared_but_what_is_tried_out_and_that_is_never_sent(phone):
    assert phone.store.sharing().waiting == 1  # the person who looks around
    with pytest.raises(BadInputError, match="not connected"):
        phone.share()
    with pytest.raises(BadInputError, match="never shared"):
        phone.connect("http://127.0.0.1:9", "ABCDE-FGHJK-MNP")
    assert phone.store.membership.current() is None


def test_the_real_records_lie_in_another_file_and_know_nothing_of_it(settings):
    settings.make_folder()
    with started(settings) as real:
        begin(real.store, "Ida", "Europe/Rome")
    with invented(settings) as other:
        assert other.store.identity and other.settings.file != settings.file
    with started(settings) as real:
        assert real.store.entries_held() == 1 and season_choices(real.store) == []


def test_opened_again_it_is_as_it_was_left(settings):
    settings.make_folder()
    with invented(settings) as first:
        garden = gardens(first.store)[0].rec
        first.store.record("tree", {"label": "tried out", "garden": garden})
        held = first.store.entries_held()
    with invented(settings) as again:
        assert again.store.entries_held() == held


def test_a_making_that_was_broken_off_is_finished_at_the_next_opening(settings, monkeypatch):
    settings.make_folder()
    with monkeypatch.context() as broken:
        broken.setattr("mobile.workflows.invented.ZONE", "Nowhere/At all")
        with pytest.raises(BadInputError), invented(settings):
            pass
    with invented(settings) as again:
        assert again.store.entries_held() == len(list(entries_of_file())) + 1


def test_made_twice_it_is_made_once(phone):
    held = phone.store.entries_held()
    make_invented(phone.store)
    assert phone.store.entries_held() == held


def test_its_day_is_the_one_after_everything_in_it(phone):
    assert "October" in today_view(phone.store).day
    assert max(fields["entered"][:10] for fields in entries_of_file()) <= phone.store.now().date().isoformat()
