"""The phone as a command on a computer: `pomeward-phone`. Parses, calls, prints; knows no rules.

Without a command it opens the window, where Kivy is installed and there is a display; else it tells what is here.
"""

import argparse
import os
import sys
from collections.abc import Sequence
from datetime import date
from importlib.util import find_spec
from pathlib import Path

from mobile.bootstrap import Phone, started
from mobile.settings import Settings, settings_for
from mobile.storage.outbox import SharingState
from mobile.workflows.apart import apart
from mobile.workflows.saved_records import saved_in_words, was_read
from mobile.workflows.sharing import unread_in_words
from mobile.workflows.timing import season_timing_of
from mobile.workflows.years import years_of
from shared_models.entries import Entry
from shared_models.errors import BadInputError, PomewardError
from shared_models.language import say, say_many
from shared_models.records.gardens import Garden, Tree
from shared_models.report_text import as_text
from shared_models.reports import season_report
from shared_models.timing_text import timing_as_text
from shared_models.years_text import years_as_text


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns 0, or 1 after saying in a sentence what was wrong."""
    asked = _parser().parse_args(arguments)
    try:
        if asked.do is _tell and window_can_open():
            _open_window(settings_for(asked.data))
            return 0
        with started(settings_for(asked.data)) as phone:
            asked.do(phone, asked)
    except PomewardError as error:
        print(error, file=sys.stderr)
        return 1
    return 0


def window_can_open() -> bool:
    """Whether Kivy is installed and something is there to draw on."""
    if find_spec("kivy") is None:
        return False
    named = any(os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "SDL_VIDEODRIVER"))
    return named or sys.platform in ("win32", "darwin")


def _open_window(settings: Settings) -> None:
    """Stay until the window is closed. Kivy reads its own settings when it is imported, hence the order."""
    settings.make_folder()
    own = {"KIVY_NO_ARGS": "1", "KIVY_NO_FILELOG": "1", "KIVY_LOG_MODE": "PYTHON"}
    for name, value in (own | {"KIVY_HOME": str(settings.data / "kivy")}).items():
        os.environ.setdefault(name, value)
    from mobile.app import run

    run(settings)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="pomeward-phone",
        description=say(
            "What people do in the garden, kept on this device first. Without a command the window is opened."
        ),
    )
    parser.add_argument("--data", type=Path, metavar="DIR", help=say("the folder of this phone's data"))
    parser.set_defaults(do=_tell)
    commands = parser.add_subparsers(title=say("commands"), metavar="COMMAND")
    begin = commands.add_parser("begin", help=say("first start: say who you are"))
    begin.add_argument("name", metavar="NAME", help=say("your name or initials"))
    begin.add_argument("--zone", required=True, help=say("time zone of the gardens, such as Europe/Rome"))
    begin.set_defaults(do=_begin)
    connect = commands.add_parser("connect", help=say("become a device of a group"))
    connect.add_argument("url", metavar="URL", help=say("address of the group's server, or the one text"))
    connect.add_argument(
        "code", metavar="CODE", nargs="?", default="", help=say("the one-time code from the coordinator")
    )
    connect.set_defaults(do=_connect)
    share = commands.add_parser("share", help=say("exchange with the group's server now"))
    share.set_defaults(do=_share)
    season = commands.add_parser("season", help=say("which method kept fruit undamaged"))
    season.add_argument("key", metavar="KEY", help=say("2026 in the north, 2026/27 in the south"))
    season.add_argument("--json", action="store_true", help=say("the report for programs"))
    season.set_defaults(do=_season)
    years = commands.add_parser("years", help=say("seasons side by side, and what each tree gave"))
    years.add_argument("--json", action="store_true", help=say("the same for programs"))
    years.set_defaults(do=_years)
    timing = commands.add_parser("timing", help=say("degree-days, biofix and what comes next"))
    timing.add_argument("key", metavar="KEY", help=say("2026 in the north, 2026/27 in the south"))
    timing.add_argument("--day", type=date.fromisoformat, metavar="DAY", help=say("as known on this day"))
    timing.add_argument("--json", action="store_true", help=say("the same for programs"))
    timing.set_defaults(do=_timing)
    history = commands.add_parser("history", help=say("what was recorded, newest first"))
    history.add_argument("--limit", type=int, default=50, metavar="N")
    history.set_defaults(do=_history)
    return parser


def _tell(phone: Phone, asked: argparse.Namespace) -> None:
    """What is on this phone; what was saved from a damaged file comes first, and once."""
    for sentence in saved_in_words(phone.store):
        print(sentence)
    if phone.store.safe_keeping.saved():
        was_read(phone.store)
    if phone.store.identity is None:
        print(say("Nothing is on this phone yet; begin with: pomeward-phone begin NAME --zone Europe/Rome"))
        return
    gardens, trees = len(phone.store.all(Garden)), len(phone.store.all(Tree))
    print(
        say_many("{count} garden", "{count} gardens", gardens)
        + ", "
        + say_many("{count} tree", "{count} trees", trees)
    )
    for line in _sharing(phone, phone.store.sharing()):
        print(line)
    seasons = phone.store.season_keys()
    if seasons:
        print(say("Seasons: {keys}", keys=", ".join(seasons)))
    print(say("The window needs Kivy and a display; --help tells what this command can do without it."))


def _sharing(phone: Phone, state: SharingState) -> list[str]:
    member = phone.store.membership.current()
    if member is None:
        lines = [
            say_many("{count} record on this phone only", "{count} records on this phone only", state.waiting)
        ]
    else:
        lines = [
            say("Group “{group}” at {server}", group=member.group_name, server=member.server),
            say_many("{count} not shared", "{count} not shared", state.waiting)
            + (say(", last exchange {when}", when=state.exchanged_at) if state.exchanged_at else ""),
        ]
    found = apart(phone.store)
    return [
        *lines,
        *(say("Needs a look: {kind}: {why}", kind=one.kind, why=one.sentence) for one in state.needs_a_look),
        *(
            say("Set on two phones without knowing of each other: {what}", what=one.told.what)
            for one in found.edits
        ),
        *(one.told.what for one in found.counts),
        *([unread_in_words(state.unread)] if state.unread else []),
    ]


def _begin(phone: Phone, asked: argparse.Namespace) -> None:
    phone.store.begin(asked.name, asked.zone)
    print(say("This phone is {name}'s now.", name=asked.name))


def _connect(phone: Phone, asked: argparse.Namespace) -> None:
    reply = phone.connect(asked.url, asked.code)
    print(say("This phone is a device of the group “{group}” now.", group=reply.group_name))


def _share(phone: Phone, asked: argparse.Namespace) -> None:
    outcome = phone.share()
    print(say("{pushed} shared, {pulled} new from others.", pushed=outcome.pushed, pulled=outcome.pulled))
    if outcome.clock_ahead:
        print(say("This phone's clock is off by {by}; set it right.", by=outcome.clock_ahead))
    for line in _sharing(phone, phone.store.sharing()):
        print(line)


def _season(phone: Phone, asked: argparse.Namespace) -> None:
    report = season_report(phone.store.season(asked.key))
    print(report.model_dump_json() if asked.json else as_text(report), end="\n" if asked.json else "")


def _years(phone: Phone, asked: argparse.Namespace) -> None:
    found = years_of(phone.store)
    print(found.model_dump_json() if asked.json else years_as_text(found), end="\n" if asked.json else "")


def _timing(phone: Phone, asked: argparse.Namespace) -> None:
    found = season_timing_of(phone.store, asked.key, asked.day)
    print(found.model_dump_json() if asked.json else timing_as_text(found), end="\n" if asked.json else "")


def _history(phone: Phone, asked: argparse.Namespace) -> None:
    if asked.limit < 1:
        raise BadInputError(say("Ask for at least one line of history."), "limit")
    for entry in phone.store.history(asked.limit):
        print(_line(entry))


def _line(entry: Entry) -> str:
    said = ", ".join(f"{name}={value}" for name, value in entry.f.items())
    return f"{entry.entered}  {entry.kind}  {said}"


if __name__ == "__main__":
    sys.exit(main())
