"""Where everything lies in the two arrays of a prepared circuit.

A circuit ready to run is two flat arrays: ``I`` (int64: structure, states, counters) and ``F``
(float64: parameters, unknowns, scratch).  Copying the two copies the whole machine, which makes
variants, resumable runs and restored states cheap, and keeps the compiled kernels small.

The first slots of ``I`` hold counts, offsets of sections in ``I`` (names ``I_``) or in ``F``
(names ``F_``), and running integers.  The first slots of ``F`` hold scalars (names ``S_``).
"""

from __future__ import annotations

# counts: nodes, matrix entries, pivots free of nonlinear parts, first matrix entry of the rest,
# conductances, sources, capacitors, diodes, transistors, curves, watchers, cells, ramps,
# nonlinear unknowns, columns of a record
(N, NNZ, KLIN, TAIL, NG, NS, NC, ND, NQ, NK, NW, NX, NR, NDEV, WIDTH) = range(15)

# sections of I: factorisation (diagonal, lower, upper, destinations), elements, watchers' terms,
# capacitors of each watcher, cells, rules, next states, ramps, cause of each capacitor's motion
(I_DIAG, I_LPTR, I_LIDX, I_LROW, I_UPTR, I_UIDX, I_UCOL, I_DPTR, I_DST) = range(15, 24)
(I_G, I_S, I_C, I_D, I_Q, I_K, I_W, I_TERM, I_CAPSET, I_X, I_RULE, I_NEXT, I_RAMP, I_CAUSE) = range(24, 38)

# sections of F: node voltages, linear matrix, matrix, right-hand sides, conductances and their
# currents, sources, capacitors, diodes, transistors, curves, curve points, nonlinear unknowns (now,
# at the start of the step, spare), watchers' coefficients, constants, values (now, at the stages),
# end of each cell's dead time, ramps, voltages (start of step, spare)
(F_V, F_AL, F_A, F_Y, F_Z, F_G, F_GI, F_E, F_C, F_D, F_Q, F_K, F_PT, F_DEV, F_DEVS, F_DEV0) = range(38, 54)
(F_TERM, F_WC, F_W0, F_WS, F_DEAD, F_RAMP, F_VS, F_VP) = range(54, 62)

# running integers
(DIRTY, NOUT, NEV, LASTJUMP, STEPS, REJECTS, SOLVES, ITERATIONS, FAILS, JUMPS, RAMPING) = range(62, 73)
(STRIDE, RECORD, SMALL, SINCE, EVENTS, ROOM, OUTROWS, EVROWS, WORK) = range(73, 82)
(MARKS, KEPT, MOST, SEEK, TURNS) = range(82, 87)
HEADER = 88

# scalars in F
(S_T, S_H, S_HG, S_GMIN, S_RTOL, S_ATOL, S_DEAD, S_HMAX, S_HMIN, S_PLOT, S_ERR, S_GPT, S_FROZEN) = range(13)
S_FAILED = 13
"""Length of the last step without a solution near by, doubled by each step that has one; 0 long after [s]."""
S_GROW = 14
"""How many times longer than this step the next one may be."""
S_NEAR = 15
"""Largest last Newton step of a junction [V]; what is left after it is its square over 2·VT."""
S_CLOSE = 16
"""A crossing is located when the watched level is passed by no more than this [V]."""
S_FOLD = 17
"""A transistor circuit with no solution near by even for a step this short switches at once [s]."""
SCALARS = 20

# strides of the element records
G_INTS, C_INTS, D_INTS, Q_INTS, K_INTS, W_INTS, X_INTS, RULE_INTS, RAMP_INTS = 6, 8, 7, 13, 11, 10, 8, 6, 3
"""Integers for each conductance, capacitor, diode, transistor, curve, watcher, cell, rule, ramp."""

C_FLOATS, D_FLOATS, Q_FLOATS, K_FLOATS, RAMP_FLOATS = 12, 10, 30, 4, 6
"""Numbers for each capacitor, diode, transistor, curve, ramp."""

# numbers of a capacitor: farad, series ohm, inner leakage siemens, state, history, slopes at the
# three stages, conductance, weight of history (alpha), current, slope at the start of the step
(C_C, C_R, C_L, C_V, C_H, C_K1, C_K2, C_K3, C_G, C_A, C_I, C_K0) = range(12)

# numbers of a diode: saturation current, n·VT, series ohm, breakdown volt, its n·VT and current,
# critical voltage, conductance, current source, current
(D_IS, D_NVT, D_RS, D_BV, D_NBV, D_IBV, D_VCRIT, D_G, D_J, D_I) = range(10)

# numbers of a transistor
(Q_IS, Q_NFVT, Q_NRVT, Q_BF, Q_BR, Q_ISE, Q_NEVT, Q_ISC, Q_NCVT, Q_VAF, Q_IKF) = range(11)
(Q_RB, Q_RC, Q_RE, Q_BV, Q_NBV, Q_IBV, Q_VCRIT, Q_SIGN) = range(11, 19)
(Q_Y11, Q_Y12, Q_Y21, Q_Y22, Q_J1, Q_J2, Q_IB, Q_IC, Q_VCRITC) = range(19, 28)

# kinds of events in the kernel's event rows
EV_SUPPLY, EV_ACTION, EV_WATCH, EV_STATE, EV_LIGHT, EV_LIMIT = range(6)
EV_COLUMNS = 6
"""time, kind, index of watcher or cell, rising or state before, state after, cause."""

# what a kernel call ended with
DONE, OUT_FULL, EV_FULL, TOO_MANY_EVENTS, TOO_MANY_STEPS, ORBIT = range(6)
JOB = 10
"""Numbers of a job of _advance.py."""

# jobs of the part that is reached by address (slot WORK)
NEWTON, ASSEMBLE = range(2)

FRESH = 1000.0
"""After a discontinuity the first step is very short, and the next may be so much longer."""

# a mark of _orbit.py: time, next step, last step without a solution, rest of the dead times, digest of what
# is discrete, events, samples and steps so far, distance from the mark it equals, how many marks ago
# that was; then voltages of all capacitors, their causes, event of the last jump
(M_TIME, M_STEP, M_FAILED, M_REST, M_STATE, M_EVENTS, M_SAMPLES, M_STEPS, M_APART, M_BACK) = range(10)
MARK = 10
MARKS_KEPT = 256
"""So many marks are kept: an orbit has no more events than that."""
