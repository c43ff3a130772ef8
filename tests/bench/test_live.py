"""The loop that runs the circuit beside the clock, without a network."""

from __future__ import annotations

import asyncio
from pathlib import Path

import pytest

from buildalong.bench._errands import Errands
from buildalong.bench._live import LiveBoard
from buildalong.bench._tab import Tab, Tabs


@pytest.mark.parametrize("turns", range(6))
def test_it_ends_even_where_it_was_about_to_look(turns: int) -> None:
    """Whatever turn of the loop it is in when the bench is closed: a nudge does not keep it alive."""

    async def closed() -> None:
        tabs, errands = Tabs(), Errands()
        live = LiveBoard(Path(), tabs)

        async def say(text: str) -> None:
            """Nobody hears."""

        tabs.open.add(Tab(say))
        errands.begin(live.run())
        await asyncio.sleep(0.005)
        live.look_again()
        for _ in range(turns):
            await asyncio.sleep(0)
        await asyncio.wait_for(errands.end(), 5)
        live.stop()

    asyncio.run(closed())
