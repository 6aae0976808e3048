"""What pydantic found wrong with a table, as faults in our words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, TypeVar, get_args

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo

from windowcast.problems import ConfigProblem, Fault
from windowcast.settings.spelling import Slip, as_toml, choices, cure_for_word, shown
from windowcast.settings.toml_places import Document, KeyPath
from windowcast.settings.toml_slips import is_hidden, is_secret

Model = TypeVar("Model", bound=BaseModel)

MISSING = "is missing"

_EXPECTED = {
    "string_type": "text in quotes",
    "int_type": "a whole number",
    "float_type": "a number",
    "bool_type": "true or false",
    "list_type": "a list",
    "model_type": "a table",
}
_BOUNDS = {
    "greater_than": "is not more than {gt}",
    "greater_than_equal": "is less than {ge}",
    "less_than_equal": "is more than {le}",
    "too_short": "is empty",
    "too_long": "has more than {max_length} entries",
    "string_too_short": "is empty",
    "string_too_long": "is longer than {max_length} characters",
}


def checked(
    model: type[Model], table: Mapping[str, Any] | None, document: Document
) -> tuple[Model | None, list[Fault]]:
    """A table built into its model, or None and every fault in it; None makes None."""
    if table is None:
        return None, []
    try:
        return model.model_validate(table), []
    except ValidationError as error:
        return None, list(_faults(error, model, document))


def accepted(built: Model | None, document: Document, faults: Sequence[Fault]) -> Model:
    """What was built, or ConfigProblem with every fault of syntax and of meaning in line order.

    A key is not missing where its own line could not be read.
    """
    told = {fault.field for fault in document.faults}
    missed = (f for f in faults if f.found != MISSING or f.field.rpartition(".")[2] not in told)
    everything = {*document.faults, *missed}
    if everything or built is None:
        raise ConfigProblem(sorted(everything, key=_place))
    return built


def _place(fault: Fault) -> tuple[int, str, str]:
    return (fault.line or 0, fault.field, fault.found)


def found_and_cure(error: Mapping[str, Any], field: FieldInfo | None, key: str) -> tuple[str, str]:
    """What one complaint of pydantic's says: what was found, and the cure."""
    slip = error.get("ctx", {}).get("error")
    if isinstance(slip, Slip):
        return slip.found, slip.cure
    example = _example(field, key)
    kind, value = error["type"], error["input"]
    if kind == "missing":
        return MISSING, f"write {example}"
    seen = "a hidden value" if is_hidden(key) else shown(value)
    if kind in _EXPECTED:
        return f"{seen} is not {_EXPECTED[kind]}", f"write {example}"
    if kind in _BOUNDS:
        told = _BOUNDS[kind].format(**error.get("ctx", {}))
        return f"{seen} {told}" if told != "is empty" else told, f"write {example}"
    return f"{seen} cannot be taken ({error['msg'][:1].lower()}{error['msg'][1:]})", (
        f"write {example}"
    )


def _faults(error: ValidationError, model: type[BaseModel], document: Document) -> Iterator[Fault]:
    for one in error.errors(include_url=False):
        path: KeyPath = one["loc"]
        if one["type"] == "extra_forbidden":
            found, cure = _unknown(str(path[-1]), _model_at(model, path[:-1]), model)
        else:
            *above, last = path[:-1] if isinstance(path[-1], int) else path
            key = str(last)
            found, cure = found_and_cure(dict(one), _field(_model_at(model, above), key), key)
        yield document.fault(path, found=found, cure=cure)


def _unknown(key: str, model: type[BaseModel] | None, whole: type[BaseModel]) -> tuple[str, str]:
    known = tuple(_keys_of(model)) if model else ()
    if is_secret(key):
        places = [name for name in known if is_secret(name.removesuffix("_env"))]
        places += [name for name in known if is_secret(name.removesuffix("_file"))]
        how = f"with {choices(places)}" if places else "instead of it"
        return "a secret does not belong in this file", f"name the place where it is kept, {how}"
    if model is not whole and key in _keys_of(whole):
        return "does not belong below this heading", "move it above the first heading of the file"
    near = cure_for_word(key, known)
    return "is not a known key", near if near.startswith("did") else f"known are {choices(known)}"


def _field(model: type[BaseModel] | None, key: str) -> FieldInfo | None:
    return _keys_of(model).get(key) if model else None


def _keys_of(model: type[BaseModel]) -> dict[str, FieldInfo]:
    """The fields of a model under the keys that stand in the file."""
    return {told.alias or name: told for name, told in model.model_fields.items()}


def _model_at(model: type[BaseModel], path: KeyPath) -> type[BaseModel] | None:
    """The model of the table at a path, None where the path leads into a plain value."""
    at: type[BaseModel] | None = model
    for step in path:
        if isinstance(step, str) and at is not None:
            at = _model_in(_keys_of(at)[step].annotation)
    return at


def _model_in(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    found = (_model_in(inner) for inner in get_args(annotation))
    return next((model for model in found if model), None)


def _example(field: FieldInfo | None, key: str) -> str:
    """A right way to write a key, from the example that stands beside its description."""
    inner = _model_in(field.annotation) if field else None
    if field is not None and inner is not None:
        heading = f"[[{key}]]" if "list[" in str(field.annotation) else f"[{key}]"
        return f"{heading} on a line of its own and its keys below it"
    if field is None or not field.examples:
        return f"the {field.description}" if field and field.description else "another value"
    return f"{key} = {as_toml(field.examples[0])}"
