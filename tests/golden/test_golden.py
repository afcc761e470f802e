"""What each release wrote is kept byte for byte by this program, and it tells the same of it: by the fold alone, on a
phone and on a server. What a release could not read stays unread and is kept as well."""

from __future__ import annotations

import gzip
import json
from collections import Counter
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from mobile.storage.phone_store import PhoneStore
from shared_models.entries import canonical_text
from shared_models.protocol import PullReply, PushState
from shared_models.store import entry_log
from shared_models.store.tables import OWN_GROUP
from tests.golden import write
from tests.golden.invented_years import NEVER_REACHED, UNKNOWN_KIND
from tests.golden.replaying import (
    FROZEN,
    LOG,
    LOOKED_AT,
    RELEASED,
    TOLD,
    GoldenLog,
    as_plain,
    correct,
    differences,
    entries_of,
    golden_log,
    releases,
    told_of_bare,
    told_of_season,
    told_of_timing,
)
from tests.mobile.pages import EPOCH, TIME

if TYPE_CHECKING:
    from tests.contracts.stores import ServerStore

PAGE, BATCH = 97, 500


@pytest.fixture(params=releases())
def log(request: pytest.FixtureRequest) -> GoldenLog:
    return golden_log(request.param)


def pages(texts: list[str]) -> Iterator[PullReply]:
    """The texts as a server of that time sends them, page by page."""
    for since in range(0, len(texts), PAGE):
        items = [
            f'{{"seq":{seq},"entry":{text}}}'
            for seq, text in enumerate(texts[since : since + PAGE], since + 1)
        ]
        stands = (
            f'"epoch":"{EPOCH}","server_time":"{TIME}","digest":"","since":{since},"to":{since + len(items)}'
        )
        yield PullReply.model_validate_json(f'{{{stands},"max":{len(texts)},"items":[{",".join(items)}]}}')


def none(found: Iterator[str]) -> None:
    """No difference; the first few where there are any."""
    assert not (several := list(found)[:10]), several


def compared(log: GoldenLog) -> dict[str, Any]:
    """What a release told, without what the log says of itself."""
    return {part: log.told[part] for part in ("state", "seasons", "timings")}


# ---------------------------------------------------------------- the same is told
def test_texts_are_still_the_canonical_ones(log: GoldenLog):
    assert [canonical_text(entry) for entry in entries_of(log.texts)] == log.texts


def test_the_fold_alone_tells_the_same(log: GoldenLog):
    none(differences(compared(log), told_of_bare(entries_of(log.texts))))


def test_a_phone_keeps_it_byte_for_byte_and_tells_the_same(log: GoldenLog, tmp_path: Path):
    with closing(PhoneStore(tmp_path / "phone.db")) as phone:
        for page in pages(log.texts):
            phone.incoming.take(page)
        with phone._database.reading() as core:
            kept = entry_log.page(core, OWN_GROUP, 0, len(log.texts) + 1)
        assert [one.body for one in kept] == log.texts
        told = {
            "state": {rec: plain_of_phone(phone, rec) for rec in log.told["state"]},
            "seasons": {key: told_of_season(phone.season(key)) for key in LOOKED_AT},
            "timings": {key: told_of_timing(phone.few.timing_ground(key), key) for key in LOOKED_AT},
        }
        none(differences(compared(log), told))
        unread = {entry.rec for entry in entries_of(set(log.texts) - set(log.known))}
        assert phone.sharing().unread == len(unread) and phone.sharing().needs_a_look == []


def plain_of_phone(phone: PhoneStore, rec: str) -> dict[str, Any]:
    record = phone.folded(rec)
    assert record, rec
    return as_plain(record)


@pytest.mark.needs_server
def test_a_server_keeps_it_byte_for_byte_and_tells_the_same(log: GoldenLog, server: ServerStore):
    from server.services.season_report import SeasonReports

    assert push_all(server, log.texts) == Counter(
        {PushState.SHARED: len(log.known), PushState.LATER: len(log.texts) - len(log.known)}
    )
    assert [one.body for one in server.page(0, len(log.texts))] == log.known
    none(differences(compared(log), told_of_server(server, log)))
    SeasonReports(server.database, server.group.id).rebuild()
    none(differences(compared(log), told_of_server(server, log)))


def push_all(server: ServerStore, texts: list[str]) -> Counter[PushState]:
    """Push them in their order; how many got which answer."""
    answers: Counter[PushState] = Counter()
    for at in range(0, len(texts), BATCH):
        reply = server.exchange.push(texts[at : at + BATCH], server.exchange.epoch())
        answers.update(result.state for result in reply.results)
    return answers


def told_of_server(server: ServerStore, log: GoldenLog) -> dict[str, Any]:
    from server.services.season_report import SeasonReports
    from server.services.timings import Timings

    reports = SeasonReports(server.database, server.group.id)
    timings = Timings(server.database, server.group.id)
    return {
        "state": {rec: as_plain(found) for rec in log.told["state"] if (found := server.folded(rec))},
        "seasons": {key: json.loads(reports.report(key).model_dump_json()) for key in LOOKED_AT},
        "timings": {
            key: {day: json.loads(timings.timing(key, day).model_dump_json()) for day in days}
            for key, days in LOOKED_AT.items()
        },
    }


# ---------------------------------------------------------------- what a log holds
def test_a_log_holds_every_kind_several_times_with_edits_and_undos_and_what_is_not_known(log: GoldenLog):
    entries = entries_of(log.texts)
    kinds = Counter(entry.kind for entry in entries)
    assert all(kinds[kind] >= 3 for kind in log.told["kinds"]), kinds
    assert sum(not entry.creates for entry in entries) > 50
    assert {entry.f.get("_del") for entry in entries} >= {True, False}
    assert any(entry.kind == UNKNOWN_KIND for entry in entries)
    assert any(entry.v == NEVER_REACHED for entry in entries)
    for key in LOOKED_AT:
        told = log.told["seasons"][key]
        assert len(told["trees"]) >= 6 and len(told["mixes"]) >= 2 and told["traps"] and told["warnings"]
        assert any(garden["clocks"] for day in log.told["timings"][key].values() for garden in day["gardens"])


def test_no_log_was_written_again():
    frozen = json.loads((RELEASED / FROZEN).read_text(encoding="utf-8"))
    assert frozen == {release: write.digests(RELEASED / release) for release in releases()}


def test_a_log_is_small(log: GoldenLog):
    assert all((RELEASED / log.release / name).stat().st_size < 300_000 for name in (LOG, TOLD))


def test_the_script_writes_no_log_that_is_there(log: GoldenLog, capsys: pytest.CaptureFixture[str]):
    before = write.digests(RELEASED / log.release)
    assert write.main([log.release]) == 1 and "never written again" in capsys.readouterr().err
    assert write.digests(RELEASED / log.release) == before


def test_the_script_writes_a_log_that_replays(tmp_path: Path):
    assert write.main(["9.0.0"], tmp_path) == 0
    told = json.loads(gzip.decompress((tmp_path / "9.0.0" / TOLD).read_bytes()))
    texts = gzip.decompress((tmp_path / "9.0.0" / LOG).read_bytes()).decode().splitlines()
    none(differences(told["state"], told_of_bare(entries_of(texts))["state"]))
    assert list(json.loads((tmp_path / FROZEN).read_text(encoding="utf-8"))) == ["9.0.0"]


# ---------------------------------------------------------------- how it is compared
@pytest.mark.parametrize(
    ("then", "now", "differ"),
    [
        ({"a": 1}, {"a": 1, "new": 2}, False),  # more may be told
        ({"a": 1, "gone": 2}, {"a": 1}, True),
        ({"a": [1, {"b": 0.1}]}, {"a": [1, {"b": 0.1 + 1e-12}]}, False),
        ({"a": [1, {"b": 0.1}]}, {"a": [1, {"b": 0.1001}]}, True),
        ([1, 2], [1, 2, 3], True),
        ([1, 2], [2, 1], True),
        ("one", "One", True),
        (1, True, True),
        (None, 0, True),
        ({}, [], True),
    ],
)
def test_whatever_was_told_then_must_be_told_now(then: object, now: object, differ: bool):
    assert bool(list(differences(then, now))) is differ


def test_a_correction_stands_where_something_was_told():
    told = {"seasons": {"2026": {"mixes": [{"rate": 0.1}]}}}
    correct(told, ["seasons", "2026", "mixes", 0, "rate"], 0.2)
    assert told == {"seasons": {"2026": {"mixes": [{"rate": 0.2}]}}}
    with pytest.raises((KeyError, IndexError)):
        correct(told, ["seasons", "2027"], None)
