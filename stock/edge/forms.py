"""The form of a fact: one pydantic model for each kind, made from the table of kinds.

Pydantic is imported when the first form is made; reading rows in bulk (`RowReader`) needs none.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from typing import TYPE_CHECKING, Annotated, Any

from stock.core.facts import Entered
from stock.core.kinds import BY_NAME, Kind
from stock.edge.cells import CellError, Context
from stock.edge.checks import check
from stock.edge.dump import dump_columns, spell_fact
from stock.edge.plan import Slot, header_problems, plan_of
from stock.edge.problems import FormError, Problem
from stock.edge.rows import RowReader

if TYPE_CHECKING:
    from pydantic import BaseModel, ValidationInfo

__all__ = [
    "FormError",
    "Problem",
    "RowReader",
    "attribute",
    "check",
    "dump_columns",
    "enter",
    "form",
    "header_problems",
    "spell_fact",
]


def attribute(column: str) -> str:
    """The attribute of a form that holds a column: a form's own words (`copy`) and Python's (`from`) are not free."""
    return f"{column}_cell"


def form(kind: Kind) -> type[BaseModel]:
    """The form of a kind: an optional text for each column, held as the stored values it was read into.

    Validate with `context=Context(...)`. Aliases are the columns, attributes are named by `attribute`. Each field's
    description says what to type. The cells are read one by one; `enter` also checks them against each other.
    """
    return _form(kind.name)


@cache
def _form(name: str) -> type[BaseModel]:
    from pydantic import ConfigDict, Field, PlainValidator, create_model

    kind = BY_NAME[name]

    fields: dict[str, Any] = {}
    for slot in plan_of(kind).slots:
        title = slot.column.replace("_", " ")
        read = PlainValidator(_reader(slot), json_schema_input_type=str | None)
        filled = Field(None, validate_default=True, alias=slot.column, title=title, description=slot.help)
        fields[attribute(slot.column)] = (Annotated[tuple[Any, ...], read], filled)
    title = "".join(word.capitalize() for word in kind.name.split("-"))
    model: type[BaseModel] = create_model(f"{title}Form", __config__=ConfigDict(extra="forbid", frozen=True), **fields)
    return model


def _reader(slot: Slot) -> Callable[[Any, ValidationInfo], tuple[object, ...]]:
    def read(given: Any, info: ValidationInfo) -> tuple[object, ...]:
        if given is not None and not isinstance(given, str):
            raise CellError.of(str(given), "is not a text", "a text")
        if not isinstance(info.context, Context):
            raise TypeError("a form is validated with context=Context(...)")
        return slot.read(given or "", info.context)

    return read


def enter(kind: Kind, cells: Mapping[str, str], context: Context) -> Entered:
    """The fact that somebody's cells, by column, make; FormError with every problem where they make none."""
    from pydantic import ValidationError

    plan = plan_of(kind)
    unknown = [problem for problem in header_problems(kind, list(cells)) if problem.column in cells]
    known = {slot.column: cells.get(slot.column, "") for slot in plan.slots}
    try:
        filled = form(kind).model_validate(known, context=context)
    except ValidationError as errors:
        raise FormError([*unknown, *map(_problem, errors.errors(include_url=False))]) from None
    if unknown:
        raise FormError(unknown)
    fact = plan.entered([getattr(filled, attribute(slot.column)) for slot in plan.slots])
    if isinstance(fact, list):
        raise FormError(fact)
    return fact


def _problem(error: Mapping[str, Any]) -> Problem:
    cause: CellError = error["ctx"]["error"]
    return Problem(str(error["loc"][0]), error["input"] or "", cause.expected, str(cause))
