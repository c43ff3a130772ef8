"""What is measured, in words."""

from __future__ import annotations

__all__ = ["TITLES"]

TITLES = {
    "on_time": "on-time",
    "off_time": "off-time",
    "period": "period",
    "frequency": "frequency",
    "duty": "duty cycle",
    "pulse_width": "pulse width",
    "delay": "delay",
    "count": "count",
    "first_on": "first on",
    "high": "high level",
    "low": "low level",
    "max": "largest voltage",
    "min": "least voltage",
    "mean": "mean voltage",
    "rms": "RMS voltage",
    "current": "current",
    "peak_current": "peak current",
    "min_current": "least current",
    "mean_current": "mean current",
    "rms_current": "RMS current",
    "power": "power",
    "max_power": "largest power",
    "energy": "energy",
    "brightness": "brightness",
    "supply_current": "supply current",
}
"""Measure -> its title: the messages for it."""
