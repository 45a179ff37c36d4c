"""Plain conversion of plain options, so that a command starts quickly.

Typer builds a pydantic validator for every parameter of the command that runs; importing and
building them takes a third of a look-up's time. Text, numbers, paths and parsed values need none
of that. Anything else, and any Typer that keeps its parameters otherwise, is left to Typer.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, get_args, get_origin

import typer

_NUMBERS = {int: "a whole number", float: "a number"}


@dataclass(frozen=True)
class Plain:
    """Converts what one parameter is given; takes the place of Typer's `RuntimeParam`."""

    convert: Callable[[str], Any]
    repeated: bool

    def coerce(self, value: Any, param: Any, ctx: Any) -> Any:
        """Return the converted value; raises BadParameter with a sentence."""
        if value is None:
            return () if self.repeated else None
        try:
            if self.repeated:
                return [self.convert(item) for item in value]
            return self.convert(value)
        except typer.BadParameter as error:
            raise typer.BadParameter(error.message, ctx=ctx, param=param) from None


def lighten(command: Any) -> None:
    """Give the plain parameters of a command, and of those under it, plain conversion."""
    for parameter in _parameters(command):
        descriptor = getattr(parameter, "type_descriptor", None)
        if descriptor is None or not hasattr(parameter, "_runtime_param"):
            continue
        annotation = descriptor.annotation
        repeated = get_origin(annotation) is list
        convert = _converter(
            get_args(annotation)[0] if repeated else annotation, descriptor.parameter_info
        )
        if convert is not None:
            parameter._runtime_param = Plain(convert, repeated)


def _parameters(command: Any, above: Any = None) -> Iterator[Any]:
    """Yield the parameters of a command and of those under it, `--help` included."""
    context = typer.Context(
        command, parent=above, **(command.context_settings if not above else {})
    )
    yield from command.get_params(context)
    for child in getattr(command, "commands", {}).values():
        yield from _parameters(child, context)


def _converter(annotation: Any, about: Any) -> Callable[[str], Any] | None:
    """Return the conversion to a type, None where Typer's own is needed."""
    if about.parser is not None:
        parser: Callable[[str], Any] = about.parser
        return parser
    if annotation in (str, bool):  # a switch arrives as the truth value it is, or as None
        return annotation  # type: ignore[no-any-return]
    if annotation is Path:
        return Path
    if annotation in _NUMBERS:
        return lambda text: _number(annotation, text, about.min, about.max)
    return None


def _number(kind: type, text: str, least: float | None, most: float | None) -> Any:
    try:
        value = kind(text)
    except ValueError:
        raise typer.BadParameter(f"{text!r} is not {_NUMBERS[kind]}.") from None
    # Written so that NaN, which compares with nothing, is refused too.
    if not (least is None or value >= least) or not (most is None or value <= most):
        limits = [
            f"at least {least}" if least is not None else "",
            f"at most {most}" if most is not None else "",
        ]
        raise typer.BadParameter(f"{text} is not {' and '.join(filter(None, limits))}.")
    if value != value or value in (float("inf"), float("-inf")):
        raise typer.BadParameter(f"{text!r} is not a number one can measure.")
    return value
