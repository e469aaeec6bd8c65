"""A connection to a broker that is made again whenever it is lost."""

import asyncio
import logging
import socket
import ssl
from collections.abc import Awaitable, Callable

import aiomqtt

from pourcoach.domain.printable import printable
from pourcoach.domain.units import Seconds
from pourcoach.sharing.room import PASSWORD_VARIABLE, Room

FIRST_WAIT_S: Seconds = 0.25
LONGEST_WAIT_S: Seconds = 8.0
# A peer that is gone without a word is noticed within one and a half of it (MQTT 5, 3.1.2.10).
KEEP_ALIVE_S = 5
TIMEOUT_S: Seconds = 10.0
# A wall that is held up for some seconds loses tiles, never memory.
MOST_WAITING = 5000
LONGEST_WHY = 160
# "Bad user name or password" and "not authorized" (MQTT 5, 3.2.2.2).
NO_ENTRY = (134, 135)

# What the client library would log is reported in sentences of our own; on a terminal that a screen
# draws on, it would stand in the middle of the picture.
_SILENT = logging.getLogger("pourcoach.sharing.broker")
_SILENT.addHandler(logging.NullHandler())
_SILENT.propagate = False


async def connected(
    room: Room,
    talk: Callable[[aiomqtt.Client], Awaitable[None]],
    report: Callable[[str | None], None],
    *,
    will: aiomqtt.Will | None = None,
) -> None:
    """Keep a connection to the broker until cancelled; what ``talk`` raises as MqttError, or its
    return, begins anew. ``report`` is called with why there is no connection, in a sentence, or
    None once there is.
    """
    tls = room.tls_context()
    wait_s = FIRST_WAIT_S
    while True:
        client = aiomqtt.Client(
            room.host,
            room.port,
            username=room.user,
            password=room.password,
            protocol=aiomqtt.ProtocolVersion.V5,
            will=will,
            keepalive=KEEP_ALIVE_S,
            timeout=TIMEOUT_S,
            tls_context=tls,
            # A tile is one small message, and waits for no other one.
            socket_options=[(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)],
            logger=_SILENT,
            max_queued_incoming_messages=MOST_WAITING,
            max_queued_outgoing_messages=MOST_WAITING,
        )
        try:
            async with client:
                report(None)
                wait_s = FIRST_WAIT_S
                await talk(client)
        except (aiomqtt.MqttError, OSError, ssl.SSLError, TimeoutError, ValueError) as error:
            task = asyncio.current_task()
            if task is not None and task.cancelling():
                # It was asked to end, and the goodbye failed.
                raise asyncio.CancelledError from None
            report(f"no connection to the broker {room.host}: {_why(error)}")
        await asyncio.sleep(wait_s)
        wait_s = min(2.0 * wait_s, LONGEST_WAIT_S)


def _why(error: Exception) -> str:
    said = printable(str(error), LONGEST_WHY)
    code = error.rc if isinstance(error, aiomqtt.MqttCodeError) else None
    if getattr(code, "value", None) in NO_ENTRY:
        return f"{said}; the user stands in the address, the password in {PASSWORD_VARIABLE}"
    return said
