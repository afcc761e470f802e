"""Where this phone keeps its data and what it is called. The lowest room: knows no other."""

import os
import platform
import sys
from dataclasses import dataclass
from pathlib import Path

from shared_models.errors import StoreError
from shared_models.language import say

DATA_VARIABLE = "POMEWARD_PHONE_DATA"
FILE = "phone.db"


@dataclass(frozen=True, slots=True)
class Settings:
    """The folder of the phone's data, and the name that others see for this device."""

    data: Path
    device_name: str

    @property
    def file(self) -> Path:
        """The file of the phone's records."""
        return self.data / FILE

    def make_folder(self) -> None:
        """Make the folder where it is not there yet; StoreError where that cannot be."""
        try:
            self.data.mkdir(mode=0o700, parents=True, exist_ok=True)
        except OSError as error:
            raise StoreError(
                say("The folder {folder} cannot be made; choose another one.", folder=self.data)
            ) from error


def settings_for(data: Path | None = None) -> Settings:
    """The settings of this device; a folder given here wins over the environment, that over the usual place."""
    named = os.environ.get(DATA_VARIABLE)
    folder = data or (Path(named) if named else usual_folder())
    return Settings(folder.expanduser(), platform.node()[:60] or "phone")


def usual_folder() -> Path:
    """Where programs of this system keep a person's data."""
    home = Path.home()
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA") or home / "AppData" / "Local") / "Pomeward"
    if sys.platform == "darwin":
        return home / "Library" / "Application Support" / "Pomeward"
    return Path(os.environ.get("XDG_DATA_HOME") or home / ".local" / "share") / "pomeward"
