"""Runs when the board starts. Puts pins, converter, links and scale together."""

import sys

import micropython
import settings
from bridge_adc import BridgeAdc
from machine import Pin, disable_irq, enable_irq
from pour_scale import PourScale
from serial_link import SerialLink


def run():
    serial = SerialLink(sys.stdin.buffer, sys.stdout.buffer)
    links = [serial]
    if settings.BLUETOOTH:
        import bluetooth
        from bluetooth_link import BluetoothLink

        links.append(BluetoothLink(bluetooth.BLE(), bluetooth.UUID, settings.NAME))
    adc = BridgeAdc(
        Pin(settings.CLOCK_PIN, Pin.OUT),
        [Pin(number, Pin.IN) for number in settings.DATA_PINS],
        disable_irq=disable_irq,
        enable_irq=enable_irq,
    )
    scale = PourScale(
        adc,
        links,
        settings.ADC_RATE_HZ,
        settings.SETTLE_READINGS,
        settings.COUNTS_PER_G,
        settings.EMPTY_COUNTS,
    )
    micropython.kbd_intr(-1)  # one byte 3 from the host is no reason to stop; two in a row are
    try:
        while not serial.interrupted:
            scale.step()
    finally:
        # Back at the prompt, also after a fault, Ctrl+C does what it always does.
        micropython.kbd_intr(3)


run()
