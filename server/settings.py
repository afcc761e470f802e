"""What the server is told from outside: its folder, its database, where it listens. The lowest layer; imports nobody."""

import os
from collections.abc import Mapping
from pathlib import Path

from pydantic import BaseModel, ConfigDict, Field

PREFIX = "POMEWARD_"


class Settings(BaseModel):
    """Settings of one server; every one can be given as an environment variable, `POMEWARD_PORT` for `port`.

    Encrypted it is with a certificate of its own, which phones know by its key, or with one from an authority that they
    trust (two files). `address` is how others reach it, where that is not plain from host and port: behind a reverse
    proxy on the same machine it begins with https, while the server itself listens on loopback without encryption.
    """

    model_config = ConfigDict(frozen=True)

    data: Path = Path("pomeward-data")
    database_url: str = ""
    host: str = "127.0.0.1"
    port: int = Field(default=8745, ge=0, le=65535)
    own_certificate: bool = False
    certificate: Path | None = None
    certificate_key: Path | None = None
    address: str = Field(default="", pattern=r"^(https://[^\s/@?#\\]+(/[^\s@?#\\]*)?)?$")

    @property
    def database(self) -> str:
        """The SQLAlchemy address of the database: the one given, else a file in the data folder."""
        return self.database_url or f"sqlite:///{self.data / 'server.sqlite'}"

    @property
    def encrypted(self) -> bool:
        """Whether the server itself speaks TLS."""
        return self.own_certificate or self.certificate is not None

    @property
    def scheme(self) -> str:
        """What its own address begins with."""
        return "https" if self.encrypted else "http"

    @property
    def behind_proxy(self) -> bool:
        """Whether a reverse proxy in front of it does the encryption."""
        return not self.encrypted and self.address.startswith("https:")

    @property
    def reach_note(self) -> Path:
        """The file in which `serve` notes how the server is reached."""
        return self.data / "reach.json"

    @property
    def code_key(self) -> Path:
        """The file with the key of one-time codes; it stays outside the database."""
        return self.data / "code.key"


def settings_from(environment: Mapping[str, str] = os.environ) -> Settings:
    """Read the settings; pydantic's ValidationError where one cannot be taken."""
    given = {name: environment.get(PREFIX + name.upper()) for name in Settings.model_fields}
    return Settings.model_validate({name: value for name, value in given.items() if value})
