"""Which part a text means, in the lists of a store."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from xref.errors import Impossible

if TYPE_CHECKING:
    from xref.store import Store


def identify(
    store: Store,
    text: str,
    *,
    top: int = 20,
    serial: str | None = None,
    form: str | None = None,
) -> dict[str, Any]:
    """Return the document of `xref identify`: the matches, the surest first.

    `serial` is the machine's serial number, `form` a variant as lists write it; either keeps
    what is for other machines out of the replacements. `evidence` tells what was found on the
    machines themselves of the numbers shown. Where no list holds the number now,
    `no_longer_listed` says which held it and since when it does not.
    Raises Impossible for an empty text.
    """
    from xref.matching import identify as numbers
    from xref.matching.experience import experience
    from xref.matching.lists import StoredLists
    from xref.store.number_key import number_key

    if not text.strip():
        raise Impossible("The text is empty; type the number or the description as you have it.")
    own = experience(store)
    matches = numbers.identify(
        text, StoredLists(store), top=top, serial=serial, form=form, evidence=own.evidence
    )
    document: dict[str, Any] = {"text": text, "matches": matches}
    if own.evidence:
        keys = [number_key(text), *(number_key(match["number"]) for match in matches)]
        document["evidence"] = [seen.document() for seen in own.about(keys)]
    known = any(match["how"] in ("exact", "same characters") for match in matches)
    # Without a second edition of some list none can have lost a number; looking costs more than
    # the whole search.
    if not known and any(edition.number > 1 for edition in store.editions("stock")):
        gone = store.not_listed([text])
        if gone:
            document["no_longer_listed"] = [
                {**part, "not_listed_since": str(part["not_listed_since"])[:10]}
                | {"last_listed": str(part["last_listed"])[:10]}
                for part in gone
            ]
    return document
