"""The key of a certificate, against a library that reads all of it."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mobile.sync.certificate_key import public_key


@pytest.mark.needs_server
@pytest.mark.parametrize("kind", ["P-256", "P-384", "RSA", "Ed25519"])
def test_the_key_of_every_usual_kind_is_found(tmp_path: Path, kind: str):
    from tests.certificates import Certificates

    certificates = Certificates(tmp_path)
    made = certificates.make("orchard.example", *(f"tree{n}.example" for n in range(40)), kind=kind)
    assert public_key(made.der) == made.public_key


@pytest.mark.needs_server
def test_the_key_is_found_whoever_signed(tmp_path: Path):
    from tests.certificates import Certificates

    certificates = Certificates(tmp_path)
    made = certificates.make("orchard.example", signed_by=certificates.authority)
    assert public_key(made.der) == made.public_key != certificates.authority.public_key


@pytest.mark.needs_server
def test_half_a_certificate_has_no_key(tmp_path: Path):
    from tests.certificates import Certificates

    der = Certificates(tmp_path).authority.der
    for length in range(len(der)):
        with pytest.raises(ValueError, match="This"):
            public_key(der[:length])


@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused(data: bytes):
    with suppress(ValueError):
        assert public_key(data) in data
