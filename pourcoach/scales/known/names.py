"""Names that the user gives to scales: "station 3" in an address's place.

A name sticks to the device, not to its port: for a USB port the vendor, product and serial number
are kept beside the address, and the port is looked up anew each time.
"""

from dataclasses import dataclass, replace
from pathlib import Path

import tomli_w

from pourcoach.domain.checked_table import CheckedTable
from pourcoach.domain.errors import UsageError, WorkError, reason
from pourcoach.places import config_folder
from pourcoach.scales.address import ScaleAddress
from pourcoach.scales.cable.usb_identity import UsbIdentity, identity_at
from pourcoach.text_file import write_atomically

LONGEST_NAME = 40


@dataclass(frozen=True, slots=True)
class NamedScale:
    """A name's scale."""

    name: str
    address: str
    usb: UsbIdentity | None = None
    """None where the port is no USB port, or its device has no serial number."""


def names_path() -> Path:
    """Where the names are kept."""
    return config_folder() / "scale-names.toml"


def scale_address(text: str) -> ScaleAddress:
    """The address that a text stands for, be it a name or an address.

    Raises UsageError where it is neither, WorkError where a named device is not plugged in or
    the names cannot be read.
    """
    if ":" in text:
        return ScaleAddress.parse(text)
    named = read_names().get(text)
    if named is None:
        looks_like_a_port = text.startswith("/dev/") or text.upper().startswith("COM")
        raise UsageError(
            f"{text!r} is neither a scale address nor a name given to one",
            f"write serial:{text}"
            if looks_like_a_port
            else "use serial:PORT, ble:NAME, sim:PROFILE, kettle: or tape:FILE; 'pourcoach scales' "
            "lists names",
        )
    address = ScaleAddress.parse(named.address)
    return address if named.usb is None else _at_its_port_now(address, named.name, named.usb)


def give_name(name: str, text: str, *, over: bool = False) -> NamedScale:
    """Keep a name for the scale at an address; with ``over``, one that another has moves there.

    Raises UsageError for what is no name or no address, WorkError where another scale has it.
    """
    if not name.strip() or len(name) > LONGEST_NAME or not name.isprintable() or ":" in name:
        raise UsageError(
            f"{name!r} is no name for a scale",
            f"use 1 to {LONGEST_NAME} characters and no colon",
        )
    address = ScaleAddress.parse(text)
    usb = identity_at(address.target) if address.kind == "serial" else None
    named = NamedScale(name, text, usb if usb is not None and usb.serial_number else None)
    names = read_names()
    if not over and names.get(name, named) != named:
        raise WorkError(
            f"{name!r} is the name of {names[name].address}",
            "choose another name, or move it with --force",
        )
    _write_names(names | {name: named})
    return named


def take_name_away(name: str) -> None:
    """Forget a name. Raises UsageError where it is not known."""
    names = read_names()
    if name not in names:
        raise UsageError(f"no scale is called {name!r}", "'pourcoach scales' lists the names")
    del names[name]
    _write_names(names)


def read_names() -> dict[str, NamedScale]:
    """All names. Raises WorkError where the file is there and cannot be read."""
    path = names_path()
    try:
        table = CheckedTable.from_toml("the file", path.read_text(encoding="utf-8"))
        return {name: _named(name, table.table(name)) for name in table.all_keys()}
    except FileNotFoundError:
        return {}
    except OSError as error:
        raise WorkError(f"cannot read the names of scales {path}: {reason(error)}") from None
    except UnicodeDecodeError as error:
        raise WorkError(
            f"cannot read the names of scales {path}: {reason(error)}", "mend or delete the file"
        ) from None
    except UsageError as error:
        raise WorkError(
            f"cannot read the names of scales {path}: {error.what}", "mend or delete the file"
        ) from None


def _named(name: str, table: CheckedTable) -> NamedScale:
    """Raises UsageError for what is no scale's entry."""
    address, usb = table.text("address"), None
    if "usb" in table:
        try:
            usb = UsbIdentity.parse(table.text("usb"))
        except ValueError:
            raise table.wrong("usb", "is no identity of a device") from None
    return NamedScale(name, address, usb)


def _write_names(names: dict[str, NamedScale]) -> None:
    path = names_path()
    data = {
        named.name: {"address": named.address} | ({"usb": named.usb.text} if named.usb else {})
        for named in names.values()
    }
    write_atomically(path, tomli_w.dumps(data))


def _at_its_port_now(address: ScaleAddress, name: str, usb: UsbIdentity) -> ScaleAddress:
    device = usb.port_now()
    if device is None:
        raise WorkError(f"{name!r} is not plugged in", "'pourcoach scales' lists what is there")
    query = "".join(f"&{key}={value}" for key, value in address.options.items())
    text = f"serial:{device}" + query.replace("&", "?", 1)
    return replace(address, target=device, text=text)
