"""The command bench: try a lesson live in the browser."""

from __future__ import annotations

import click

from buildalong.cli._group import OK, UNREADABLE, lesson_command, print_findings
from buildalong.cli._show import say

__all__: list[str] = []


@lesson_command("buildalong bench examples/lighthouse")
@click.option(
    "--port", type=click.IntRange(0, 65535), default=0, help="Port on this machine; else a free one."
)
@click.option("--no-browser", is_flag=True, help="Print the address and open nothing.")
def bench(lesson: str, as_json: bool, port: int, no_browser: bool) -> int:
    """Try it live in the browser: press, probe, pull a lead out.

    A page of this machine alone: change the text and see at once what needs attention.  Ctrl-C ends it.
    """
    from buildalong.bench import serve
    from buildalong.finding import Finding, Severity, Unreadable

    def ready(address: str) -> None:
        import sys

        if as_json:
            import json

            key = address.partition("?key=")[2]
            say(json.dumps({"schema": 1, "address": address, "token": key, "findings": []}))
        else:
            say(f"the bench is at {address}")
            say("Ctrl-C ends it")
        sys.stdout.flush()
        if not no_browser:
            import webbrowser

            webbrowser.open(address)

    try:
        serve(lesson, port=port, ready=ready)
    except Unreadable as error:
        print_findings(error.findings, as_json)
        return UNREADABLE
    except OSError as error:
        text = f"the bench cannot listen on port {port}: {error.strerror}"
        found = Finding(Severity.FATAL, "port-taken", text, "leave --port out, or name another one")
        print_findings([found], as_json)
        return UNREADABLE
    return OK
