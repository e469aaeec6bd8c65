"""A scale by cable, as the app has it."""

from pathlib import Path

from pourcoach.scales.cable.serial_port import SerialConnector
from pourcoach.scales.dialect import line_dialect
from pourcoach.scales.link.supervised import Patience, SupervisedScale
from pourcoach.wire.description import SerialLine
from tests.scales.listener import QUICK, now


def supervised(target: Path | str, pace: Patience = QUICK) -> SupervisedScale:
    connector = SerialConnector(str(target), SerialLine(), line_dialect(), now)
    return SupervisedScale(f"serial:{target}", connector, now, pace)
