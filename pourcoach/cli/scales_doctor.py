"""``pourcoach scales doctor``: why no scale is found, and what to do."""

import argparse

EXAMPLE = "pourcoach scales doctor"

# Peripherals that spare their battery advertise every second or two; a few chances each.
SEARCH_S = 6.0


def configure(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--no-bluetooth", action="store_true", help="look only at what is plugged in"
    )


def run(args: argparse.Namespace) -> int:
    # pyserial and bleak: only for those who look
    import asyncio
    import sys

    from pourcoach.scales.doctor import Machine, bluetooth_findings, serial_findings

    machine = Machine(sys.platform)
    findings = serial_findings(machine)
    if not args.no_bluetooth:
        findings += asyncio.run(bluetooth_findings(machine, SEARCH_S))
    for finding in findings:
        print(f"{'ok' if finding.good else '!!'}  {finding.what}")
        if finding.remedy:
            print(f"    → {finding.remedy}")
    return 0
