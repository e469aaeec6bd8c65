"""Keys of the sound, on every screen where there is some."""

from collections.abc import Iterator
from typing import Any

from textual.app import App, SystemCommand
from textual.binding import Binding, BindingType

from pourcoach.session.protocols import SoundControls
from pourcoach.tui.widgets.text_row import Keys

BINDINGS: list[BindingType] = [
    Binding("s", "mute", "Mute the sound, or let it be heard again"),
    Binding("v", "louder", "Sound louder, and from the loudest to the softest"),
]


def with_sound(app: App[Any], keys: Keys) -> Keys:
    """A row's keys with those of the sound, where the app has some, before the last."""
    sound: SoundControls | None = getattr(app, "sound", None)
    if sound is None:
        return keys
    mute = ("s", "Unmute" if sound.muted else "Mute")
    return (*keys[:-1], mute, ("v", f"Louder ({sound.volume:.0%})"), *keys[-1:])


def sound_commands(app: App[Any]) -> Iterator[SystemCommand]:
    """The palette's entries."""
    if getattr(app, "sound", None) is not None:
        for binding in BINDINGS:
            assert isinstance(binding, Binding)
            action = getattr(app, f"action_{binding.action}")
            yield SystemCommand(binding.description, f"Key {binding.key}", action)
