"""A column of a DataFrame whose texts hardly repeat: `Texts` in the clothes that pandas asks for.

Read only, and every row says something. A reading hands the numbers of a long list to the store in
one, so that nobody makes a million objects of them on the way.
"""

from __future__ import annotations

import builtins
from collections.abc import Sequence
from typing import Any

import numpy as np
from pandas.api.extensions import ExtensionArray, ExtensionDtype, take

from ..texts import Texts


class TextType(ExtensionDtype):
    """The type of such a column."""

    name = "texts"
    type = str

    @classmethod
    def construct_array_type(cls) -> builtins.type[TextArray]:
        """Return the class of its arrays."""
        return TextArray


class TextArray(ExtensionArray):
    """The texts of the rows."""

    def __init__(self, texts: Texts) -> None:
        self.texts = texts

    @classmethod
    def _from_sequence(
        cls,
        scalars: Sequence[str],
        *,
        dtype: Any = None,  # noqa: ARG003 - as pandas calls it
        copy: bool = False,  # noqa: ARG003
    ) -> TextArray:
        return cls(Texts.of([*scalars]))

    @classmethod
    def _concat_same_type(cls, to_concat: Sequence[TextArray]) -> TextArray:
        return cls(Texts.joined([one.texts for one in to_concat]))

    @property
    def dtype(self) -> TextType:
        """The type."""
        return TextType()

    @property
    def nbytes(self) -> int:
        """The bytes held."""
        return len(self.texts.data) + self.texts.begins.nbytes + self.texts.ends.nbytes

    def __len__(self) -> int:
        return len(self.texts)

    def __getitem__(self, item: Any) -> Any:
        if isinstance(item, int | np.integer):
            return self.texts[int(item)]
        if isinstance(item, slice):
            return TextArray(self.texts[item])
        return TextArray(self.texts.taken(np.arange(len(self))[item]))

    def __eq__(self, other: object) -> Any:
        return np.asarray(self, dtype=object) == other

    def isna(self) -> np.ndarray[Any, Any]:
        """Return that no row is unknown."""
        return np.zeros(len(self), np.bool_)

    def take(
        self,
        indices: Any,
        *,
        allow_fill: bool = False,
        fill_value: Any = None,  # noqa: ARG002 - it is always None
    ) -> Any:
        """Return the texts at some places; an array of objects where some are to be filled."""
        places = np.asarray(indices, np.int64)
        if allow_fill and (places < 0).any():
            return take(np.array([*self.texts], object), places, allow_fill=True)
        return TextArray(self.texts.taken(np.arange(len(self))[places]))

    def copy(self) -> TextArray:
        """Return the same: it never changes."""
        return self
