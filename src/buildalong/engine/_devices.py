"""Device equations: current and slope of diodes, transistors and curves, with step limiting.

Series resistances stand inside the devices: the junction voltage is the unknown, and the linear
resistance is eliminated from the linearised equation, which is Newton's method on the larger
system with the inner node eliminated.  Equations and sources: docs/engine.md.
"""

# ruff: noqa: E741 - I and F are the two arrays of _slots.py
from __future__ import annotations

import math
from typing import Any

from buildalong.engine import _slots as s
from buildalong.engine._jit import kernel

__all__ = [
    "curve_eval", "curve_update", "diode_eval", "diode_update", "junction", "junction_step",
    "transistor_eval", "transistor_update",
]  # fmt: skip

KNEE = 0.01
"""Half width [V] of the parabola that rounds each corner of a curve."""


@kernel("UniTuple(float64, 2)", "float64", "float64", "float64")
def junction(v: float, saturation: float, nvt: float) -> tuple[float, float]:
    """Current [A] and conductance [S] of an ideal junction; linear beyond 40 nVT over 1 kA·IS."""
    x = v / nvt
    if x > 80.0:
        e = math.exp(80.0)
        g = saturation * e / nvt
        return saturation * (e - 1.0) + g * (v - 80.0 * nvt), g
    if x < -40.0:
        return -saturation, 0.0
    e = math.exp(x)
    return saturation * (e - 1.0), saturation * e / nvt


@kernel("float64", "float64", "float64", "float64", "float64")
def junction_step(new: float, old: float, nvt: float, critical: float) -> float:
    """Limit one Newton step of a junction voltage (Nagel 1975, the logarithmic rule)."""
    if new > critical and abs(new - old) > 2.0 * nvt:
        if old > 0.0:
            arg = 1.0 + (new - old) / nvt
            return old + nvt * math.log(arg) if arg > 0.0 else critical
        return nvt * math.log(new / nvt)
    return new


@kernel("void", "F", "int64", "float64")
def diode_eval(F: Any, p: int, v: float) -> None:
    """Linearise the diode with parameters at ``p`` about the junction voltage ``v`` [V]."""
    i, g = junction(v, F[p + s.D_IS], F[p + s.D_NVT])
    u = -(v + F[p + s.D_BV])
    if u > -40.0 * F[p + s.D_NBV]:
        ib, gb = junction(u, F[p + s.D_IBV], F[p + s.D_NBV])
        i -= ib + F[p + s.D_IBV]
        g += gb
    g += 1e-12
    i += 1e-12 * v
    d = 1.0 + F[p + s.D_RS] * g
    F[p + s.D_G] = g / d
    F[p + s.D_J] = (i - g * v) / d


@kernel("float64", "F", "int64", "float64", "float64")
def diode_update(F: Any, p: int, old: float, terminal: float) -> float:
    """New junction voltage from the terminal voltage of the solved linear system, limited."""
    new = terminal - F[p + s.D_RS] * (F[p + s.D_G] * terminal + F[p + s.D_J])
    nbv = F[p + s.D_NBV]
    if new < -F[p + s.D_BV] + 10.0 * nbv:
        bv = F[p + s.D_BV]
        return float(-bv - junction_step(-(new + bv), -(old + bv), nbv, 10.0 * nbv))
    return junction_step(new, old, F[p + s.D_NVT], F[p + s.D_VCRIT])


@kernel("void", "F", "int64", "float64", "float64")
def transistor_eval(F: Any, p: int, vbe: float, vbc: float) -> None:
    """Linearise base and collector current about the inner junction voltages (NPN sense)."""
    fwd, gf = junction(vbe, F[p + s.Q_IS], F[p + s.Q_NFVT])
    rev, gr = junction(vbc, F[p + s.Q_IS], F[p + s.Q_NRVT])
    # base charge: Early effect of the collector junction and high-level injection
    q1 = 1.0 - vbc / F[p + s.Q_VAF]
    dq1 = -1.0 / F[p + s.Q_VAF]
    if q1 < 0.1:
        q1, dq1 = 0.1, 0.0
    ikf = F[p + s.Q_IKF]
    root = math.sqrt(1.0 + 4.0 * max(fwd, 0.0) / ikf)
    droot = (2.0 / ikf) * gf / root if fwd > 0.0 else 0.0
    qb = 0.5 * (1.0 + root) / q1
    dqb_be = 0.5 * droot / q1
    dqb_bc = -qb * dq1 / q1
    transfer = (fwd - rev) / qb
    dt_be = (gf - transfer * dqb_be) / qb
    dt_bc = (-gr - transfer * dqb_bc) / qb
    leak_e, ge = junction(vbe, F[p + s.Q_ISE], F[p + s.Q_NEVT])
    leak_c, gc = junction(vbc, F[p + s.Q_ISC], F[p + s.Q_NCVT])
    be = fwd / F[p + s.Q_BF] + leak_e + 1e-12 * vbe
    gbe = gf / F[p + s.Q_BF] + ge + 1e-12
    bc = rev / F[p + s.Q_BR] + leak_c + 1e-12 * vbc
    gbc = gr / F[p + s.Q_BR] + gc + 1e-12
    u = -(vbe + F[p + s.Q_BV])
    if u > -40.0 * F[p + s.Q_NBV]:
        ia, ga = junction(u, F[p + s.Q_IBV], F[p + s.Q_NBV])
        be -= ia + F[p + s.Q_IBV]
        gbe += ga
    ib, ic = be + bc, transfer - bc
    g11, g12, g21, g22 = gbe, gbc, dt_be, dt_bc - gbc
    # eliminate the resistances of base, collector and emitter: y = x + Z·J(x)
    z11, z12 = F[p + s.Q_RB] + F[p + s.Q_RE], F[p + s.Q_RE]
    z21, z22 = F[p + s.Q_RB], -F[p + s.Q_RC]
    m11, m12 = 1.0 + z11 * g11 + z12 * g21, z11 * g12 + z12 * g22
    m21, m22 = z21 * g11 + z22 * g21, 1.0 + z21 * g12 + z22 * g22
    det = m11 * m22 - m12 * m21
    n11, n12, n21, n22 = m22 / det, -m12 / det, -m21 / det, m11 / det
    y11, y12 = g11 * n11 + g12 * n21, g11 * n12 + g12 * n22
    y21, y22 = g21 * n11 + g22 * n21, g21 * n12 + g22 * n22
    r1, r2 = ib - g11 * vbe - g12 * vbc, ic - g21 * vbe - g22 * vbc
    w1, w2 = z11 * r1 + z12 * r2, z21 * r1 + z22 * r2
    F[p + s.Q_Y11], F[p + s.Q_Y12], F[p + s.Q_Y21], F[p + s.Q_Y22] = y11, y12, y21, y22
    F[p + s.Q_J1] = r1 - y11 * w1 - y12 * w2
    F[p + s.Q_J2] = r2 - y21 * w1 - y22 * w2


@kernel("UniTuple(float64, 2)", "F", "int64", "float64", "float64", "float64", "float64")
def transistor_update(F: Any, p: int, vbe: float, vbc: float, tbe: float, tbc: float) -> tuple[float, float]:
    """New inner junction voltages from the terminal voltages (NPN sense), limited."""
    ib = F[p + s.Q_Y11] * tbe + F[p + s.Q_Y12] * tbc + F[p + s.Q_J1]
    ic = F[p + s.Q_Y21] * tbe + F[p + s.Q_Y22] * tbc + F[p + s.Q_J2]
    nbe = tbe - F[p + s.Q_RB] * ib - F[p + s.Q_RE] * (ib + ic)
    nbc = tbc - F[p + s.Q_RB] * ib + F[p + s.Q_RC] * ic
    nbv = F[p + s.Q_NBV]
    bv = F[p + s.Q_BV]
    if nbe < -bv + 10.0 * nbv:
        nbe = -bv - junction_step(-(nbe + bv), -(vbe + bv), nbv, 10.0 * nbv)
    else:
        nbe = junction_step(nbe, vbe, F[p + s.Q_NFVT], F[p + s.Q_VCRIT])
    nbc = junction_step(nbc, vbc, F[p + s.Q_NRVT], F[p + s.Q_VCRITC])
    return nbe, nbc


@kernel("UniTuple(float64, 2)", "I", "F", "int64", "float64")
def curve_eval(I: Any, F: Any, k: int, x: float) -> tuple[float, float]:
    """Current and conductance of the curve with integers at ``k`` at ``x`` volt.

    The curve is a broken line with rounded corners; it goes on straight beyond its ends.
    """
    n = I[k + 8]
    p = I[s.F_PT] + I[k + 9]
    # F[p], F[p+1]: current at 0 V of the first line, its slope; then corner volt, change of slope
    i = F[p] + F[p + 1] * x
    g = F[p + 1]
    for j in range(n):
        d = x - F[p + 2 + 2 * j]
        dg = F[p + 3 + 2 * j]
        if d >= KNEE:
            i += dg * d
            g += dg
        elif d > -KNEE:
            i += dg * (d + KNEE) * (d + KNEE) / (4.0 * KNEE)
            g += dg * (d + KNEE) / (2.0 * KNEE)
        else:
            break
    return i, g


@kernel("float64", "I", "F", "int64", "float64", "float64")
def curve_update(I: Any, F: Any, k: int, old: float, new: float) -> float:
    """Limit one Newton step: it may enter the neighbouring line, not pass over it."""
    n = I[k + 8]
    p = I[s.F_PT] + I[k + 9] + 2
    a = 0
    while a < n and old > F[p + 2 * a]:
        a += 1
    b = 0
    while b < n and new > F[p + 2 * b]:
        b += 1
    if b > a + 1:
        return float(0.5 * (F[p + 2 * a] + F[p + 2 * (a + 1)]))
    if b < a - 1:
        return float(0.5 * (F[p + 2 * (a - 1)] + F[p + 2 * (a - 2)]))
    return new
