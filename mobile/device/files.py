"""Files that leave the device and come to it: where they go, handing one to another app, choosing one. Knows no record.

The interface that screens see is `Files` in `mobile/screens/around.py`.
"""

import sys
import threading
import warnings
from collections.abc import Callable
from importlib.util import find_spec
from pathlib import Path
from shutil import which

from shared_models.errors import StoreError
from shared_models.language import say

Chosen = Callable[[str], None]

_DIALOGUES = ("zenity", "kdialog", "yad")  # programs that ask for a file on a desktop with a free system
_PROVIDER = ".fileprovider"  # as the app's manifest names it
_ZIP = "application/zip"


class DesktopFiles:
    """A computer: a copy is put into a folder, and the desktop's own dialogue asks for a file where there is one."""

    can_hand_out = False

    def folder(self) -> str:
        """The person's documents, else their home."""
        home = Path.home()
        documents = home / "Documents"
        return str(documents if documents.is_dir() else home)

    def hand_out(self, file: str) -> None:
        """There is nobody to hand it to."""
        raise StoreError(
            say("This device hands no files to other apps. The file is kept; take it from {file}.", file=file)
        )

    @property
    def can_choose(self) -> bool:
        """Whether a dialogue is there that asks for a file."""
        if find_spec("plyer") is None:
            return False
        if sys.platform in ("win32", "darwin"):
            return True
        return find_spec("distutils") is not None and any(map(which, _DIALOGUES))

    def choose(self, then: Chosen) -> None:
        """Ask for a file; `then` is told which, on another thread, or nothing at all where none was chosen."""
        threading.Thread(target=_ask, args=(then,), name="pomeward-choose", daemon=True).start()


class AndroidFiles:
    """A phone with Android. Was written from the platform's documentation and never ran on a device."""

    can_hand_out = can_choose = True

    def folder(self) -> str:
        """A place of the app's own, from where the system hands files to others."""
        from jnius import autoclass

        activity = autoclass("org.kivy.android.PythonActivity").mActivity
        folder = Path(activity.getFilesDir().getAbsolutePath()) / "copies"
        folder.mkdir(exist_ok=True)
        return str(folder)

    def hand_out(self, file: str) -> None:
        """Let the person choose the app that gets it: a mail, another phone nearby, a store of files."""
        from jnius import autoclass, cast

        activity = autoclass("org.kivy.android.PythonActivity").mActivity
        intents, provider = (
            autoclass("android.content.Intent"),
            autoclass("androidx.core.content.FileProvider"),
        )
        named = activity.getPackageName() + _PROVIDER
        address = provider.getUriForFile(activity, named, autoclass("java.io.File")(file))
        send = intents(intents.ACTION_SEND)
        send.setType(_ZIP)
        send.putExtra(intents.EXTRA_STREAM, cast("android.os.Parcelable", address))
        send.addFlags(intents.FLAG_GRANT_READ_URI_PERMISSION)
        activity.startActivity(intents.createChooser(send, None))

    def choose(self, then: Chosen) -> None:
        """The system's own list of files."""
        _ask(then)  # returns at once; the answer comes when the person is back


def files_here() -> DesktopFiles | AndroidFiles:
    """The files of this device."""
    return AndroidFiles() if hasattr(sys, "getandroidapilevel") else DesktopFiles()


def _ask(then: Chosen) -> None:
    def chosen(found: list[str] | None) -> None:
        if found and found[0]:
            then(found[0])

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it looks for its programs by a way that Python is giving up
        from plyer import filechooser

        filechooser.open_file(on_selection=chosen)
