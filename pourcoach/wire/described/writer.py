"""A scale description into TOML."""

from typing import Any

import tomli_w

from pourcoach.wire.description import (
    BinaryLayout,
    ScaleCommands,
    ScaleDescription,
    Transport,
)


def write_description(description: ScaleDescription) -> str:
    """TOML that ``read_description`` reads back to an equal value."""
    data: dict[str, Any] = {"name": description.name, "transport": description.transport.value}
    data["factor"] = description.factor
    data["unit"] = description.unit
    if description.on_change:
        data["on_change"] = True
    if description.transport is Transport.SERIAL:
        serial = description.serial
        data["serial"] = {
            "baud": serial.baud,
            "bits": serial.bits,
            "parity": serial.parity,
            "stop": serial.stop,
        }
    if description.gatt is not None:
        gatt = description.gatt
        data["gatt"] = {"service": gatt.service, "notify": gatt.notify}
        if gatt.write is not None:
            data["gatt"]["write"] = gatt.write
    if description.line is not None:
        line = description.line
        data["line"] = {
            "pattern": line.template,
            "decimal": line.decimal,
            "stable_word": line.stable_word,
        }
    if description.layout is not None:
        data["layout"] = _layout_data(description.layout)
    commands = description.commands
    if commands != ScaleCommands():
        data["commands"] = {
            key: {"hex": value.hex(" ")}
            for key, value in (
                ("start", commands.start),
                ("tare", commands.tare),
                ("poll", commands.poll),
            )
            if value is not None
        }
        data["commands"]["poll_hz"] = commands.poll_hz
        if commands.rates:
            data["commands"]["rate"] = {
                str(rate): {"hex": value.hex(" ")} for rate, value in commands.rates.items()
            }
    return tomli_w.dumps(data)


def _layout_data(layout: BinaryLayout) -> dict[str, Any]:
    data: dict[str, Any] = {"length": layout.length}
    if layout.start:
        data["start"] = layout.start.hex(" ")
    for key, place in (
        ("weight", layout.weight),
        ("sequence", layout.sequence),
        ("device_ms", layout.device_ms),
    ):
        if place is not None:
            data[key] = {"offset": place.offset, "kind": place.kind.value, "order": place.order}
            if place.length:
                data[key]["length"] = place.length
    for key, test in (("negative", layout.negative), ("stable", layout.stable)):
        if test is not None:
            data[key] = {"offset": test.offset, "mask": test.mask}
            if test.equals is not None:
                data[key]["equals"] = test.equals
    if layout.checksum is not None:
        checksum = layout.checksum
        data["checksum"] = {
            "kind": checksum.kind.value,
            "offset": checksum.offset,
            "begin": checksum.begin,
        }
        if checksum.size > 1:
            data["checksum"]["order"] = checksum.order
    return data
