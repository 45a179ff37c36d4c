"""The condition a cell states: new, NOS, used, reman, or none that is certain."""

from __future__ import annotations

from functools import cache

from xref.tables.text import fold, quoted

_WORDS = {
    "new": """new|brand new|unused|n|new other|neu|neuware|fabrikneu|neuf|neuve|nuovo|nuova|nuevo
        |nueva|nieuw|ny|nytt|uusi|ubrukt|ubrugt|oanvand|new genuine|genuine new|new boxed
        |nowy|nowa|nowe|novo|nova|novy|nove""",
    "NOS": """nos|n o s|new old stock|new old|nors|new old replacement stock|old stock|old new stock
        |altbestand|lagerfund|alter lagerbestand|neu alter lagerbestand|neu altbestand|ancien stock
        |neuf ancien stock|vecchio stock|fondo di magazzino|stock antiguo|oude voorraad
        |gammalt lager|gammelt lager|nos boxed|nos unboxed|new surplus|surplus new
        |unused old stock|old stock unused|nowy stary zapas|lezak magazynowy""",
    "used": """used|u|s h|sh|second hand|secondhand|2nd hand|2hand|pre owned|good used|used good
        |used serviceable|serviceable|salvage|salvaged|gebraucht|gebrauchtteil|occasion|d occasion
        |usato|usata|usado|usada|segunda mano|de segunda mano|gebruikt|tweedehands|brugt|brukt
        |begagnad|begagnat|kaytetty|take off|takeoff|ex machine|as removed
        |uzywany|uzywana|uzywane|pouzity|pouzite""",
    "reman": """reman|remanufactured|re manufactured|reconditioned|recon|rebuilt|overhauled|overhaul
        |refurbished|refurb|reground|exchange|exch|exchange unit|uberholt|ueberholt|generaluberholt
        |aufgearbeitet|austausch|reconditionne|remis a neuf|echange standard|revise|rigenerato
        |revisionato|ricondizionato|reacondicionado|reconstruido|rectificado|gereviseerd|revisie
        |renoverad|regenerowany|regenerowana|recondicionado|repasovany|renoveret|overhalet|overhalt|kunnostettu""",
}  # fmt: skip


@cache
def _meanings() -> dict[str, str]:
    return {
        fold(word.strip()): condition
        for condition, words in _WORDS.items()
        for word in words.replace("\n", "").split("|")
    }


def read_condition(text: str) -> tuple[str | None, str | None]:
    """Return (condition, warning); a text that states none of the four gives (None, warning)."""
    folded = fold(text)
    if not folded:
        return None, None
    meaning = _meanings().get(folded)
    if meaning:
        return meaning, None
    return None, f"condition {quoted(text)} is none of new, NOS, used, reman; kept as unknown"
