"""The commands: ``buildalong new | check | simulate | layout | publish | netlist``, and studies."""

from buildalong.cli._main import cli, main

__all__ = ["cli", "main"]
