"""Compile the kernel of one entry and its helpers without what they do not need.

Numba optimises each function with all it calls, and makes machine code of it, before a caller links it in and
does so again.  A helper made here is only translated; all is optimised once, with the entry that Python
calls.  Passes for what no kernel uses (closures, literals to unroll, inlining, rewriting) are left out, and
what an operation on given types gives is looked up once.
"""

# mypy: disable-error-code="no-untyped-def,untyped-decorator,misc,no-untyped-call"

from __future__ import annotations

from typing import Any

from numba._dynfunc import make_function
from numba.core import types
from numba.core.codegen import JITCodeLibrary
from numba.core.compiler import CompilerBase
from numba.core.compiler_machinery import PassManager, register_pass
from numba.core.typed_passes import (
    IRLegalization,
    NativeLowering,
    NoPythonBackend,
    NopythonTypeInference,
    PreLowerStripPhis,
)
from numba.core.untyped_passes import FixupArgs, IRProcessing, ReconstructSSA, TranslateByteCode

__all__ = ["EntryCompiler", "HelperCompiler"]

_signatures: dict[Any, Any] = {}
"""Of the operations met so far, by operation and the types of its operands."""


@register_pass(mutates_CFG=True, analysis_only=False)
class _Types(NopythonTypeInference):
    _name = "types_of_a_kernel"

    def run_pass(self, state):
        """Find types; the thirty answers that numba tries for each operation are tried once."""
        context = state.typingctx
        if "resolve_function_type" in vars(context):
            return NopythonTypeInference.run_pass(self, state)
        resolve = context.resolve_function_type

        def known(function, args, kws):
            if kws or not isinstance(function, types.Function):
                return resolve(function, args, kws)
            asked = function, tuple(args)
            if asked not in _signatures:
                _signatures[asked] = resolve(function, args, kws)
            return _signatures[asked]

        context.resolve_function_type = known
        try:
            return NopythonTypeInference.run_pass(self, state)
        finally:
            del context.resolve_function_type


class _Whole(JITCodeLibrary):
    """The entry with all its helpers."""

    def _optimize_functions(self, ll_module):
        ll_module.data_layout = self._codegen._data_layout

    def _optimize_final_module(self) -> None:
        passes, builder = self._codegen._module_pass_manager(loop_vectorize=False, slp_vectorize=False)
        passes.run(self._final_module, builder)


class _Part(_Whole):
    """A helper: linked into another library, and nothing else."""

    def _optimize_final_module(self) -> None:
        """The entry's library does."""

    def _finalize_final_module(self) -> None:
        self._finalize_dynamic_globals()
        self._finalized = True


@register_pass(mutates_CFG=True, analysis_only=False)
class _LowerPart(NativeLowering):
    _name = "lowering_of_a_helper"

    def run_pass(self, state):
        """Translate; callers find it by a function without machine code, as one without a wrapper is."""
        state.library = _Part(state.targetctx.codegen(), state.func_id.func_qualname)
        state.flags.no_compile = True
        NativeLowering.run_pass(self, state)
        made = state.cr.fndesc
        inside = make_function(made.lookup_module(), made.qualname, "", 0, state.cr.env, (state.library,))
        state.targetctx.insert_user_function(inside, made, [state.library])
        state.cr = state.cr._replace(cfunc=inside)
        return True


@register_pass(mutates_CFG=True, analysis_only=False)
class _LowerWhole(NativeLowering):
    _name = "lowering_of_an_entry"

    def run_pass(self, state):
        """Translate, optimise, make machine code and keep it for the disk."""
        state.library = _Whole(state.targetctx.codegen(), state.func_id.func_qualname)
        state.library.enable_object_caching()
        return NativeLowering.run_pass(self, state)


class HelperCompiler(CompilerBase):
    """The passes a helper needs."""

    lowering: Any = _LowerPart

    def define_pipelines(self):
        """One after the other."""
        passes = PassManager("kernel")
        for each in (
            TranslateByteCode, FixupArgs, IRProcessing, ReconstructSSA, _Types, PreLowerStripPhis,
            IRLegalization, self.lowering, NoPythonBackend,
        ):  # fmt: skip
            passes.add_pass(each, each.__name__)
        passes.finalize()
        return [passes]


class EntryCompiler(HelperCompiler):
    """The passes an entry needs."""

    lowering = _LowerWhole
