"""A short buzz and a click under the finger when something was recorded. Knows no screen and no record."""

import sys
from typing import Protocol

BUZZ_S = 0.035  # [s] felt through a glove without being a nuisance (common practice: 30 to 40 ms)


class Buzzer(Protocol):
    """What the device can do for a finger."""

    def buzz(self) -> None:
        """Shake shortly."""

    def click(self) -> None:
        """Sound like a key."""


class SilentBuzzer:
    """A computer: neither shakes nor clicks."""

    def buzz(self) -> None:
        """Nothing."""

    def click(self) -> None:
        """Nothing."""


class AndroidBuzzer:
    """A phone with Android. Was written from the platform's documentation and never ran on a device."""

    def buzz(self) -> None:
        """Shake for 35 ms."""
        from plyer import vibrator  # plyer looks for the device at import, which only a phone has

        vibrator.vibrate(BUZZ_S)

    def click(self) -> None:
        """The system's own key sound, as loud as the person set it."""
        from jnius import autoclass

        activity = autoclass("org.kivy.android.PythonActivity").mActivity
        audio = activity.getSystemService("audio")
        audio.playSoundEffect(autoclass("android.media.AudioManager").FX_KEYPRESS_STANDARD)


def buzzer_here() -> Buzzer:
    """The buzzer of this device."""
    return AndroidBuzzer() if hasattr(sys, "getandroidapilevel") else SilentBuzzer()
