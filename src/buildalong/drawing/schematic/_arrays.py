"""The arrays of the compiled placer.

Coordinates are cells; rectangles are user units.  Net 0 is the plus rail on row 0, net 1 the ground
rail on the last row.  Directions: 0 up, 1 right, 2 down, 3 left; a point's mask has a bit for each
direction in which a wire or a symbol's lead leaves it, and never more than three.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numba import njit

from buildalong.drawing.schematic._compiler import EntryCompiler, HelperCompiler

__all__ = ["BUCKETS", "GH", "GW", "Problem", "State", "Work", "copied", "entry", "helper", "new_work"]

GW, GH = 96, 64
"""Size of the grid."""
BUCKETS = 128
"""Of the router's queue; more than the dearest single step."""

helper: Any = njit(  # type: ignore[call-overload]
    nogil=True, no_cpython_wrapper=True, no_cfunc_wrapper=True, error_model="numpy", _nrt=False,
    pipeline_class=HelperCompiler,
)  # fmt: skip
"""For a function that only compiled functions call: it is kept with the one that calls it."""
entry: Any = njit(  # type: ignore[call-overload]
    cache=True,
    nogil=True,
    no_cfunc_wrapper=True,
    error_model="numpy",
    _nrt=False,
    pipeline_class=EntryCompiler,
)
"""For the function that Python calls: kept on disk."""


class Problem(NamedTuple):
    """What does not change while placing.

    Rows of the tables: ``t`` terminals: symbol, net, side (boxes), locked, price of a rail mark of
    its own, whether its rail does not draw it near, whether it is joined last (2: one of
    a row of stages); ``s`` symbols: first terminal, first variant, is a box, group, keeps its
    variant, keeps its place; ``v`` variants: first row in ``vt``, height, width
    (boxes), first rectangle, first blocked point, mirror image,
    side of the text; ``v_body`` their bodies; ``vt``: x, y, direction; ``g`` groups: first member,
    mate; ``f`` left of (``f_w`` weight); ``a`` above (``a_w``); ``near`` pairs that like to be
    close; ``line`` pairs that are to stand in line, ``alike`` side by side in the same position
    (100 times the price of another), ``column`` pairs whose texts like one side; ``copy``: symbols
    i, j, a, b, i is to a what j is to b; ``shape`` terminals that like the same place of their
    boxes; ``pair`` transistors that drive one output together; ``leg`` of a
    bridge: terminal of its load, upper and lower part; ``n_t0``, ``n_terms`` terminals of
    each net; ``rails`` whether plus and ground are rails; ``sheet`` what stands left of the first
    wire, and the width that can be printed.
    Tables of firsts have one column more than there are things.
    """

    t: Any
    s: Any
    v: Any
    v_cost: Any
    v_body: Any
    vt: Any
    rects: Any
    blocks: Any
    g: Any
    g_members: Any
    f: Any
    f_w: Any
    a: Any
    a_w: Any
    near: Any
    line: Any
    alike: Any
    column: Any
    copy: Any
    shape: Any
    pair: Any
    leg: Any
    n_t0: Any
    n_terms: Any
    rails: Any
    sheet: Any


class State(NamedTuple):
    """A placement.

    ``sym``: x, y, variant of each symbol; ``ter``: x, y from its symbol and direction of each
    terminal; ``size``: height (row of the ground rail), twice the mirror axis or 0.
    """

    sym: Any
    ter: Any
    size: Any


class Work(NamedTuple):
    """Scratch; after an evaluation ``node`` holds the wires and ``done`` how each terminal was joined.

    ``node``: net of the level wire, net of the upright wire, directions, blocked, part of a tree;
    ``way``: price, parent, stamp of each (point, direction); ``queue``: states and links of the
    buckets that begin at ``head``; ``done`` terminals (1 joined, 2 lost, 3 a mark of its own);
    ``epoch``: stamp of the search, steps of work so far; ``net_key``, ``net_order`` order of nets;
    ``span`` rectangle around the tree; ``box`` rectangles in place, ``owner`` their group and
    kind.
    """

    node: Any
    way: Any
    head: Any
    queue: Any
    done: Any
    epoch: Any
    net_key: Any
    net_order: Any
    span: Any
    box: Any
    owner: Any


def new_work(problem: Problem) -> Work:
    """Scratch arrays for a problem."""
    nodes = GW * GH
    terminals = problem.t.shape[1]
    nets = max(len(problem.n_t0) - 1, 2)
    boxes = len(problem.rects) + terminals
    return Work(
        np.zeros((5, nodes), np.int16), np.zeros((3, nodes * 4), np.int32), np.zeros(BUCKETS, np.int32),
        np.zeros((2, nodes * 12), np.int32), np.zeros(terminals, np.int64), np.zeros(2, np.int64),
        np.zeros(nets, np.float64), np.zeros(nets, np.int64),
        np.zeros(4, np.int64), np.zeros((boxes, 4), np.float64), np.zeros((boxes, 2), np.int64),
    )  # fmt: skip


def copied(state: State) -> State:
    """A copy that shares nothing."""
    return State(state.sym.copy(), state.ter.copy(), state.size.copy())
