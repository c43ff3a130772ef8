"""Tables for compiled functions: an address and a number of columns instead of an array.

Of an array's index numba tests whether it is negative, and an array is nine numbers where it is handed on;
without that the kernel is a third faster, and quicker to compile.  Nothing is tested here: an index must
lie inside.
"""

# mypy: disable-error-code="no-untyped-def,untyped-decorator,misc,no-untyped-call,var-annotated"

from __future__ import annotations

import operator
from typing import Any

from numba import types
from numba.core import cgutils
from numba.core.typing.templates import AbstractTemplate, infer_global, signature
from numba.extending import intrinsic, lower_builtin, make_attribute_wrapper, models, register_model

__all__ = ["tables"]


class Table(types.Type):
    """A table of one row or of several, one after the other in memory; ``columns`` is their length."""

    def __init__(self, kind: Any, dimensions: int) -> None:
        self.kind, self.index = kind, types.intp if dimensions == 1 else types.UniTuple(types.intp, 2)
        super().__init__(name=f"Table({kind}, {dimensions})")


@register_model(Table)
class _Model(models.StructModel):
    def __init__(self, manager, table):
        super().__init__(manager, table, [("data", types.CPointer(table.kind)), ("columns", types.intp)])


make_attribute_wrapper(Table, "columns", "columns")


@intrinsic
def tables(typing, record):
    """The named tuple of arrays as a named tuple of tables; the arrays must be whole and in order (C)."""
    kinds = [Table(array.dtype, array.ndim) for array in record.types]
    made = types.BaseTuple.from_types(kinds, record.instance_class)

    def generate(context, builder, signature, args):
        out = []
        for place, (array, kind) in enumerate(zip(record.types, kinds, strict=True)):
            given = context.make_array(array)(context, builder, builder.extract_value(args[0], place))
            table = cgutils.create_struct_proxy(kind)(context, builder)
            table.data = given.data
            table.columns = builder.extract_value(given.shape, array.ndim - 1)
            out.append(table._getvalue())
        return context.make_tuple(builder, made, out)

    return made(record), generate


@infer_global(operator.getitem)
class _Read(AbstractTemplate):
    def generic(self, args, kws):
        if isinstance(args[0], Table):
            return signature(args[0].kind, args[0], args[0].index)
        return None


@infer_global(operator.setitem)
class _Write(AbstractTemplate):
    def generic(self, args, kws):
        if isinstance(args[0], Table):
            return signature(types.none, args[0], args[0].index, args[0].kind)
        return None


def _place(context, builder, kind, table, index):
    """The address of an entry."""
    given = cgutils.create_struct_proxy(kind)(context, builder, value=table)
    if kind.index is not types.intp:
        row, column = (builder.extract_value(index, k) for k in (0, 1))
        index = builder.add(builder.mul(row, given.columns), column)
    return builder.gep(given.data, [index])


@lower_builtin(operator.getitem, Table, types.Any)
def _read(context, builder, signature, args):
    place = _place(context, builder, signature.args[0], *args)
    return context.unpack_value(builder, signature.return_type, place)


@lower_builtin(operator.setitem, Table, types.Any, types.Any)
def _write(context, builder, signature, args):
    place = _place(context, builder, signature.args[0], *args[:2])
    context.pack_value(builder, signature.args[2], args[2], place)
    return context.get_dummy_value()
