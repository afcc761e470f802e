"""When the phone looks after its file: after an exchange and at the end, never for invented seasons."""

from pathlib import Path

import pytest

from mobile.bootstrap import invented, started
from mobile.settings import Settings
from mobile.storage.unsent import Unsent
from tests.mobile.phones import mark, picking_visit


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    """A phone's folder that is not there yet."""
    return Settings(tmp_path / "data", "phone")


def copies(settings: Settings) -> list[str]:
    return sorted(path.name for path in settings.data.rglob("*backup*"))


def test_the_end_of_the_app_is_a_moment_for_the_days_copy(settings: Settings) -> None:
    with started(settings) as phone:
        phone.store.begin("Ida", "Europe/Rome")
        assert copies(settings) == []
    assert copies(settings) == ["phone.db.backup-1"]


def test_an_app_that_breaks_looks_after_its_file_all_the_same(settings: Settings) -> None:
    with pytest.raises(RuntimeError, match="broken"), started(settings) as phone:
        phone.store.begin("Ida", "Europe/Rome")
        raise RuntimeError("broken")
    assert copies(settings) == ["phone.db.backup-1"]


def test_of_invented_seasons_there_is_no_copy(settings: Settings) -> None:
    settings.make_folder()
    with invented(settings):
        pass
    assert copies(settings) == []


@pytest.mark.needs_server
def test_after_an_exchange_there_is_a_copy_and_the_list_of_what_is_not_shared_is_empty(
    settings: Settings, tmp_path: Path
) -> None:
    from tests.mobile.sync.served import serving

    unsent = Unsent(settings.data / "phone.db.unsent")
    with serving(tmp_path / "server") as served, started(settings) as phone:
        phone.store.begin("Ida", "Europe/Rome")
        mark(phone.store, picking_visit(phone.store))
        phone.connect(served.url, served.code())
        assert len(list(unsent.bodies())) == 5
        assert phone.share().pushed == 5
        assert list(unsent.bodies()) == [] and unsent.owner() == phone.store.identity
        assert copies(settings) == ["phone.db.backup-1"]
